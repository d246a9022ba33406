"""The steps by which a power is found modulo m, each with its numbers.

Notation: a base, e exponent, E the value of a tower of exponents, m modulus; m = m1 m2
with m1 coprime to a and every prime of m2 dividing a.
"""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.maths.primes import Factors


@dataclass(frozen=True)
class ReduceBase(Step):
    """a is taken as its least residue modulo m."""

    name = "reduce the base"
    a: int
    residue: int
    m: int


@dataclass(frozen=True)
class Invert(Step):
    """a^(-e) is the e-th power of the inverse of a; None: a has no inverse, d > 1 divides both."""

    name = "invert the base"
    a: int
    m: int
    e: int
    inverse: int | None
    d: int


@dataclass(frozen=True)
class AtOnce(Step):
    """A power that needs no work: exponent 0 or 1, base 0, 1 or m - 1, modulus 1.

    `why` is one of "modulus one", "exponent zero", "exponent one", "base zero", "base one",
    "base minus one".
    """

    name = "at once"
    why: str
    a: int
    exponents: tuple[int, ...]
    m: int
    value: int


@dataclass(frozen=True)
class ExponentValue(Step):
    """A tower of exponents that is small enough to write: its value."""

    name = "value of the exponent"
    exponents: tuple[int, ...]
    value: int


@dataclass(frozen=True)
class Euler(Step):
    """a^n = 1 (mod m) for n = phi(m), gcd(a, m) = 1: exponents count modulo n.

    `factors` of m; `prime`: Fermat's case. `quotient` and `remainder` of the exponent by n;
    the quotient is None where the exponent is too long to write, and both where it is a tower
    whose remainder the steps that follow find.
    """

    name = "reduce the exponent"
    a: int
    m: int
    n: int
    factors: Factors
    exponents: tuple[int, ...]
    quotient: int | None
    remainder: int | None

    @property
    def prime(self) -> bool:
        return self.n == self.m - 1


@dataclass(frozen=True)
class ExponentFound(Step):
    """The exponent's remainder r modulo n, at the end of the steps that found it."""

    name = "exponent found"
    exponents: tuple[int, ...]
    n: int
    r: int

    @property
    def effort(self) -> int:
        return 0


@dataclass(frozen=True)
class Split(Step):
    """gcd(a, m) > 1: m = m1 m2, and a^v is 0 modulo m2."""

    name = "split the modulus"
    a: int
    m: int
    m1: int
    m2: int
    v: int


@dataclass(frozen=True)
class Combine(Step):
    """x = r (mod m1) and x = 0 (mod m2): x = m2 s r modulo m, s the inverse of m2 modulo m1."""

    name = "combine"
    r: int
    m1: int
    m2: int
    s: int
    x: int


@dataclass(frozen=True)
class Square(Step):
    """Repeated squaring: squares[i] = a^(2^i) mod m, and the products of those that e needs."""

    name = "repeated squaring"
    a: int
    e: int
    m: int
    squares: tuple[int, ...]
    value: int

    @property
    def bits(self) -> tuple[int, ...]:
        """The i with 2^i in e, increasing."""
        return tuple(i for i in range(self.e.bit_length()) if self.e >> i & 1)

    @property
    def effort(self) -> int:
        return len(self.squares) - 1 + len(self.bits) - 1
