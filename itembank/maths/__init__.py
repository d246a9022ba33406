"""Arithmetic that the kinds solve with: integers in, integers out."""
