"""Roots modulo m."""
