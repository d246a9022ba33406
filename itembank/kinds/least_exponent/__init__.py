"""Exponential congruences whose base shares a factor with the modulus: the least exponent."""
