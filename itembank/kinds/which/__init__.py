"""Which of several congruences: solvable, with so many solutions, with the same solutions."""
