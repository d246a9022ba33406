"""Quadratic reciprocity in reverse: the primes modulo which a number is a quadratic residue."""
