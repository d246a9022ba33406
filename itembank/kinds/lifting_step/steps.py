"""The typed steps of one lifting step, each with its numbers.

Notation: r a root of f modulo p^k, to be lifted to r + p^k t modulo p^(k+1).
"""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.kinds.linear.isolating import Isolating, isolating
from itembank.maths.polynomials import Poly


@dataclass(frozen=True)
class Root(Step):
    """f = left - right and f(r), a multiple of p^k; `moved` if f was not the left side."""

    name = "the root"
    f: Poly
    r: int
    p: int
    k: int
    value: int
    moved: bool


@dataclass(frozen=True)
class Slope(Step):
    """f' and its value at r, with the residue modulo p."""

    name = "derivative"
    f: Poly
    r: int
    p: int
    value: int


@dataclass(frozen=True)
class SolveForT(Step):
    """quotient + slope t = 0 (mod p): the t, one, none or every residue modulo p."""

    name = "solve for t"
    r: int
    p: int
    k: int
    value: int
    quotient: int
    slope: int
    ts: tuple[int, ...] | None
    """None for every residue modulo p."""

    @property
    def way(self) -> Isolating | None:
        """From slope t = -quotient (mod p) to t; None for a singular root."""
        return isolating(self.slope, -self.quotient, self.p) if self.slope else None

    @property
    def effort(self) -> int:
        return 1 + (self.way.effort if self.way else 0)


@dataclass(frozen=True)
class Lifts(Step):
    """The roots r + p^k t modulo p^(k+1)."""

    name = "answer"
    f: Poly
    r: int
    p: int
    k: int
    ts: tuple[int, ...] | None
