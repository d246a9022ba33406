"""The typed steps of solving two linear congruences in two unknowns, each with its numbers.

Notation: a row (a, b, c) is ax + by = c (mod m); D = a1 b2 - a2 b1 is the determinant.
Residues are least non-negative.  Nothing here computes.
"""

from dataclasses import dataclass
from math import gcd
from typing import Literal

from itembank.kinds.base import Step
from itembank.kinds.linear.isolating import Isolating, awkwardness, isolating
from itembank.maths.remainders import Weight

Row = tuple[int, int, int]
Rows = tuple[Row, Row]
Pair = tuple[int, int]
Factors = tuple[tuple[int, int], ...]
Unknown = Literal["x", "y"]


@dataclass(frozen=True)
class LeastResidues(Step):
    """The two rows with least residues for their numbers."""

    name = "reduce"
    effort = 0
    rows: Rows
    m: int


@dataclass(frozen=True)
class Determinant(Step):
    """D and g = gcd(D, m): if g is 1 there is exactly one solution."""

    name = "determinant"
    rows: Rows
    m: int
    D: int
    g: int


@dataclass(frozen=True)
class Eliminate(Step):
    """One unknown eliminated, `left` stays: D * left = right, so left = value."""

    name = "eliminate"
    rows: Rows
    m: int
    left: Unknown
    D: int
    right: int
    value: int

    @property
    def factors(self) -> Pair:
        """What the kept row and the other are multiplied by before they are subtracted."""
        first, second = self.rows
        mine, theirs = (second[1], first[1]) if self.left == "x" else (first[0], second[0])
        g = gcd(mine, theirs)
        return mine // g, theirs // g

    @property
    def way(self) -> Isolating:
        """From the difference, which is D/g times the unknown, to the unknown."""
        (a1, b1, c1), (a2, b2, c2) = self.rows
        one, two = self.factors
        if self.left == "x":
            whole, right = one * a1 - two * a2, one * c1 - two * c2
        else:
            whole, right = one * b2 - two * b1, one * c2 - two * c1
        m = self.m
        ways = [isolating(whole % m, right % m, m)]
        if (whole == -1 or 0 < whole < m) and abs(right) < 2 * m:
            ways.append(isolating(whole, right, m))
        return min(ways, key=awkwardness)

    @property
    def effort(self) -> int:
        return 2 + self.way.effort


@dataclass(frozen=True)
class Express(Step):
    """unknown = r + s * other, from row `row` (0 or 1), where its coefficient is a unit.

    The inverse of that coefficient is nearest to 0, and so are r and s.
    """

    name = "express one unknown"
    rows: Rows
    m: int
    row: int
    unknown: Unknown
    inverse: int
    r: int
    s: int


@dataclass(frozen=True)
class OneUnknown(Step):
    """Put into the other row: A * other = B, g = gcd(A, m); `values` of other, then the pairs.

    `row` is the other row as it stands, the coefficient of `unknown` = r + s * other first.
    """

    name = "one unknown left"
    m: int
    unknown: Unknown
    row: Row
    r: int
    s: int
    A: int
    B: int
    g: int
    values: tuple[int, ...]
    pairs: tuple[Pair, ...]

    @property
    def way(self) -> Isolating | None:
        """From (A/g) t = B/g (mod m/g) to t, if there is something to do."""
        if not self.values or self.g == self.m:
            return None
        return isolating(self.A // self.g, self.B // self.g, self.m // self.g)

    @property
    def effort(self) -> int:
        return 2 + (self.way.effort if self.way else 0) + len(self.pairs)


@dataclass(frozen=True)
class Split(Step):
    """m as a product of prime powers: no coefficient is a unit modulo m."""

    name = "split the modulus"
    m: int
    factors: Factors

    @property
    def effort(self) -> int:
        return len(self.factors)


@dataclass(frozen=True)
class Local(Step):
    """What follows is modulo q, a prime power of m; the rows there."""

    name = "one prime power"
    effort = 0
    q: int
    rows: Rows


@dataclass(frozen=True)
class DivideOut(Step):
    """p divides every coefficient; rows divided by p, modulo m/p.  None if a right side is left."""

    name = "divide out p"
    p: int
    m: int
    rows: Rows
    divided: Rows | None


@dataclass(frozen=True)
class Spread(Step):
    """Each pair modulo m/p is p^2 pairs modulo m."""

    name = "spread"
    p: int
    m: int
    found: tuple[Pair, ...]
    pairs: tuple[Pair, ...]


@dataclass(frozen=True)
class Combine(Step):
    """Every choice of a pair for each prime power, x and y combined alike."""

    name = "combine"
    weights: tuple[Weight, ...]
    choices: tuple[tuple[tuple[Pair, ...], Pair], ...]
    m: int

    @property
    def effort(self) -> int:
        return 2 * len(self.choices)


@dataclass(frozen=True)
class Conclude(Step):
    """All pairs modulo m."""

    name = "answer"
    effort = 0
    m: int
    pairs: tuple[Pair, ...]


@dataclass(frozen=True)
class Check(Step):
    """Pairs put into both congruences."""

    name = "check"
    rows: Rows
    m: int
    pairs: tuple[Pair, ...]
    complete: bool

    @property
    def effort(self) -> int:
        return 2 * len(self.pairs)


@dataclass(frozen=True)
class Decide(Step):
    """There are `count` pairs modulo m, which nobody asked to see.

    `counts` are those modulo the prime powers, where these were solved apart.
    """

    name = "answer"
    m: int
    counts: tuple[int, ...]
    count: int
    any: bool

    @property
    def effort(self) -> int:
        return len(self.counts)
