"""Numbers that pass for primes: pseudoprimes, strong pseudoprimes, Carmichael numbers."""
