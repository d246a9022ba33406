"""How a number is taken apart into primes, told where that is not seen at once."""

from collections.abc import Iterator
from math import isqrt

from itembank.languages import Said, say
from itembank.maths.primes import Factors
from itembank.notation.building import dotted, equal
from itembank.notation.tree import Listing, Math

SEEN = 100
"""Numbers up to here are factored at sight."""

LARGEST_PRIME = 1000
"""The largest prime by which somebody divides on paper."""

MOST_DIVISIONS = 8


def trial_told(n: int, factors: Factors) -> Iterator[Said]:
    """The divisions that give the factors of n; nothing for small and very large numbers.

    A product of two primes is its own division. Requires the factorisation of n, primes
    increasing: unchecked.
    """
    primes = [p for p, k in factors for _ in range(k)]
    if n <= SEEN or not 3 <= len(primes) <= MOST_DIVISIONS or primes[-2] > LARGEST_PRIME:
        return
    last = primes[-1]
    divisions = divided_in_turn(n, primes)
    if last > SEEN:
        yield say(
            "Dividing by the primes in turn: ${divisions}$; no prime up to {root} divides {last}.",
            divisions=divisions,
            root=isqrt(last),
            last=last,
        )
    else:
        yield say("Dividing by the primes in turn: ${divisions}$.", divisions=divisions)


def divided_in_turn(n: int, primes: list[int]) -> Math:
    """2480 = 2 · 1240, 1240 = 2 · 620, ..., down to the product of the last two."""
    found: list[Math] = []
    for p in primes[:-1]:
        found.append(equal(n, dotted((p, n // p))))
        n //= p
    return Listing(tuple(found))
