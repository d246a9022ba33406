"""The steps that are an exponential congruence's own, each with its numbers.

Notation: a, b, c, m as in `kind`; after division b^x = y (mod m1).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import gcd

from itembank.kinds.base import Step
from itembank.kinds.index.steps import PowerTable
from itembank.kinds.order.steps import Phi, TryDivisors


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


@dataclass(frozen=True)
class OrderFromTable(Step):
    """b^t = b^i b^j = 1 by two rows of the table, in which no power up to t/2 is 1."""

    name = "the order from two rows"
    b: int
    m1: int
    t: int
    i: int
    j: int
    first: int
    second: int


def seen_in_the_table(steps: Sequence[Step]) -> Iterator[Step]:
    """The steps as they are told: powers that the table of powers has shown are not made again.

    What they cost stays as it was measured, since the conditions of families hold it.
    """
    k = 0
    values: tuple[int, ...] = ()
    told = list(steps)
    for place, step in enumerate(told):
        following = told[place + 1] if place + 1 < len(told) else None
        if isinstance(step, PowerTable):
            k, values = step.k or 0, step.values
        if (
            isinstance(step, Phi)
            and isinstance(following, TryDivisors)
            and not _seen_whole(following, k)
            and 1 < following.t <= 2 * k
        ):
            continue
        if isinstance(step, TryDivisors) and _seen_whole(step, k):
            yield OrderSeen(step.a, step.m, k, step.n)
        elif isinstance(step, TryDivisors) and 1 < step.t <= 2 * k:
            i = (step.t + 1) // 2
            j = step.t - i
            yield OrderFromTable(step.a, step.m, step.t, i, j, values[i], values[j])
        else:
            yield step


def _seen_whole(step: TryDivisors, k: int) -> bool:
    """Whether the order is n, and no other divisor of n is beyond the table."""
    return step.t == step.n > 1 and _largest_below(step.n) <= k


def _largest_below(n: int) -> int:
    """The largest divisor of n below n, n at least 2."""
    return next(n // q for q in range(2, n + 1) if n % q == 0)


def divided(a: int, c: int, m: int) -> Divide:
    d = gcd(a, m)
    m1 = m // d
    y = c // d * pow(a // d, -1, m1) % m1 if c % d == 0 else None
    return Divide(a, c, m, d, m1, y)
