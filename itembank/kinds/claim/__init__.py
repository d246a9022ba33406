"""Claims about congruences: always true, sometimes, or never."""
