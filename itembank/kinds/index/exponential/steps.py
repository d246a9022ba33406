"""The steps that are an exponential congruence's own, each with its numbers.

Notation: a, b, c, m as in `kind`; after division b^x = y (mod m1).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import gcd

from itembank.kinds.base import Step
from itembank.kinds.index.steps import PowerTable
from itembank.kinds.order.steps import TryDivisors


@dataclass(frozen=True)
class Divide(Step):
    """a y = c (mod m), d = gcd(a, m): y = `y` modulo m1 = m/d, or no y if d does not divide c."""

    name = "divide by the factor"
    a: int
    c: int
    m: int
    d: int
    m1: int
    y: int | None


@dataclass(frozen=True)
class Repeat(Step):
    """b^x has period t modulo m1, so the solutions modulo n = phi(m) are k, k + t, ..."""

    name = "period"
    b: int
    m1: int
    k: int
    t: int
    n: int


@dataclass(frozen=True)
class OrderSeen(Step):
    """No power up to the exponent k is 1, and the order divides n: n has no other divisor > k."""

    name = "the order from the table"
    b: int
    m1: int
    k: int
    n: int


def seen_in_the_table(steps: Sequence[Step]) -> Iterator[Step]:
    """The steps as they are told: powers that the table of powers has shown are not made again.

    What they cost stays as it was measured, since the conditions of families hold it.
    """
    k = 0
    for step in steps:
        if isinstance(step, PowerTable):
            k = step.k or 0
        whole = isinstance(step, TryDivisors) and step.t == step.n > 1
        if isinstance(step, TryDivisors) and whole and largest_below(step.n) <= k:
            yield OrderSeen(step.a, step.m, k, step.n)
        else:
            yield step


def largest_below(n: int) -> int:
    """The largest divisor of n below n, n at least 2."""
    return next(n // q for q in range(2, n + 1) if n % q == 0)


def divided(a: int, c: int, m: int) -> Divide:
    d = gcd(a, m)
    m1 = m // d
    y = c // d * pow(a // d, -1, m1) % m1 if c % d == 0 else None
    return Divide(a, c, m, d, m1, y)
