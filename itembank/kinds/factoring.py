"""How a number is taken apart into primes, told where that is not seen at once."""

from collections.abc import Iterator
from math import isqrt

from itembank.languages import Said, say
from itembank.maths.primes import Factors
from itembank.notation.building import dotted, equal, factored_modulus, power
from itembank.notation.tree import Listing, Math

_SEEN = 100
"""Numbers up to here are factored at sight."""

_LARGEST_PRIME = 1000
"""The largest prime by which somebody divides on paper."""


def trial_told(n: int, factors: Factors) -> Iterator[Said]:
    """The divisions that give the factors of n; nothing for small and very large numbers.

    With two different primes the factorisation is the division. Requires the factorisation of
    n, primes increasing: unchecked.
    """
    if n <= _SEEN or len(factors) < 3 or factors[-2][0] > _LARGEST_PRIME:
        return
    last, k = factors[-1]
    divisions = _divided_in_turn(n, factors)
    if last > _SEEN and k == 1:
        yield say(
            "Dividing by the primes in turn: ${divisions}$; no prime up to {root} divides {last}.",
            divisions=divisions,
            root=isqrt(last),
            last=last,
        )
    else:
        yield say("Dividing by the primes in turn: ${divisions}$.", divisions=divisions)


def factored_told(n: int, factors: Factors) -> Iterator[Said]:
    """The factorisation of n, after the divisions that give it."""
    divisions = tuple(trial_told(n, factors))
    yield from divisions
    if divisions:
        yield say("So ${n} = {product}$.", n=n, product=factored_modulus(factors))
    else:
        yield say("${n} = {product}$.", n=n, product=factored_modulus(factors))


def _divided_in_turn(n: int, factors: Factors) -> Math:
    """2480 = 2^4 · 155, 155 = 5 · 31: a prime after the other, as often as it divides."""
    found: list[Math] = []
    for p, k in factors[:-2]:
        found.append(equal(n, dotted((power(p, k), n // p**k))))
        n //= p**k
    return Listing((*found, equal(n, factored_modulus(factors[-2:]))))
