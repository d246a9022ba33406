"""Ciphers that raise to a power: the exponentiation cipher modulo a prime, and RSA."""
