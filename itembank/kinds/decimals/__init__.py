"""The decimal fraction of a/b: the length of its period, and how many digits stand before it."""
