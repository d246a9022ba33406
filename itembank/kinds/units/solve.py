"""The units and the zero divisors modulo m, listed or counted, and the inverses of the units.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed.,
sections 2.1 and 2.11.
"""

from math import gcd

from itembank.kinds.base import Solution, Step
from itembank.kinds.totient.solve import phi_of_prime_power
from itembank.kinds.units.steps import (
    CountUnits,
    CountZeroDivisors,
    FactorModulus,
    InverseRows,
    NegateRows,
    Partners,
    Strike,
)
from itembank.maths.primes import Factors, phi_of
from itembank.maths.remainders import inverse
from itembank.values.answer import Pairs, Part, ResidueSet, Value
from itembank.values.errors import StatementError
from itembank.values.worded import worded

_WRITTEN_OUT = 60
"""Largest modulus whose residues are written out one by one."""

_MOST_CLASSES = 10_000
"""The most classes of units modulo one prime power."""

_LISTED = 100_000
"""Largest modulus whose zero divisors are listed."""

_MOST_INVERSES = 10_000
"""The most units whose inverses are listed."""


def units(m: int, factors: Factors, statement: str) -> Solution[ResidueSet]:
    """The units; StatementError where a prime of m is too large to list its residues."""
    if any(p > _MOST_CLASSES for p, _k in factors):
        raise StatementError(
            worded(
                "{statement}: there are {phi_of}, too many to list; phi(m) is their number",
                statement=statement,
                phi_of=phi_of(factors),
            )
        )
    parts = [Part(p**k, tuple((r, p) for r in range(1, p))) for p, k in factors]
    return Solution(
        ResidueSet.product(parts),
        (FactorModulus(m, factors), _strike(m, factors), _count(m, factors)),
    )


def _strike(m: int, factors: Factors) -> Strike:
    if m > _WRITTEN_OUT:
        return Strike(m, (), ())
    left, struck = list(range(m)), []
    for p, _k in factors:
        struck.append((p, tuple(a for a in left if a % p == 0)))
        left = [a for a in left if a % p]
    return Strike(m, tuple(struck), tuple(left))


def _count(m: int, factors: Factors) -> CountUnits:
    values = tuple((p, k, phi_of_prime_power(p, k)) for p, k in factors)
    return CountUnits(m, values, phi_of(factors))


def zero_divisors(m: int, factors: Factors, statement: str) -> Solution[ResidueSet]:
    """The zero divisors; StatementError for an m too large to list them."""
    number = _number_of_the_rest(m, factors)
    if m > _LISTED and number:
        raise StatementError(
            worded(
                "{statement}: there are {number}, and they are listed up to the modulus "
                "{listed}; 'number of {statement}' tells how they are counted",
                statement=statement,
                number=number,
                listed=_LISTED,
            )
        )
    found = [a for a in range(1, m) if gcd(a, m) > 1] if number else []
    rows = tuple((a, gcd(a, m), m // gcd(a, m)) for a in found) if m <= _WRITTEN_OUT else ()
    steps: list[Step] = [FactorModulus(m, factors)]
    if number:
        steps.append(Partners(m, rows, number))
    steps += [_count(m, factors), CountZeroDivisors(m, phi_of(factors), number)]
    return Solution(ResidueSet.of(m, [(a, m) for a in found]), tuple(steps))


def number_of_zero_divisors(m: int, factors: Factors) -> Solution[Value]:
    number = _number_of_the_rest(m, factors)
    rest = CountZeroDivisors(m, phi_of(factors), number, explained=not number)
    return Solution(Value(number), (FactorModulus(m, factors), _count(m, factors), rest))


def _number_of_the_rest(m: int, factors: Factors) -> int:
    """How many residues are neither 0 nor a unit; modulo 1 the residue 0 is both."""
    return m - 1 - phi_of(factors) if m > 1 else 0


def inverses(m: int, factors: Factors, statement: str) -> Solution[Pairs]:
    """The units with their inverses; StatementError where they are too many."""
    number = phi_of(factors)
    if number > _MOST_INVERSES:
        raise StatementError(
            worded(
                "{statement}: there are {number} units, more than {most_inverses}; ask for "
                "one, as in 'inverse of 7 mod {m}'",
                statement=statement,
                number=number,
                most_inverses=_MOST_INVERSES,
                m=m,
            )
        )
    found = [(a, inverse(a, m)) for a in range(m) if gcd(a, m) == 1]
    half = tuple(pair for pair in found if 2 * pair[0] <= m)
    rest = tuple(pair for pair in found if 2 * pair[0] > m)
    steps: list[Step] = [FactorModulus(m, factors), InverseRows(m, half)]
    if rest:
        steps.append(NegateRows(m, rest))
    return Solution(Pairs(m, tuple(found)), tuple(steps))
