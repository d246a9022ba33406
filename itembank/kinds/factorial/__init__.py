"""Factorials modulo m."""
