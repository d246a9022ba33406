"""The typed steps of counting the solutions of a congruence, each with its numbers.

Notation: m modulus, p prime, p^e a prime power of m; d = gcd(k, phi) for x^k = a. Residues
are least non-negative.
"""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.kinds.polynomial.solve import shows_the_factors
from itembank.maths.perfect_powers import whole_root
from itembank.maths.primes import Factors
from itembank.values.answer import Part

_SEEN = 3
"""A power is seen after the modulus is added at most this many times."""


@dataclass(frozen=True)
class CountLinear(Step):
    """ax = b (mod m), least residues: d = gcd(a, m) solutions if d divides b, else none."""

    name = "count linear"
    a: int
    b: int
    m: int
    d: int

    @property
    def count(self) -> int:
        return 0 if self.b % self.d else self.d


@dataclass(frozen=True)
class Split(Step):
    """m as a product of prime powers, in increasing order of the primes."""

    name = "split the modulus"
    modulus: int
    factors: Factors

    @property
    def effort(self) -> int:
        return len(self.factors)


@dataclass(frozen=True)
class LocalCount(Step):
    """A step that counts the solutions modulo p^e."""

    p: int
    e: int

    @property
    def count(self) -> int:
        raise NotImplementedError

    @property
    def q(self) -> int:
        return int(self.p**self.e)


@dataclass(frozen=True)
class CountRoots(LocalCount):
    """A polynomial: the steps of its own kind find the roots modulo p^e, which are counted."""

    name = "count roots"
    steps: tuple[Step, ...]
    part: Part

    @property
    def shows_the_factors(self) -> bool:
        """Whether the product that f is over the integers is told here or was told before."""
        return any(map(shows_the_factors, self.steps))

    @property
    def effort(self) -> int:
        return 1 + sum(step.effort for step in self.steps)

    @property
    def count(self) -> int:
        return self.part.count


@dataclass(frozen=True)
class CountPowers(LocalCount):
    """x^k = a modulo p^e, 0 <= a < p^e."""

    k: int
    a: int


@dataclass(frozen=True)
class CountZero(CountPowers):
    """p^e divides a: the multiples of p^least, least = e/k rounded up."""

    name = "a power that is zero"
    least: int

    @property
    def count(self) -> int:
        return int(self.p ** (self.e - self.least))


@dataclass(frozen=True)
class CountUnits(CountPowers):
    """p odd and prime to a: d = gcd(k, phi) solutions if a^(phi/d) = value is 1, else none."""

    name = "criterion"
    phi: int
    d: int
    value: int

    @property
    def simple(self) -> bool:
        """Whether p does not divide k: then solutions modulo p lift in exactly one way."""
        return self.k % self.p != 0

    @property
    def base(self) -> int:
        """The modulus of the criterion: p itself where that is enough."""
        return self.p if self.simple else self.q

    @property
    def root(self) -> int | None:
        """A number whose k-th power is seen to be congruent to a; None if none is."""
        for n in range(self.a % self.base, self.a % self.base + (_SEEN + 1) * self.base, self.base):
            if (r := whole_root(self.k, n)) is not None:
                return r
        return None

    @property
    def effort(self) -> int:
        if self.d == 1 or self.root is not None:
            return 2
        order = self.p - 1 if self.simple else self.phi
        return 2 + (order // self.d).bit_length()

    @property
    def count(self) -> int:
        return self.d if self.value == 1 else 0


@dataclass(frozen=True)
class CountOdd(CountPowers):
    """p = 2, a odd: one if k is odd; else 2^s divides k exactly and a must be 1 mod 2^deep."""

    name = "powers of odd numbers"
    s: int
    deep: int
    found: int

    @property
    def count(self) -> int:
        return self.found


@dataclass(frozen=True)
class CountDivided(CountPowers):
    """p^v divides a exactly, 0 < v < e: x = p^w y, y^k = b modulo p^(e-v), counted by `inner`.

    w and inner are None if k does not divide v. Each y modulo p^(e-v) gives p^(v-w) of x.
    """

    name = "divide out a power of p"
    v: int
    w: int | None
    b: int | None
    inner: "CountPowers | None"

    @property
    def effort(self) -> int:
        return 2 + (self.inner.effort if self.inner else 0)

    @property
    def count(self) -> int:
        if self.inner is None or self.w is None:
            return 0
        return int(self.inner.count * self.p ** (self.v - self.w))


@dataclass(frozen=True)
class MultiplyCounts(Step):
    """The product of the local numbers; `counts` ends with a 0 where one was found."""

    name = "multiply"
    modulus: int
    factors: Factors
    counts: tuple[int, ...]
    total: int
