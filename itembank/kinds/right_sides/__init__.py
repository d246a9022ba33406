"""The right sides c for which a x^k = c (mod m) is solvable: all of them, and their number."""
