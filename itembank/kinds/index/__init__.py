"""Indices, and congruences that they solve."""
