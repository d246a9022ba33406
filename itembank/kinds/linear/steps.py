"""The typed steps of solving ax = b (mod m), each with its numbers.

Notation: d = gcd(a, m); after division by d, a1 x = b1 (mod m1).
"""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.maths.remainders import EuclidStep

INVERSE_AT_SIGHT = 30
"""Up to this modulus an inverse is named and checked; beyond it Euclid's table finds it."""


@dataclass(frozen=True)
class Collect(Step):
    """Everything in x to the left, the rest to the right: ax = b, both reduced modulo m."""

    name = "collect"
    a: int
    b: int
    m: int


@dataclass(frozen=True)
class Vanish(Step):
    """The unknown has dropped out: 0 = b (mod m) holds for every residue, or for none."""

    name = "unknown drops out"
    b: int
    m: int


@dataclass(frozen=True)
class CommonDivisor(Step):
    """d = gcd(a, m) and whether it divides b."""

    name = "common divisor"
    a: int
    b: int
    m: int
    d: int

    @property
    def solvable(self) -> bool:
        return self.b % self.d == 0


@dataclass(frozen=True)
class Divide(Step):
    """a1 x = b1 (mod m1), after division by d > 1."""

    name = "divide"
    d: int
    a1: int
    b1: int
    m1: int


@dataclass(frozen=True)
class Invert(Step):
    """The inverse of a1 modulo m1, with Euclid's rows that find it."""

    name = "invert"
    a1: int
    m1: int
    inverse: int
    rows: tuple[EuclidStep, ...]

    @property
    def effort(self) -> int:
        return 1 if self.m1 <= INVERSE_AT_SIGHT else len(self.rows)


@dataclass(frozen=True)
class Multiply(Step):
    """x0 = inverse * b1 modulo m1."""

    name = "multiply"
    inverse: int
    b1: int
    m1: int
    x0: int


@dataclass(frozen=True)
class Spread(Step):
    """The d residues modulo m that are x0 modulo m1."""

    name = "spread"
    x0: int
    m1: int
    m: int

    @property
    def d(self) -> int:
        return self.m // self.m1


@dataclass(frozen=True)
class Substitute(Step):
    """a*x for solutions x, each congruent to b: the check."""

    name = "check"
    a: int
    b: int
    m: int
    solutions: tuple[int, ...]

    @property
    def effort(self) -> int:
        return len(self.solutions)
