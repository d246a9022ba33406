"""The steps about units and zero divisors modulo m, each with its numbers."""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.maths.primes import Factors


@dataclass(frozen=True)
class FactorModulus(Step):
    """m and its primes: the units are the residues that none of them divides."""

    name = "factor the modulus"
    m: int
    factors: Factors


@dataclass(frozen=True)
class Strike(Step):
    """The multiples of each prime of m struck out, each once; `left` are the units.

    `struck` is () where m is too large to write the residues out.
    """

    name = "strike out multiples"
    m: int
    struck: tuple[tuple[int, tuple[int, ...]], ...]
    left: tuple[int, ...]

    @property
    def effort(self) -> int:
        return max(1, len(self.struck))


@dataclass(frozen=True)
class CountUnits(Step):
    """phi(m) from the prime powers: (p, k, phi(p^k))."""

    name = "number of units"
    m: int
    values: tuple[tuple[int, int, int], ...]
    count: int

    @property
    def effort(self) -> int:
        return len(self.values)


@dataclass(frozen=True)
class Partners(Step):
    """Each zero divisor a with d = gcd(a, m) and its partner m/d: a (m/d) is a multiple of m.

    `rows` are (a, d, m/d), () where m is too large to write them out.
    """

    name = "partners"
    m: int
    rows: tuple[tuple[int, int, int], ...]
    count: int

    @property
    def effort(self) -> int:
        return max(1, len(self.rows))


@dataclass(frozen=True)
class CountZeroDivisors(Step):
    """m - 1 - phi(m): neither 0 nor a unit; `explained` if it was said why these are."""

    name = "number of zero divisors"
    m: int
    phi: int
    count: int
    explained: bool = True


@dataclass(frozen=True)
class InverseRows(Step):
    """(a, b) with ab = 1 (mod m) for the units a up to m/2; the others are their negatives."""

    name = "find the inverses"
    m: int
    rows: tuple[tuple[int, int], ...]

    @property
    def effort(self) -> int:
        return len(self.rows)


@dataclass(frozen=True)
class NegateRows(Step):
    """(m - a, m - b) for the rows (a, b): the inverse of -a is -b."""

    name = "take negatives"
    m: int
    rows: tuple[tuple[int, int], ...]
