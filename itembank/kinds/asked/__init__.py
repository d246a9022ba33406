"""Statements as people type them, to the plain statements that the kinds read."""
