"""Powers modulo m, and towers of powers."""
