"""The steps that are an exponential congruence's own, each with its numbers.

Notation: a, b, c, m as in `kind`; after division b^x = y (mod m1).
"""

from dataclasses import dataclass
from math import gcd

from itembank.kinds.base import Step


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


def divided(a: int, c: int, m: int) -> Divide:
    d = gcd(a, m)
    m1 = m // d
    y = c // d * pow(a // d, -1, m1) % m1 if c % d == 0 else None
    return Divide(a, c, m, d, m1, y)
