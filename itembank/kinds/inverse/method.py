"""The inverse of a modulo m by Euclid's algorithm: the steps, and finding them.

Notation: d = gcd(a, m); a row is dividend = quotient * divisor + remainder.
Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed.,
section 1.2 and Theorem 2.9.
"""

from dataclasses import dataclass
from math import gcd

from itembank.kinds.base import Solution, Step
from itembank.languages import Said, say
from itembank.maths.remainders import EuclidStep, euclid_steps
from itembank.values.answer import Absent, Value

BACKWARDS = 5
"""Up to this many rows are put into each other backwards; beyond it the table carries them."""


@dataclass(frozen=True)
class Reduce(Step):
    """a is taken as its least residue."""

    name = "reduce"
    a: int
    residue: int


@dataclass(frozen=True)
class AtOnce(Step):
    """The residue 1 is its own inverse; modulo 1 so is 0; 0 has none modulo m > 1."""

    name = "at once"
    a: int
    m: int


@dataclass(frozen=True)
class Euclid(Step):
    """The rows of Euclid's algorithm, down to d = gcd(a, m)."""

    name = "Euclid's algorithm"
    a: int
    m: int
    d: int
    rows: tuple[EuclidStep, ...]

    @property
    def effort(self) -> int:
        return len(self.rows)


@dataclass(frozen=True)
class Backwards(Step):
    """The rows with a remainder, put into each other from the last to the first."""

    name = "back substitution"
    rows: tuple[EuclidStep, ...]

    @property
    def effort(self) -> int:
        return len(self.rows)


@dataclass(frozen=True)
class Carried(Backwards):
    """The same result from coefficients carried along forwards."""

    name = "carried coefficients"


@dataclass(frozen=True)
class Inverse(Step):
    """a * v = 1 (mod m) with v as found, and its least residue."""

    name = "inverse"
    a: int
    m: int
    v: int
    inverse: int


def inverse_found(number: int, m: int) -> Solution[Value | Absent]:
    """The inverse of a number modulo m, or why it has none."""
    a = number % m
    steps: list[Step] = [] if a == number else [Reduce(number, a)]
    if a < 2 and (a == 1 or m == 1):
        return Solution(Value(a, m), (*steps, AtOnce(a, m)))
    if a == 0:
        return Solution(Absent(reason(number, m, m)), (*steps, AtOnce(a, m)))
    rows = euclid_steps(a, m)
    d = gcd(a, m)
    steps.append(Euclid(a, m, d, rows))
    if d > 1:
        return Solution(Absent(reason(number, m, d)), tuple(steps))
    v = rows[-2].v
    how = Backwards if len(rows) - 1 <= BACKWARDS else Carried
    steps += [how(rows[:-1]), Inverse(a, m, v, v % m)]
    return Solution(Value(v % m, m), tuple(steps))


def reason(a: int, m: int, d: int) -> Said:
    """Why a has no inverse modulo m, d > 1 their greatest common divisor."""
    return say(
        "${a}$ has no inverse modulo {m}: both are multiples of {d}, so every multiple of ${a}$ "
        "leaves a multiple of {d} as its remainder modulo {m}, and never 1.",
        a=a,
        m=m,
        d=d,
    )
