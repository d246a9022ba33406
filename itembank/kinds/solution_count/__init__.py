"""The number of solutions of a congruence."""
