"""The steps by which an order is found and proved, each with its numbers.

Notation: a modulo m, t its order, n = phi(m), q a prime of n.
"""

from dataclasses import dataclass
from typing import Literal, NamedTuple

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


class PowerRow(NamedTuple):
    """a^e mod m, nearest to 0, as a product of earlier powers whose exponents add up to e.

    parts are their exponents, the largest first; () for e = 1.
    """

    e: int
    parts: tuple[int, ...]
    value: int


Ending = Literal["one", "minus one"]
"""Why the last divisor tried settles the order t: its power is 1, so it is t; or its power is -1,
so t is twice as much. An order phi(m) is always seen by the second."""


@dataclass(frozen=True)
class TryDivisors(Step):
    """The powers a^e for the divisors e of n, as far as they are needed, and what leads to them."""

    name = "try the divisors"
    a: int
    m: int
    n: int
    tried: tuple[int, ...]
    rows: tuple[PowerRow, ...]
    t: int
    ending: Ending

    @property
    def effort(self) -> int:
        return len(self.rows)


@dataclass(frozen=True)
class Powers(Step):
    """The powers a^e for some exponents e, and those that lead to them."""

    name = "powers"
    a: int
    m: int
    wanted: tuple[int, ...]
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
    """From n down to t: primes taken out while the power stays 1.

    `table` leads to the powers, None where they are long.
    """

    name = "take out primes"
    a: int
    m: int
    n: int
    rows: tuple[Reduced, ...]
    table: Powers | None

    @property
    def effort(self) -> int:
        return len(self.table.rows) if self.table else len(self.rows)


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
