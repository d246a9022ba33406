"""A congruence judged: by the greatest common divisor, or modulo each prime power by trial."""

from dataclasses import dataclass
from functools import lru_cache
from math import gcd, lcm, prod

from itembank.kinds.base import Step
from itembank.kinds.linear.kind import LinearCongruence
from itembank.kinds.one_unknown import OneUnknown
from itembank.kinds.power_root.kind import PowerRoot
from itembank.maths.polynomials import Poly
from itembank.maths.primes import TooMuchWork, factorisation
from itembank.maths.remainders import inverse
from itembank.values.errors import StatementError
from itembank.values.worded import laid_out, worded

_TRIED = 200
"""The largest prime power whose residues are tried by hand."""

_COMPARED = 200_000
"""The largest common multiple of two moduli modulo which solutions are compared."""


@dataclass(frozen=True)
class Judged(Step):
    """A congruence with what tells its solutions; subclasses say how they were found."""

    name = "judge"
    congruence: OneUnknown

    @property
    def m(self) -> int:
        return self.congruence.modulus

    @property
    def count(self) -> int:
        """How many residues modulo m solve it."""
        raise NotImplementedError

    @property
    def integers(self) -> tuple[int, frozenset[int]]:
        """A divisor n of m, and the residues modulo n of the integers that solve it."""
        raise NotImplementedError


@dataclass(frozen=True)
class ByDivisor(Judged):
    """ax = b (mod m), which d = gcd(a, m) decides."""

    a: int
    b: int
    d: int

    @property
    def effort(self) -> int:
        return 2

    @property
    def count(self) -> int:
        return 0 if self.b % self.d else self.d

    @property
    def n(self) -> int:
        return self.m // self.d

    @property
    def root(self) -> int:
        """The solution modulo n; where there is one."""
        return self.b // self.d * inverse(self.a // self.d, self.n) % self.n

    @property
    def integers(self) -> tuple[int, frozenset[int]]:
        return (self.n, frozenset([self.root])) if self.count else (1, frozenset())


@dataclass(frozen=True)
class ByTrial(Judged):
    """For each prime power q of m the residues modulo q that solve it."""

    local: tuple[tuple[int, tuple[int, ...]], ...]

    @property
    def effort(self) -> int:
        return 2 * len(self.local)

    @property
    def count(self) -> int:
        return prod(len(roots) for _q, roots in self.local)

    @property
    def integers(self) -> tuple[int, frozenset[int]]:
        if not self.count:
            return 1, frozenset()
        local = [(q, frozenset(roots)) for q, roots in self.local]
        found = (x for x in range(self.m) if all(x % q in roots for q, roots in local))
        return self.m, frozenset(found)


@lru_cache(maxsize=256)
def judged(congruence: OneUnknown) -> Judged:
    """StatementError where a prime power of the modulus is too large to try its residues."""
    m = congruence.modulus
    if isinstance(congruence, LinearCongruence):
        a, b = congruence.a, congruence.b
        return ByDivisor(congruence, a, b, gcd(a, m))
    try:
        powers = [p**e for p, e in factorisation(m, congruence.known_factors)]
    except TooMuchWork as reason:
        raise StatementError(
            laid_out("{statement}: {reason}", statement=congruence.statement[0], reason=reason)
        ) from None
    if max(powers, default=1) > _TRIED or m > _COMPARED:
        raise StatementError(
            worded(
                "{statement}: expected prime powers of at most {tried} in the modulus",
                statement=congruence.statement[0],
                tried=_TRIED,
            )
        )
    f = sides_apart(congruence)
    local = tuple((q, tuple(x for x in range(q) if _value(f, x, q) == 0)) for q in powers)
    return ByTrial(congruence, local)


def sides_apart(congruence: OneUnknown) -> Poly:
    """The polynomial whose roots solve it."""
    if isinstance(congruence, PowerRoot):
        return (-congruence.power, *[0] * (congruence.exponent - 1), 1)
    return congruence.f


def _value(f: Poly, x: int, m: int) -> int:
    total = sum(c * x**i for i, c in enumerate(f))
    return int(total) % m


def same_integers(a: Judged, b: Judged) -> bool:
    """Whether the same integers solve both."""
    return among(a, b) and among(b, a)


def among(a: Judged, b: Judged) -> bool:
    """Whether every integer that solves a solves b.  StatementError for large moduli."""
    (m, first), (n, second) = a.integers, b.integers
    whole = lcm(m, n)
    if whole > _COMPARED:
        raise StatementError(
            worded("expected moduli with a common multiple up to {compared}", compared=_COMPARED)
        )
    return all(x % n in second for r in first for x in range(r, whole, m))
