"""Two linear congruences in two unknowns."""
