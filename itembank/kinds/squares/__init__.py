"""The squares modulo m."""
