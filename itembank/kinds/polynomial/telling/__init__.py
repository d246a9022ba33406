"""The worked solution of a polynomial congruence, told from its steps."""
