"""The inverse modulo m."""
