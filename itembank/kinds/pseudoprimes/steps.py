"""The steps of testing a number: a power, repeated squares, the primes of the criterion."""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.maths.primes import Factors
from itembank.maths.remainders import nearest_residue


@dataclass(frozen=True)
class Compose(Step):
    """The factorisation of n."""

    name = "factor"
    n: int
    factors: Factors

    @property
    def is_prime(self) -> bool:
        return self.factors == ((self.n, 1),)


@dataclass(frozen=True)
class RaiseToTest(Step):
    """a^(n - 1) modulo n."""

    name = "raise to the power"
    a: int
    n: int

    @property
    def effort(self) -> int:
        return self.n.bit_length()


@dataclass(frozen=True)
class SquareToTest(Step):
    """n - 1 = 2^s d; a^d, squared s - 1 times: residues nearest to 0."""

    name = "square again and again"
    a: int
    n: int
    s: int
    d: int

    @property
    def values(self) -> tuple[int, ...]:
        return tuple(
            nearest_residue(pow(self.a, self.d << i, self.n), self.n) for i in range(self.s)
        )

    @property
    def effort(self) -> int:
        return self.n.bit_length()


@dataclass(frozen=True)
class Korselt(Step):
    """For each prime p of n whether p - 1 divides n - 1."""

    name = "test each prime"
    n: int
    factors: Factors

    @property
    def effort(self) -> int:
        return len(self.factors)


def square_free(factors: Factors) -> bool:
    return all(k == 1 for _p, k in factors)


def halved(n: int) -> tuple[int, int]:
    """s and d with n - 1 = 2^s d, d odd; n odd, above 1."""
    d, s = n - 1, 0
    while d % 2 == 0:
        d, s = d // 2, s + 1
    return s, d
