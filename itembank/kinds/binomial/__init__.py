"""Binomial coefficients modulo a prime, by Lucas' theorem."""
