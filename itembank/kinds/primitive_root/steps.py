"""The steps by which primitive roots are found and tested, each with its numbers.

Notation: n modulus, N = phi(n), q the primes of N, g a primitive root.
"""

from dataclasses import dataclass
from typing import Literal

from itembank.kinds.base import Step
from itembank.kinds.order.steps import Phi, Powers
from itembank.maths.primes import Factors

Form = Literal["1", "2", "4", "p", "p^k", "2p", "2p^k", "4 | n", "two primes"]
"""What n is: one of the first seven has primitive roots, one of the last two has none."""


@dataclass(frozen=True)
class Existence(Step):
    """Whether n = 1, 2, 4, p^k or 2p^k, p an odd prime: exactly then primitive roots exist."""

    name = "do primitive roots exist"
    n: int
    factors: Factors
    form: Form

    @property
    def exists(self) -> bool:
        return self.form not in ("4 | n", "two primes")


@dataclass(frozen=True)
class UnitsCounted(Phi):
    """phi(n), where no order is in question."""


@dataclass(frozen=True)
class CommonFactor(Step):
    """d = gcd(a, n) > 1: a is no unit."""

    name = "common factor"
    a: int
    n: int
    d: int


@dataclass(frozen=True)
class Trial:
    """a^(N/q) modulo n for the primes q of N, up to the first that is 1.

    Where it is 1, `base` is a number whose q-th power is a, if one was looked for.
    """

    a: int
    powers: tuple[tuple[int, int], ...]
    """(q, a^(N/q) mod n)"""
    base: int | None

    def passed(self, n: int) -> bool:
        return not self.powers or self.powers[-1][1] != 1 % n


@dataclass(frozen=True)
class Test(Step):
    """The test of one residue a; `powers` lead to those it needs, None where they are long."""

    name = "test"
    n: int
    whole: int
    primes: tuple[int, ...]
    trial: Trial
    powers: Powers | None

    @property
    def effort(self) -> int:
        return len(self.powers.rows) if self.powers else len(self.trial.powers)


@dataclass(frozen=True)
class Search(Step):
    """Residues coprime to n tested from 2 on, until one passes.

    `skipped` are powers of numbers that had failed: (a, b, k) for a = b^k. `powers` lead to those
    of the last, None where they are long.
    """

    name = "search"
    n: int
    whole: int
    primes: tuple[int, ...]
    trials: tuple[Trial, ...]
    skipped: tuple[tuple[int, int, int], ...]
    powers: Powers | None

    @property
    def least(self) -> int:
        return self.trials[-1].a

    @property
    def effort(self) -> int:
        return sum(len(t.powers) for t in self.trials)


@dataclass(frozen=True)
class PowersOfRoot(Step):
    """The primitive roots as g^k with gcd(k, N) = 1: (k, g^k mod n), k increasing."""

    name = "powers of a primitive root"
    n: int
    whole: int
    g: int
    powers: tuple[tuple[int, int], ...]

    @property
    def effort(self) -> int:
        return len(self.powers)


@dataclass(frozen=True)
class Count(Step):
    """phi(N) primitive roots, N = phi(n), from the factorisation of N."""

    name = "count"
    n: int
    whole: int
    whole_factors: Factors
    count: int


@dataclass(frozen=True)
class Outright(Step):
    """n = 1, 2, 3 or 4, or n = 6: the one or few units are looked at."""

    name = "at once"
    n: int
    roots: tuple[int, ...]
