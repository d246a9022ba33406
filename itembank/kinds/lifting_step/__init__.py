"""One lifting step."""
