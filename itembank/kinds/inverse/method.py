"""The inverse of a modulo m by Euclid's algorithm: the steps, and finding them.

Notation: d = gcd(a, m); a row is dividend = quotient * divisor + remainder.
Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed.,
section 1.2 and Theorem 2.9.
"""

from dataclasses import dataclass
from math import gcd

from itembank.kinds.base import Solution, Step
from itembank.kinds.euclid import seen_in_turn, turns
from itembank.languages import Said, say
from itembank.maths.remainders import EuclidStep, euclid_steps
from itembank.values.answer import Absent, Value

_BACKWARDS = 5
"""Up to this many rows are put into each other backwards; beyond it the table carries them ..."""

_MOST_BACKWARDS = 20
"""... or beyond these, where a course teaches to go backwards."""


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
class Inspect(Step):
    """1, 1 + m, 1 + 2m, ... looked through for a multiple of a."""

    name = "inspection"
    a: int
    m: int

    @property
    def effort(self) -> int:
        return turns(self.a, self.m)


@dataclass(frozen=True)
class Inverse(Step):
    """a * v = 1 (mod m) with v as found, and its least residue; `seen` if its product was.

    `carried` if v stands in a table of coefficients.
    """

    name = "inverse"
    a: int
    m: int
    v: int
    inverse: int
    seen: bool = False
    carried: bool = False

    @property
    def effort(self) -> int:
        return 0 if self.seen else 1


def inverse_found(number: int, m: int, method: str = "") -> Solution[Value | Absent]:
    """The inverse of a number modulo m, or why it has none, by the method of a course."""
    a = number % m
    steps: list[Step] = [] if a == number else [Reduce(number, a)]
    if a < 2 and (a == 1 or m == 1):
        return Solution(Value(a, m), (*steps, AtOnce(a, m)))
    if a == 0:
        return Solution(Absent(_reason(number, m, m)), (*steps, AtOnce(a, m)))
    rows = euclid_steps(a, m)
    d = gcd(a, m)
    if method == "inspection" and d == 1 and seen_in_turn(a, m):
        v = pow(a, -1, m)
        return Solution(Value(v, m), (*steps, Inspect(a, m), Inverse(a, m, v, v, seen=True)))
    steps.append(Euclid(a, m, d, rows))
    if d > 1:
        return Solution(Absent(_reason(number, m, d)), tuple(steps))
    v = rows[-2].v
    most = _BACKWARDS if method != "Euclid backwards" else _MOST_BACKWARDS
    how = Backwards if len(rows) - 1 <= most and method != "table" else Carried
    steps += [how(rows[:-1]), Inverse(a, m, v, v % m, carried=how is Carried)]
    return Solution(Value(v % m, m), tuple(steps))


def _reason(a: int, m: int, d: int) -> Said:
    """Why a has no inverse modulo m, d > 1 their greatest common divisor."""
    return say(
        "${a}$ has no inverse modulo {m}: both are multiples of {d}, so every multiple of ${a}$ "
        "leaves a multiple of {d} as its remainder modulo {m}, and never 1.",
        a=a,
        m=m,
        d=d,
    )
