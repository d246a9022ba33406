"""The right sides for which a x^k = c (mod m) is solvable; notation and source as in `kind`."""

from dataclasses import dataclass
from math import gcd

from itembank.kinds.base import Solution, Step
from itembank.values.answer import Class, ResidueSet, Value

LISTED = 10_000
"""The largest modulus."""


@dataclass(frozen=True)
class Divides(Step):
    """ax and m are multiples of d = gcd(a, m), and ax takes every multiple of it."""

    name = "divide"
    a: int
    m: int
    d: int


@dataclass(frozen=True)
class Multiples(Step):
    """The multiples of d modulo m, from 0 on: m/d of them."""

    name = "multiples"
    m: int
    d: int


@dataclass(frozen=True)
class Powers(Step):
    """The values of a x^k modulo p for x = 0, 1, ..., up to the last that can bring a new one."""

    name = "powers"
    a: int
    k: int
    p: int
    last: int

    @property
    def rows(self) -> tuple[tuple[int, int], ...]:
        return tuple((x, self.a * x**self.k % self.p) for x in range(self.last + 1))

    @property
    def effort(self) -> int:
        return self.last + 1


@dataclass(frozen=True)
class CountPowers(Step):
    """Of p - 1 units each e = gcd(k, p - 1) have the same k-th power."""

    name = "count powers"
    a: int
    k: int
    p: int
    e: int

    @property
    def effort(self) -> int:
        return 3


def all_of_them(a: int, k: int, m: int) -> Solution[ResidueSet]:
    """0 <= a < m; for k > 1 m is a prime, and a is not 0."""
    if k == 1:
        d = gcd(a, m)
        return Solution(ResidueSet.of(m, [(0, d)]), (Divides(a, m, d), Multiples(m, d)))
    table = Powers(a, k, m, m // 2 if k % 2 == 0 else m - 1)
    classes: list[Class] = [(c, m) for c in sorted({c for _x, c in table.rows})]
    return Solution(ResidueSet.of(m, classes), (table,))


def their_number(a: int, k: int, m: int) -> Solution[Value]:
    """As `all_of_them`."""
    if k == 1:
        d = gcd(a, m)
        return Solution(Value(m // d), (Divides(a, m, d), Multiples(m, d)))
    e = gcd(k, m - 1)
    return Solution(Value(1 + (m - 1) // e), (CountPowers(a, k, m, e),))


@dataclass(frozen=True)
class Others(Step):
    """The residues modulo m that are no right side."""

    name = "the others"
    m: int
    found: tuple[int, ...]


def none_of_them(a: int, k: int, m: int) -> Solution[ResidueSet]:
    """The c without a solution; as `all_of_them`."""
    solvable = all_of_them(a, k, m)
    found = tuple(c for c in range(m) if c not in solvable.answer)
    return Solution(ResidueSet.of(m, [(c, m) for c in found]), (*solvable.steps, Others(m, found)))
