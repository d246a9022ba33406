"""The remainder of an expression: sums, products, powers, factorials and quotients modulo m."""
