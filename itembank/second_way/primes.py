"""The primes of a modulus, for the second way: sympy's, with bounded work.

Primality is sympy's: proved below 2^64, and beyond it the test of Baillie, Pomerance,
Selfridge & Wagstaff, to which no exception is known.
"""

from functools import lru_cache
from math import gcd

from itembank.second_way import budget
from itembank.second_way.verdict import Undecided


@lru_cache(maxsize=256)
def prime_powers(m: int, hints: tuple[int, ...] = ()) -> tuple[tuple[int, int], ...]:
    """The (p, k) with p^k exactly dividing m, by p; Undecided if that takes too much work.

    What a hint shares with m is split off first.
    """
    budget.refuse_large(m)
    pieces = {m}
    for hint in hints:
        shared = [(gcd(hint, piece), piece) for piece in pieces]
        pieces = {n for g, piece in shared for n in (g, piece // g) if n > 1}
    primes = sorted(set().union(*map(primes_of, pieces)))
    return tuple((p, valuation(m, p)) for p in primes)


def primes_of(n: int) -> frozenset[int]:
    """The primes that divide n; Undecided where they are not all found."""
    budget.refuse_large(n)
    primes, hard = _primes_sought(n)
    if hard == 1:
        return primes
    if hard.bit_length() > budget.FACTORED_BITS:
        raise Undecided(
            f"a factor of the modulus is composite and has {hard.bit_length()} binary digits; at"
            f" most {budget.FACTORED_BITS} are searched for factors"
        )
    raise Undecided(f"the factor {hard} of the modulus is too hard to factor")


@lru_cache(maxsize=1024)
def _primes_sought(n: int) -> tuple[frozenset[int], int]:
    """The primes found in n, and a composite divisor whose factors were not found, else 1."""
    from sympy import factorint, isprime, perfect_power

    primes: set[int] = set()
    pending = [n]
    while pending:
        n = pending.pop()
        if n == 1:
            continue
        if isprime(n):
            primes.add(n)
        elif power_of := perfect_power(n):
            pending.append(int(power_of[0]))
        else:
            small = factorint(n, limit=budget.DIVIDED, use_rho=False, use_pm1=False, use_ecm=False)
            found = [int(p) for p in small] if n not in small else _divisors(n)
            if not found:
                return frozenset(primes), n
            pending += found
    return frozenset(primes), 1


def _divisors(n: int) -> list[int]:
    """Two divisors whose product is n, by rho, then by elliptic curves; [] if none is found."""
    from sympy.ntheory import ecm, pollard_rho

    if n.bit_length() > budget.FACTORED_BITS:
        return []
    divisor = pollard_rho(n, max_steps=budget.STEPS, retries=1, seed=1)
    if divisor is None:
        first, second = budget.CURVE
        try:
            divisor = min(ecm(n, B1=first, B2=second, max_curve=budget.CURVES, seed=1))
        except ValueError:
            return []
    return [int(divisor), n // int(divisor)]


def valuation(n: int, p: int) -> int:
    """The largest k with p^k dividing n.  Requires n != 0, p > 1."""
    k = 0
    while n % p == 0:
        n, k = n // p, k + 1
    return k
