"""Linear equations in two unknowns over the integers: all solutions, and how many are positive."""
