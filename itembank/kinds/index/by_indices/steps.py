"""The steps by which indices solve a power congruence, each with its numbers.

Notation: N = phi(m), ind the index to the base g, r = ind(c) - ind(a) mod N, d = gcd(n, N).
"""

from dataclasses import dataclass
from math import gcd

from itembank.kinds.base import Step
from itembank.kinds.order.steps import Powers

WHOLE_TABLE = 40
"""The largest phi(m) for which the whole table of indices is written out."""


@dataclass(frozen=True)
class Table(Step):
    """g^0, g^1, ... modulo m: the table of indices; empty where it is too long to write.

    Then `powers` lead to the numbers wanted, None where they are long too.
    """

    name = "table of indices"
    g: int
    m: int
    whole: int
    values: tuple[int, ...]
    wanted: tuple[tuple[int, int], ...]
    """(number, its index) for the numbers that the congruence needs."""
    powers: Powers | None

    @property
    def effort(self) -> int:
        return len(self.wanted)


@dataclass(frozen=True)
class TakeIndices(Step):
    """ind(a) + n y = ind(c), that is n y = r, modulo N; ind(a) is 0 where a is 1."""

    name = "take indices"
    a: int
    n: int
    c: int
    ind_a: int
    ind_c: int
    r: int
    whole: int


@dataclass(frozen=True)
class Linear(Step):
    """n y = r (mod N), d = gcd(n, N): y0 modulo N/d, or no y if d does not divide r."""

    name = "linear congruence"
    n: int
    r: int
    whole: int
    d: int
    y0: int | None

    @property
    def indices(self) -> range:
        step = self.whole // self.d
        return range(0) if self.y0 is None else range(self.y0, self.whole, step)


@dataclass(frozen=True)
class CountIndices(Step):
    """n y = r (mod N) has d = gcd(n, N) solutions if d divides r, else none."""

    name = "count the indices"
    n: int
    r: int
    whole: int
    d: int


@dataclass(frozen=True)
class TurnBack(Step):
    """x = g^y for each index y: (y, x); `powers` lead to the first of them, if a table does not."""

    name = "turn back"
    g: int
    m: int
    pairs: tuple[tuple[int, int], ...]
    powers: Powers | None

    @property
    def effort(self) -> int:
        return len(self.pairs)


def linear_step(n: int, r: int, whole: int) -> Linear:
    d = gcd(n, whole)
    step = whole // d
    y0 = r // d * pow(n // d, -1, step) % step if r % d == 0 else None
    return Linear(n, r, whole, d, y0)
