"""Linear congruences."""
