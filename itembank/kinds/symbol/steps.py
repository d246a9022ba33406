"""The steps that bring a Legendre or Jacobi symbol to 1, -1 or 0, each with its numbers.

Notation: (a/n) with n odd and positive; u odd; s a sign, 1 or -1.  `factor` is what the
step multiplies the symbol by, `after` the symbol that is left, None when nothing is.
"""

from dataclasses import dataclass
from typing import Literal

from itembank.kinds.base import Step
from itembank.maths.primes import Factors

Sign = Literal[1, -1]
Pair = tuple[int, int]
BottomKind = Literal["prime", "composite", "one", "other"]


@dataclass(frozen=True)
class Rewrite(Step):
    """(a/n) = factor * (after): one rule applied."""

    a: int
    n: int

    @property
    def factor(self) -> int:
        return 1

    @property
    def after(self) -> Pair | None:
        return None


@dataclass(frozen=True)
class ReduceTop(Rewrite):
    """a is replaced by its least residue r modulo n."""

    name = "reduce"
    r: int

    @property
    def after(self) -> Pair:
        return self.r, self.n


@dataclass(frozen=True)
class TakeOutTwos(Rewrite):
    """a = 2^e u: (a/n) = (2/n)^e (u/n), with s = (2/n) from n modulo 8."""

    name = "take out twos"
    e: int
    u: int
    s: Sign

    @property
    def factor(self) -> int:
        return self.s if self.e % 2 else 1

    @property
    def after(self) -> Pair | None:
        return None if self.u == 1 else (self.u, self.n)


@dataclass(frozen=True)
class Flip(Rewrite):
    """Quadratic reciprocity: (a/n) = s (n/a), a and n odd and positive; both 0 unless coprime."""

    name = "reciprocity"
    s: Sign

    @property
    def factor(self) -> int:
        return self.s

    @property
    def after(self) -> Pair:
        return self.n, self.a


@dataclass(frozen=True)
class MinusOne(Rewrite):
    """a = -1 (mod n): s = (-1/n) from n modulo 4."""

    name = "the symbol of -1"
    s: Sign

    @property
    def factor(self) -> int:
        return self.s


@dataclass(frozen=True)
class TakeOutMinus(Rewrite):
    """-n < a < -1: (a/n) = (-1/n) (-a/n), with s = (-1/n) from n modulo 4."""

    name = "take out -1"
    s: Sign

    @property
    def factor(self) -> int:
        return self.s

    @property
    def after(self) -> Pair:
        return -self.a, self.n


@dataclass(frozen=True)
class SquareTop(Rewrite):
    """a = root^2 > 0, coprime to n: (a/n) = (root/n)^2 = 1; root = 1 too."""

    name = "a square"
    root: int


@dataclass(frozen=True)
class CommonFactor(Rewrite):
    """d = gcd(a, n) > 1: the symbol is 0."""

    name = "common factor"
    d: int

    @property
    def factor(self) -> int:
        return 0


@dataclass(frozen=True)
class One(Rewrite):
    """n = 1: the symbol is an empty product."""

    name = "the bottom is 1"


@dataclass(frozen=True)
class Kronecker(Step):
    """(a/n) for any n: n = unit * 2^e * odd, (a/n) = (a/unit) (a/2)^e (a/odd).

    unit_value = (a/unit): -1 for a < 0 and unit = -1, else 1; two_value = (a/2): 0 for a
    even, else 1 or -1 from a modulo 8.  n = 0 has (a/0) = 1 for a = 1 or -1, else 0.
    """

    name = "Kronecker's extension"
    a: int
    n: int
    unit: Sign
    e: int
    odd: int
    unit_value: Sign
    two_value: int

    @property
    def factor(self) -> int:
        return int(self.unit_value * self.two_value**self.e)


@dataclass(frozen=True)
class Conclude(Step):
    """The value, and what the bottom is: that says what the value means.

    `factors` are the symbols that Kronecker's extension multiplies, () for the others.
    """

    name = "conclude"
    a: int
    n: int
    value: int
    kind: BottomKind
    factors: tuple[int, ...] = ()

    @property
    def effort(self) -> int:
        return 0


@dataclass(frozen=True)
class RootFound(Step):
    """root^2 = a (mod p), which checks the value 1 for a prime p."""

    name = "check by a square root"
    a: int
    p: int
    root: int


@dataclass(frozen=True)
class Euler(Step):
    """Euler's criterion, which checks the value -1: a^exponent = -1 (mod p), exponent (p-1)/2."""

    name = "Euler's criterion"
    a: int
    p: int
    exponent: int


@dataclass(frozen=True)
class ByDefinition(Step):
    """(a/n) as the product of the Legendre symbols (a/p), each from the squares modulo p."""

    name = "check by the definition"
    a: int
    n: int
    factors: Factors
    symbols: tuple[tuple[int, int, int, int], ...]
    """(p, exponent of p in n, a mod p, (a/p))"""
    value: int
