"""The greatest common divisor and the least common multiple of two or three integers."""
