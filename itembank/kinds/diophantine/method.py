"""Solving ax + by = c over the integers, a and b not 0.

Notation: g = gcd(a, b); a = g a1, b = g b1, c = g c1. There are solutions exactly if g divides
c; then a1 x = c1 (mod b1) gives x, and all solutions are x0 + b1 t, y0 - a1 t. Source: Niven,
Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed., Theorem 5.1.
"""

from dataclasses import dataclass, replace
from math import gcd

from itembank.kinds.base import Solution, Step
from itembank.kinds.gcd.method import gcd_found
from itembank.values.answer import ResidueSet, Value

Row = tuple[int, int, int]
Pair = tuple[int, int]


@dataclass(frozen=True)
class Divisor(Step):
    """g, and whether it divides c; the reduced row where it does and is not 1.

    `decides` if nothing more is asked.
    """

    name = "greatest common divisor"
    row: Row
    g: int
    decides: bool = False

    @property
    def solvable(self) -> bool:
        return self.row[2] % self.g == 0

    @property
    def reduced(self) -> Row:
        a, b, c = self.row
        return a // self.g, b // self.g, c // self.g


@dataclass(frozen=True)
class Decide(Step):
    """Whether there is a solution, where nothing else is asked."""

    name = "answer"
    any: bool

    @property
    def effort(self) -> int:
        return 0


@dataclass(frozen=True)
class Particular(Step):
    """a x = c (mod |b|) for a and b that are coprime: x0, and the y0 that belongs to it."""

    name = "one solution"
    row: Row
    inverse: int
    x: int
    y: int


@dataclass(frozen=True)
class General(Step):
    """All solutions: (x + dx t, y + dy t) for every integer t."""

    name = "all solutions"
    row: Row
    point: Pair
    direction: Pair


@dataclass(frozen=True)
class Check(Step):
    name = "check by substitution"
    row: Row
    point: Pair
    direction: Pair


@dataclass(frozen=True)
class Range(Step):
    """The t for which both unknowns are at least `least`: from `first` to `last`."""

    name = "range of the parameter"
    point: Pair
    direction: Pair
    least: int
    first: int
    last: int

    @property
    def count(self) -> int:
        return max(self.last - self.first + 1, 0)

    def pairs(self, most: int) -> tuple[Pair, ...]:
        """The first solutions of the range."""
        (x, y), (dx, dy) = self.point, self.direction
        last = min(self.last, self.first + most - 1)
        return tuple((x + dx * t, y + dy * t) for t in range(self.first, last + 1))


def _steps_of(row: Row) -> list[Step]:
    """Up to all solutions, or to the divisor that prevents them."""
    a, b, c = row
    g = gcd(a, b)
    steps: list[Step] = [*gcd_found((a, b)).steps, Divisor(row, g)]
    if c % g:
        return steps
    a, b, c = a // g, b // g, c // g
    n = abs(b)
    inverse = pow(a, -1, n) if n > 1 else 0
    x = c * inverse % n
    point, direction = (x, (c - a * x) // b), (n, -a if b > 0 else a)
    steps.append(Particular((a, b, c), inverse, *point))
    steps.append(General((a, b, c), point, direction))
    return steps


def solve(row: Row) -> Solution[ResidueSet]:
    """The x that belong to a solution, modulo |b|: a class modulo |b|/g, or none."""
    steps = _steps_of(row)
    n = abs(row[1])
    last = steps[-1]
    if not isinstance(last, General):
        return Solution(ResidueSet.of(n, ()), tuple(steps))
    x, d = last.point[0], last.direction[0]
    steps.append(Check(row, last.point, last.direction))
    return Solution(ResidueSet.of(n, [(x, d)]), tuple(steps))


def decided(solution: Solution[ResidueSet]) -> Solution[ResidueSet]:
    """The solution as far as the greatest common divisor, which decides whether there is one."""
    kept = [s for s in solution.steps if not isinstance(s, Particular | General | Check)]
    steps = (replace(s, decides=True) if isinstance(s, Divisor) else s for s in kept)
    return Solution(solution.answer, (*steps, Decide(bool(solution.answer))))


def counted(row: Row, least: int) -> Solution[Value]:
    """How many solutions have both unknowns at least `least`; a and b are positive."""
    steps = _steps_of(row)
    last = steps[-1]
    if not isinstance(last, General):
        return Solution(Value(0), tuple(steps))
    (x, y), (dx, dy) = last.point, last.direction
    found = Range(last.point, last.direction, least, -((x - least) // dx), (y - least) // -dy)
    return Solution(Value(found.count), (*steps, found))
