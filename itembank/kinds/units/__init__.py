"""Units, zero divisors and inverses modulo m."""
