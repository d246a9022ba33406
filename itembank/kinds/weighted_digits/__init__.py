"""Check digits by weights and a modulus: the digit, and which errors are noticed."""
