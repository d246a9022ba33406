"""The steps that decide whether a is a square modulo m, each with its numbers.

Notation: m modulus, p^k its prime powers, r the least residue of a modulo p^k; where p
divides r but p^k does not, r = p^e u with u coprime to p.
"""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.kinds.symbol.steps import Rewrite


@dataclass(frozen=True)
class Local(Step):
    """Whether a is a square modulo p^k."""

    name = "test modulo a prime power"
    p: int
    k: int
    a: int
    r: int
    holds: bool


@dataclass(frozen=True)
class ZeroLocal(Local):
    """p^k divides a, and 0 is a square."""

    name = "a multiple of the prime power"


@dataclass(frozen=True)
class OddPower(Local):
    """p^e is the exact power of p in r, e odd and below k: no square."""

    name = "an odd power of the prime"
    e: int


@dataclass(frozen=True)
class TwoPower(Local):
    """u odd, r = 2^e u with e even: u must be 1 modulo 2^n, n = min(k - e, 3)."""

    name = "a power of two"
    e: int
    u: int
    n: int


@dataclass(frozen=True)
class OddPrime(Local):
    """r = p^e u with e even: u must be a square modulo p, listed or by Legendre's symbol.

    `squares` are the squares modulo p other than 0, () where the rules `rules` for the
    symbol (u/p) decide.
    """

    name = "an odd prime"
    e: int
    u: int
    squares: tuple[int, ...]
    rules: tuple[Rewrite, ...]

    @property
    def effort(self) -> int:
        return max(1, len(self.rules))


@dataclass(frozen=True)
class SeenSquare(Step):
    """root^2 is the least residue r of a, or becomes it by a few times m."""

    name = "a square at sight"
    a: int
    r: int
    m: int
    root: int


@dataclass(frozen=True)
class Verdict(Step):
    """a is a square modulo m, with a root of it where one is given; or modulo p^k it is none.

    `jacobi` is the Jacobi symbol (a/m) of an odd composite m, None for other m.
    """

    name = "verdict"
    a: int
    m: int
    holds: bool
    root: int | None
    failed: tuple[int, int] | None
    jacobi: int | None

    @property
    def effort(self) -> int:
        return 0
