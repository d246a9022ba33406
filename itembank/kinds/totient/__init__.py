"""Euler's phi and Carmichael's lambda."""
