"""Powers that begin with a tail: a * b^x modulo m for x = 0, 1, 2, ..., b not coprime to m.

Notation: the values repeat with `period` from the exponent `tail` on, and not before. An exponent
below the tail stands alone; one from the tail on solves with every exponent that differs by
a multiple of the period.
"""

from dataclasses import dataclass
from math import gcd

from itembank.kinds.base import Solution, Step
from itembank.languages import say
from itembank.values.answer import Absent, Value
from itembank.values.errors import StatementError
from itembank.values.worded import worded

_FOLLOWED = 1_000_000
"""The most powers that are worked out one after another."""


@dataclass(frozen=True)
class Shared(Step):
    """The base and the modulus share the factor g."""

    name = "no order"
    base: int
    m: int
    g: int


@dataclass(frozen=True)
class Powers(Step):
    """a * b^x mod m for x = 0, 1, ..., up to the first value that was there before."""

    name = "powers until they repeat"
    factor: int
    base: int
    m: int
    values: tuple[int, ...]
    tail: int

    @property
    def period(self) -> int:
        return len(self.values) - self.tail

    @property
    def effort(self) -> int:
        return len(self.values)


@dataclass(frozen=True)
class Found(Step):
    """Where c stands among the values: `alone` below the tail, `repeated` from it on."""

    name = "exponents"
    c: int
    alone: tuple[int, ...]
    repeated: tuple[int, ...]
    period: int


def least_exponent(a: int, b: int, c: int, m: int, where: str) -> Solution[Value | Absent]:
    """The least x >= 0 with a * b^x = c (mod m).  StatementError where the powers are too many."""
    values, tail = _followed(a, b, m, where)
    powers = Powers(a, b, m, values, tail)
    places = [x for x, value in enumerate(values) if value == c % m]
    found = Found(
        c % m,
        tuple(x for x in places if x < tail),
        tuple(x for x in places if x >= tail),
        powers.period,
    )
    steps = (Shared(b, m, gcd(b, m)), powers, found)
    if places:
        return Solution(Value(places[0]), steps)
    return Solution(Absent(say("{c} is none of these values.", c=c % m)), steps)


def _followed(a: int, b: int, m: int, where: str) -> tuple[tuple[int, ...], int]:
    """The values up to the first repetition, and the exponent from which they repeat."""
    seen: dict[int, int] = {}
    value = a % m
    while value not in seen:
        if len(seen) == _FOLLOWED:
            raise StatementError(
                worded(
                    "{where}: the powers do not repeat within {followed}; a base coprime to the "
                    "modulus is solved by indices",
                    where=where,
                    followed=_FOLLOWED,
                )
            )
        seen[value] = len(seen)
        value = value * b % m
    return tuple(seen), seen[value]
