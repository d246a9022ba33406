"""Systems of congruences in one unknown."""
