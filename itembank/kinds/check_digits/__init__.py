"""Check digits."""
