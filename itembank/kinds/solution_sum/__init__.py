"""The sum of all solutions of a congruence in one unknown, of which no substitution tells."""
