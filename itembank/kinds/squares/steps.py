"""The steps by which squares modulo m are listed and counted, each with its numbers.

Notation: m modulus, p^k its prime powers. `units`: only the squares coprime to m are
meant, the quadratic residues.
"""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.maths.primes import Factors
from itembank.values.answer import Class


@dataclass(frozen=True)
class SquareTable(Step):
    """Each x from 0 to m/2 (if `units`, coprime to m) with x^2 and its least residue."""

    name = "square the residues"
    m: int
    units: bool
    is_prime: bool
    rows: tuple[tuple[int, int, int], ...]

    @property
    def effort(self) -> int:
        return len(self.rows)


@dataclass(frozen=True)
class SplitModulus(Step):
    """m as the product of its prime powers: a square modulo m is one modulo each of them."""

    name = "split the modulus"
    m: int
    factors: Factors


@dataclass(frozen=True)
class Level(Step):
    """The squares q u modulo p^k with q = p^(2j), u coprime to p and a square modulo p^n.

    n = k - 2j; `classes` are theirs, () where only their number `count` is wanted.
    """

    name = "squares of one level"
    p: int
    k: int
    q: int
    n: int
    classes: tuple[Class, ...]
    count: int


@dataclass(frozen=True)
class LocalSquares(Step):
    """The squares modulo p^k by level, 0 beside them unless `units`; `count` of them all.

    `again` if an odd prime was told before.
    """

    name = "squares modulo a prime power"
    p: int
    k: int
    units: bool
    levels: tuple[Level, ...]
    count: int
    again: bool = False

    @property
    def effort(self) -> int:
        return len(self.levels)


@dataclass(frozen=True)
class MultiplyCounts(Step):
    """The number modulo m, the product of the numbers modulo the prime powers.

    `weights`, where the squares are listed: for each prime power the least residue that is 1
    modulo it and 0 modulo the others.
    """

    name = "multiply the numbers"
    m: int
    counts: tuple[tuple[int, int, int], ...]
    """(p, k, number modulo p^k)"""
    total: int
    weights: tuple[int, ...]
    residues: tuple[tuple[int, ...], ...] = ()
    """Where they are few, the squares modulo each prime power."""
