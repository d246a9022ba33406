"""The numbers x with phi(x) = n: how many there are, and the largest."""
