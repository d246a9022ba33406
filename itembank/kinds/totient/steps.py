"""The steps by which phi(n) and lambda(n) are found, each with its numbers."""

from dataclasses import dataclass
from typing import Literal

from itembank.kinds.base import Step
from itembank.maths.primes import Factors

Function = Literal["phi", "lambda"]


@dataclass(frozen=True)
class FactorNumber(Step):
    """n as the product of its prime powers."""

    name = "factor the number"
    n: int
    factors: Factors


@dataclass(frozen=True)
class LocalValues(Step):
    """The value for each prime power p^k of n: (p, k, value)."""

    name = "prime powers"
    function: Function
    values: tuple[tuple[int, int, int], ...]

    @property
    def effort(self) -> int:
        return len(self.values)


@dataclass(frozen=True)
class Combine(Step):
    """The product of the values (phi), or their least common multiple (lambda)."""

    name = "combine"
    function: Function
    n: int
    values: tuple[int, ...]
    result: int


@dataclass(frozen=True)
class ByFormula(Step):
    """phi(n) = n (1 - 1/p) ... once more as a check: n, then n/p (p - 1) prime by prime."""

    name = "check by the product formula"
    n: int
    rows: tuple[tuple[int, int], ...]
    """(p, the number after p was used)"""


@dataclass(frozen=True)
class Exponent(Step):
    """What lambda(n) is for, and that it divides phi(n), the product of these values."""

    name = "compare with phi"
    n: int
    value: int
    phi: int
    values: tuple[int, ...] = ()
