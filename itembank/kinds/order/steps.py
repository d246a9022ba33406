"""The steps by which an order is found and proved, each with its numbers.

Notation: a modulo m, t its order, n = phi(m), q a prime of n.
"""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.maths.primes import Factors


@dataclass(frozen=True)
class CommonFactor(Step):
    """d = gcd(a, m) > 1: no power of a is 1."""

    name = "common factor"
    a: int
    m: int
    d: int


@dataclass(frozen=True)
class Phi(Step):
    """n = phi(m) from the factorisation of m, and the factorisation of n."""

    name = "phi of the modulus"
    m: int
    factors: Factors
    n: int
    n_factors: Factors


@dataclass(frozen=True)
class PowerRow:
    """a^e mod m, made of two earlier powers a^i and a^j with i + j = e (0, 0 for e = 1)."""

    e: int
    i: int
    j: int
    value: int


@dataclass(frozen=True)
class TryDivisors(Step):
    """The powers a^e for the divisors e of n up to t, and the powers that lead to them."""

    name = "try the divisors"
    a: int
    m: int
    n: int
    tried: tuple[int, ...]
    rows: tuple[PowerRow, ...]

    @property
    def effort(self) -> int:
        return len(self.rows)


@dataclass(frozen=True)
class Reduced:
    """a^(e/q) mod m: if it is 1, e may be divided by q."""

    e: int
    q: int
    value: int


@dataclass(frozen=True)
class TakeOutPrimes(Step):
    """From n down to t: primes taken out while the power stays 1."""

    name = "take out primes"
    a: int
    m: int
    n: int
    rows: tuple[Reduced, ...]

    @property
    def effort(self) -> int:
        return len(self.rows)


@dataclass(frozen=True)
class Certificate(Step):
    """a^t = 1, and a^(t/q) for each prime q of t, none of them 1."""

    name = "check"
    a: int
    m: int
    t: int
    smaller: tuple[tuple[int, int], ...]
    """(q, a^(t/q) mod m)"""

    @property
    def effort(self) -> int:
        return len(self.smaller)
