"""Primitive roots."""
