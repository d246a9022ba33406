"""Exponential congruences a*b^x = c (mod m)."""
