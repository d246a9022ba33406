"""The order modulo m."""
