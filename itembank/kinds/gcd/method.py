"""Euclid's algorithm for the greatest common divisor; from it the least common multiple.

Conventions: neither value is negative; gcd(a, 0) = |a|, also for a = 0; lcm(a, 0) = 0.

Sources: Euclid, Elements VII, 2 and 34; Niven, Zuckerman & Montgomery, An Introduction to the
Theory of Numbers, 5th ed., 1.2; Knuth, The Art of Computer Programming 2, 3rd ed., 4.5.2 (the
conventions for 0).
"""

from collections.abc import Sequence
from dataclasses import dataclass

from itembank.kinds.base import Solution, Step
from itembank.values.answer import Value

Rows = tuple[tuple[int, int], ...]
"""The divisions of Euclid's algorithm: dividend and divisor of each."""


@dataclass(frozen=True)
class DropSigns(Step):
    """The numbers by their absolute values: n and -n have the same divisors and multiples."""

    name = "drop the signs"
    numbers: tuple[int, ...]

    @property
    def effort(self) -> int:
        return 0


@dataclass(frozen=True)
class Zeros(Step):
    """Some numbers are 0; `left` are the others, in the order given."""

    name = "zeros"
    of: str
    left: tuple[int, ...]


@dataclass(frozen=True)
class Euclid(Step):
    """The divisions that lead to d = gcd(a, b), the larger number divided first; a, b >= 1."""

    name = "Euclid's algorithm"
    a: int
    b: int
    rows: Rows
    d: int

    @property
    def effort(self) -> int:
        return len(self.rows)


@dataclass(frozen=True)
class Onward(Step):
    """What was reached, taken together with the next number n, has the value that is wanted."""

    name = "next number"
    of: str
    numbers: tuple[int, ...]
    reached: int
    left: tuple[int, ...]

    @property
    def effort(self) -> int:
        return 0


@dataclass(frozen=True)
class AtOne(Step):
    """A common divisor 1 was reached before the last number: no other number changes it."""

    name = "coprime"
    left: tuple[int, ...]


@dataclass(frozen=True)
class Multiple(Step):
    """m = lcm(a, b) from d = gcd(a, b): a divided by d, times b."""

    name = "least common multiple"
    a: int
    b: int
    d: int
    m: int


@dataclass(frozen=True)
class Quotients(Step):
    """A check: each number as a multiple of the greatest common divisor d."""

    name = "check"
    numbers: tuple[int, ...]
    d: int


def divisions(a: int, b: int) -> Rows:
    """The larger of two positive numbers by the smaller, then each divisor by its remainder.

    >>> divisions(30, 84)
    ((84, 30), (30, 24), (24, 6))
    """
    n, divisor = max(a, b), min(a, b)
    rows = []
    while divisor:
        rows.append((n, divisor))
        n, divisor = divisor, n % divisor
    return tuple(rows)


def _euclid(a: int, b: int) -> Euclid:
    rows = divisions(a, b)
    return Euclid(a, b, rows, rows[-1][1])


def sizes(numbers: Sequence[int]) -> tuple[int, ...]:
    """The absolute values of the numbers that are not 0."""
    return tuple(abs(n) for n in numbers if n)


def _beginning(of: str, numbers: tuple[int, ...]) -> list[Step]:
    """What is done before any division."""
    steps: list[Step] = [DropSigns(numbers)] if min(numbers) < 0 else []
    return [*steps, Zeros(of, sizes(numbers))] if 0 in numbers else steps


def gcd_found(numbers: tuple[int, ...]) -> Solution[Value]:
    """The greatest common divisor, two numbers at a time."""
    steps = _beginning("gcd", numbers)
    positive = sizes(numbers)
    d = positive[0] if positive else 0
    for place, n in enumerate(positive[1:], 1):
        if d == 1:
            steps.append(AtOne(positive[place:]))
            break
        if place > 1:
            steps.append(Onward("gcd", positive, d, positive[place:]))
        found = _euclid(d, n)
        steps.append(found)
        d = found.d
    if len(positive) > 1:
        steps.append(Quotients(positive, d))
    return Solution(Value(d), tuple(steps))


def lcm_found(numbers: tuple[int, ...]) -> Solution[Value]:
    """The least common multiple, two numbers at a time, each by their common divisor."""
    steps = _beginning("lcm", numbers)
    if 0 in numbers:
        return Solution(Value(0), tuple(steps))
    positive = sizes(numbers)
    m, *others = positive
    for place, n in enumerate(others, 1):
        if place > 1:
            steps.append(Onward("lcm", positive, m, positive[place:]))
        found = _euclid(m, n)
        product = m // found.d * n
        steps += [found, Multiple(m, n, found.d, product)]
        m = product
    return Solution(Value(m), tuple(steps))
