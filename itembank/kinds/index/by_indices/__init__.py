"""Power congruences a*x^n = c (mod m) solved by indices."""
