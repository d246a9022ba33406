"""Polynomial congruences of degree 2 and more."""
