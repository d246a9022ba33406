"""Solving one linear congruence in two unknowns, ax + by = c (mod m): all pairs of residues.

Notation: g = gcd(a, b, m); d = gcd(b, m). There are solutions exactly if g divides c, and then
mg of them. Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers,
5th ed., section 2.2 (one unknown, used for each value of the other; from memory).
"""

from dataclasses import dataclass
from math import gcd

from itembank.kinds.base import Solution, Step
from itembank.values.answer import LISTED, Pairs
from itembank.values.worded import worded

Row = tuple[int, int, int]
Pair = tuple[int, int]

_CHECKED = 3
"""At most this many pairs are put in."""


class TooManyPairs(ValueError):
    """There are more pairs than can be listed."""


@dataclass(frozen=True)
class LeastResidues(Step):
    """The coefficients, reduced."""

    name = "take least residues"
    row: Row
    m: int


@dataclass(frozen=True)
class Divisor(Step):
    """g = gcd(a, b, m), and whether it divides c."""

    name = "greatest common divisor"
    row: Row
    m: int
    g: int

    @property
    def solvable(self) -> bool:
        return self.row[2] % self.g == 0


@dataclass(frozen=True)
class Condition(Step):
    """Modulo d = gcd(b, m) the term with the other unknown is 0: ax = c (mod d), x = r (mod e).

    `swapped` as in Express.
    """

    name = "condition on one unknown"
    row: Row
    m: int
    d: int
    r: int
    e: int
    swapped: bool


@dataclass(frozen=True)
class Express(Step):
    """by = c - ax for each x that is allowed: b/d has the inverse `inverse` modulo m/d.

    `swapped` if the unknowns stand for each other: then x is the second of a pair.
    """

    name = "express one unknown by the other"
    row: Row
    m: int
    d: int
    inverse: int
    values: tuple[tuple[int, int], ...]
    swapped: bool

    @property
    def effort(self) -> int:
        return 1 + min(len(self.values), 24)


@dataclass(frozen=True)
class Conclude(Step):
    """All pairs, increasing."""

    name = "all solutions"
    m: int
    g: int
    pairs: tuple[Pair, ...]


@dataclass(frozen=True)
class Decide(Step):
    """There are n solutions modulo m, which nobody wants to see; or `any` at all."""

    name = "answer"
    effort = 0
    m: int
    n: int
    any: bool
    row: Row
    g: int


@dataclass(frozen=True)
class Check(Step):
    name = "check by substitution"
    row: Row
    m: int
    pairs: tuple[Pair, ...]

    @property
    def effort(self) -> int:
        return len(self.pairs)


def decided(solution: Solution[Pairs], m: int, any_: bool) -> Solution[Pairs]:
    """The solution as far as the greatest common divisor, which decides whether, and how many."""
    if not solution.answer.pairs:
        return solution
    kept = tuple(s for s in solution.steps if isinstance(s, LeastResidues | Divisor))
    (divisor,) = (s for s in kept if isinstance(s, Divisor))
    end = Decide(m, len(solution.answer.pairs), any_, divisor.row, divisor.g)
    return Solution(solution.answer, (*kept, end))


def solve(row: Row, m: int) -> Solution[Pairs]:
    """All pairs (x, y) of least residues.  Raises TooManyPairs."""
    a, b, c = least = (row[0] % m, row[1] % m, row[2] % m)
    steps: list[Step] = [LeastResidues(least, m)] if least != row else []
    g = gcd(a, b, m)
    steps.append(Divisor(least, m, g))
    if c % g:
        return Solution(Pairs(m, ()), tuple(steps))
    if m * g > LISTED:
        raise TooManyPairs(
            worded(
                "there are {m} pairs, and at most {listed} are listed; a second congruence "
                "leaves fewer",
                m=m * g,
                listed=LISTED,
            )
        )
    swapped = gcd(a, m) < gcd(b, m)
    work = (b, a, c) if swapped else least
    found = tuple(
        (x, y)
        for x, first, step in _by_one_unknown(work, m, steps, swapped)
        for y in range(first, m, step)
    )
    pairs = tuple(sorted((y, x) for x, y in found)) if swapped else found
    steps.append(Conclude(m, g, pairs))
    steps.append(Check(least, m, pairs[:_CHECKED]))
    return Solution(Pairs(m, pairs), tuple(steps))


def _by_one_unknown(
    row: Row, m: int, steps: list[Step], swapped: bool
) -> tuple[tuple[int, int, int], ...]:
    """For each x that is allowed: x, the least y, and the step from one y to the next."""
    a, b, c = row
    d = gcd(b, m)
    r, e = 0, 1
    if d > 1:
        h = gcd(a, d)
        e = d // h
        r = c // h * pow(a // h, -1, e) % e if e > 1 else 0
        steps.append(Condition(row, m, d, r, e, swapped))
    n = m // d
    inverse = pow(b // d, -1, n) if n > 1 else 0
    values = tuple((x, (c - a * x) // d * inverse % n) for x in range(r, m, e))
    steps.append(Express(row, m, d, inverse, values, swapped))
    return tuple((x, y, n) for x, y in values)
