"""Whether a number is a square modulo m."""
