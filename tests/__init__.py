"""The tests of itembank: whole names between them, `from tests.<room>.<module>`."""
