"""The typed steps of solving ax = b (mod m), each with its numbers.

Notation: d = gcd(a, m); after division by d, a1 x = b1 (mod m1).
"""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.kinds.linear.isolating import Isolating


@dataclass(frozen=True)
class Collect(Step):
    """Everything in x to the left, the rest to the right: ax = b, both reduced modulo m.

    `moved` unless it was a multiple of x beside a number before.
    """

    name = "collect"
    a: int
    b: int
    m: int
    moved: bool = True


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
class Isolate(Step):
    """From a1 x = b1 (mod m1) to x = x0: smaller numbers, then an inverse if one is needed."""

    name = "isolate the unknown"
    way: Isolating

    @property
    def effort(self) -> int:
        return self.way.effort


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
    """a*x for the least solution x, congruent to b: the check, which m1 carries to the others."""

    name = "check"
    a: int
    b: int
    m: int
    x: int
    m1: int

    @property
    def effort(self) -> int:
        return 1 + (self.m1 < self.m)


@dataclass(frozen=True)
class Decide(Step):
    """There are `count` solutions, which nobody asked for."""

    name = "answer"
    effort = 0
    m: int
    count: int
