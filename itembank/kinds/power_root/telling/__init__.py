"""The worked solution of x^k = a (mod m), told from its steps."""
