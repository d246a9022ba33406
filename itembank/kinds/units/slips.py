"""Student errors about units and zero divisors modulo m, each carried through to its answer.

One function a slip, named for the mistake: it takes the true work and returns the wrong
answer with feedback, or None where the mistake cannot be made. The catalogue is common
practice of the trade.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from math import gcd, prod

from itembank.kinds.base import Slip, slip
from itembank.kinds.mistakes import MOST, SetFound, ValueFound, made, wrong_sets, wrong_values
from itembank.languages import Said, each, say
from itembank.maths.primes import Factors, is_prime, phi_of
from itembank.notation.building import power

_LARGEST = 2000
"""Largest modulus for which slips that give sets are computed."""


@dataclass(frozen=True)
class Work:
    """The modulus and its prime powers."""

    m: int
    factors: Factors

    @cached_property
    def units(self) -> tuple[int, ...]:
        return tuple(a for a in range(self.m) if gcd(a, self.m) == 1)

    @cached_property
    def zero_divisors(self) -> tuple[int, ...]:
        return tuple(a for a in range(1, self.m) if gcd(a, self.m) > 1)

    @property
    def primes(self) -> tuple[int, ...]:
        return tuple(p for p, _k in self.factors)

    @property
    def phi(self) -> int:
        return phi_of(self.factors)


PairsFound = tuple[Iterable[tuple[int, int]], Said] | None


def of_a_set(
    m: int, factors: Factors, mistakes: dict[str, Callable[[Work], SetFound]]
) -> Iterator[Slip]:
    """The slips of a table that give sets, in the order of the method."""
    if not 3 <= m <= _LARGEST:
        return iter(())
    return wrong_sets(mistakes, Work(m, factors))


# ------------------------------------------------------------ units


def _primes_for_units(w: Work) -> SetFound:
    return [a for a in range(2, w.m) if is_prime(a) and w.m % a], say(
        "If you listed primes: a unit need not be prime itself; it must have no factor in common "
        "with {m}.",
        m=w.m,
    )


def _one_left_out(w: Work) -> SetFound:
    return w.units[1:], say("Check the smallest residues: which of them are coprime to {m}?", m=w.m)


def _divisors_struck(w: Work) -> SetFound:
    """Only 0 and the divisors of m struck out."""
    return [a for a in range(1, w.m) if a == 1 or w.m % a], say(
        "If you struck out the divisors of {m}: a residue that does not divide {m} may still have "
        "a factor in common with it.",
        m=w.m,
    )


def _last_prime_forgotten(w: Work) -> SetFound:
    """The multiples of the largest prime of m kept."""
    if len(w.factors) < 2:
        return None
    return [a for a in range(w.m) if all(a % p for p in w.primes[:-1])], say(
        "Check every prime factor of {m}: the multiples of {struck} are struck out, but {p} "
        "divides {m} as well.",
        struck=each(w.primes[:-1]),
        p=w.primes[-1],
        m=w.m,
    )


def _first_prime_forgotten(w: Work) -> SetFound:
    """The multiples of the smallest prime of m kept."""
    if len(w.factors) < 2:
        return None
    return [a for a in range(w.m) if all(a % p for p in w.primes[1:])], say(
        "Check every prime factor of {m}: the multiples of {p} have to be struck out too.",
        p=w.primes[0],
        m=w.m,
    )


def _zero_divisors_for_units(w: Work) -> SetFound:
    if not w.zero_divisors:
        return None
    return w.zero_divisors, say(
        "Each of these has a factor in common with {m}. A unit has none.",
        m=w.m,
    )


UNITS: dict[str, Callable[[Work], SetFound]] = {
    "primes-for-units": _primes_for_units,
    "one-left-out": _one_left_out,
    "divisors-struck": _divisors_struck,
    "last-prime-forgotten": _last_prime_forgotten,
    "first-prime-forgotten": _first_prime_forgotten,
    "zero-divisors-for-units": _zero_divisors_for_units,
}
"""In the order of the method."""

# ------------------------------------------------------------ zero divisors


def _as_in_the_integers(w: Work) -> SetFound:
    """None, since a product of integers other than 0 is not 0."""
    if is_prime(w.m):
        return None
    return (), say(
        "A product of **integers** other than 0 is never 0, but it can be a multiple of {m}. Write "
        "{m} as a product of two smaller numbers.",
        m=w.m,
    )


def _zero_counted(w: Work) -> SetFound:
    return (0, *w.zero_divisors), say(
        "0 itself is not counted as a zero divisor: read the definition in the question once more."
    )


def _divisors_only(w: Work) -> SetFound:
    return [a for a in range(2, w.m) if w.m % a == 0], say(
        "If you listed the divisors of {m}: multiples of these are zero divisors too.",
        m=w.m,
    )


def _primes_only(w: Work) -> SetFound:
    return [p for p in w.primes if p < w.m], say(
        "If you listed the prime factors of {m}: their multiples are zero divisors too.",
        m=w.m,
    )


def _multiples_of_one_prime(w: Work) -> SetFound:
    if len(w.factors) < 2:
        return None
    p = w.primes[0]
    return range(p, w.m, p), say(
        "If you listed the multiples of {p} only: {m} has another prime factor.",
        p=p,
        m=w.m,
    )


def _multiples_of_all_primes(w: Work) -> SetFound:
    """Only the multiples of the product of the primes: residues with a power that is 0."""
    if len(w.factors) < 2:
        return None
    n = prod(w.primes)
    return range(n, w.m, n), say(
        "If you kept the residues that every prime factor of {m} divides: one prime factor in "
        "common is enough.",
        m=w.m,
    )


def _units_for_zero_divisors(w: Work) -> SetFound:
    return w.units, say(
        "These are coprime to {m}. A zero divisor has a factor in common with it.",
        m=w.m,
    )


ZERO_DIVISORS: dict[str, Callable[[Work], SetFound]] = {
    "as-in-the-integers": _as_in_the_integers,
    "zero-counted": _zero_counted,
    "divisors-only": _divisors_only,
    "prime-factors-only": _primes_only,
    "multiples-of-one-prime": _multiples_of_one_prime,
    "multiples-of-all-primes": _multiples_of_all_primes,
    "units-for-zero-divisors": _units_for_zero_divisors,
}
"""In the order of the method."""

# ------------------------------------------------------------ numbers


def of_the_number(m: int, factors: Factors) -> Iterator[Slip]:
    """The slips in counting zero divisors."""
    if m < 3:
        return iter(())
    return wrong_values(NUMBERS, Work(m, factors))


def _zero_in_the_count(w: Work) -> ValueFound:
    return w.m - w.phi, say("0 is not counted as a zero divisor.")


def _units_counted(w: Work) -> ValueFound:
    return w.phi, say(
        "If you counted the units: the zero divisors are the other residues, without 0."
    )


def _divisors_counted(w: Work) -> ValueFound:
    """The divisors of m other than 1 and m."""
    return prod(k + 1 for _p, k in w.factors) - 2, say(
        "If you counted the divisors of {m}: their multiples below {m} count too.",
        m=w.m,
    )


def _multiples_added(w: Work) -> ValueFound:
    """The multiples of each prime added, those of two primes counted twice."""
    if len(w.factors) < 2:
        return None
    return sum(w.m // p - 1 for p in w.primes), say(
        "If you added the multiples of {primes}: residues that two of these divide are then "
        "counted twice.",
        primes=each(w.primes),
    )


def _phi_of_prime_power_slip(w: Work) -> ValueFound:
    """phi(p^k) taken as p^k - 1."""
    powers = [(p, k) for p, k in w.factors if k > 1]
    if not powers:
        return None
    p, k = powers[0]
    return w.m - 1 - prod(p**k - 1 for p, k in w.factors), say(
        "If you took ${q} - 1$ for $φ({q})$: all multiples of {p} have a factor in common with "
        "${q}$.",
        q=power(p, k),
        p=p,
    )


NUMBERS: dict[str, Callable[[Work], ValueFound]] = {
    "zero-counted": _zero_in_the_count,
    "units-counted": _units_counted,
    "divisors-counted": _divisors_counted,
    "multiples-added": _multiples_added,
    "phi-of-prime-power": _phi_of_prime_power_slip,
}
"""In the order of the method."""

# ------------------------------------------------------------ the table of inverses


def of_the_inverses(m: int, factors: Factors) -> Iterator[Slip]:
    """The slips in a table of inverses; their answers are pairs."""
    if not 3 <= m <= _LARGEST:
        return
    work = Work(m, factors)
    if len(work.units) > MOST:
        return
    for name, pairs, feedback in made(INVERSES, work):
        yield Slip((name,), tuple(sorted(pairs)), slip(name, (), feedback).feedback)


def _negatives_for_inverses(w: Work) -> PairsFound:
    return [(a, -a % w.m) for a in w.units], say(
        "Check sums and products: here the **sum** of each pair is 0 modulo {m}. The **product** "
        "with the inverse is 1.",
        m=w.m,
    )


def _product_minus_one(w: Work) -> PairsFound:
    return [(a, -pow(a, -1, w.m) % w.m) for a in w.units], say(
        "Multiply to check: these products are −1 modulo {m}, not 1.",
        m=w.m,
    )


def _own_inverses(w: Work) -> PairsFound:
    if all(a * a % w.m == 1 for a in w.units):
        return None
    return [(a, a) for a in w.units], say(
        "Multiply to check: only those units whose square is 1 modulo {m} are their own inverses.",
        m=w.m,
    )


INVERSES: dict[str, Callable[[Work], PairsFound]] = {
    "negatives-for-inverses": _negatives_for_inverses,
    "product-minus-one": _product_minus_one,
    "own-inverses": _own_inverses,
}
"""In the order of the method."""
