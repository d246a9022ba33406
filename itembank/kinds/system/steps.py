"""The typed steps of solving a system of congruences in one unknown, each with its numbers.

Notation: the i-th congruence, counted from 1, has the modulus m_i; solved alone it is
x = r_i (mod d_i) or one of several classes; M is the product of the moduli, L their least
common multiple, N the modulus under which solutions are listed. Nothing here computes.
"""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.kinds.linear.isolating import Isolating, isolating
from itembank.kinds.one_unknown import OneUnknown
from itembank.maths.remainders import Merge, Weight
from itembank.values.answer import Class, ResidueSet

Stated = Class | OneUnknown
"""What is compared with others: x = r (mod d), or a congruence that is not linear."""

# ------------------------------------------------------------ each congruence alone


@dataclass(frozen=True)
class LeastResidue(Step):
    """The i-th congruence is x = a (mod m); r is the least residue of a."""

    name = "reduce the right side"
    effort = 0
    i: int
    a: int
    r: int
    m: int


@dataclass(frozen=True)
class Isolate(Step):
    """The i-th congruence, linear, is ax = b (mod m), d = gcd(a, m): x = r (mod m/d).

    `collected` if that is how it was stated.  a1, b1 are a/d and b/d; inverse is that of a1
    modulo m/d.  If d does not divide b, inverse and r are None: it has no solution.
    """

    name = "isolate the unknown"
    i: int
    collected: bool
    a: int
    b: int
    m: int
    d: int
    a1: int
    b1: int
    inverse: int | None
    r: int | None
    method: str = ""

    @property
    def way(self) -> Isolating | None:
        """From a1 x = b1 (mod m/d) to x, if there is something to do."""
        m1 = self.m // self.d
        if self.r is None or m1 == 1:
            return None
        return isolating(self.a1, self.b1, m1, self.method)

    @property
    def effort(self) -> int:
        return 1 + (self.d > 1) + (self.way.effort if self.way else 0)


@dataclass(frozen=True)
class SolveAlone(Step):
    """The i-th congruence, not linear, solved by the steps of its own kind."""

    name = "solve one congruence"
    i: int
    problem: OneUnknown
    steps: tuple[Step, ...]
    answer: ResidueSet

    @property
    def effort(self) -> int:
        return sum(step.effort for step in self.steps)


@dataclass(frozen=True)
class AllTogether(Step):
    """The conditions that are left when each congruence is solved: (r, d), one for each."""

    name = "the system in simple form"
    effort = 0
    conditions: tuple[Class, ...]


# ------------------------------------------------------------ putting them together


@dataclass(frozen=True)
class AddWeighted(Step):
    """x = sum of r_i e_i modulo M, the d_i coprime; e_i is 1 modulo d_i, 0 modulo the others."""

    name = "combine by weights"
    residues: tuple[int, ...]
    weights: tuple[Weight, ...]
    total: int
    modulus: int

    @property
    def effort(self) -> int:
        return 2 * len(self.weights)


@dataclass(frozen=True)
class Substitute(Step):
    """x = r + dt from the congruences before, put into the next one; `first` if only one was."""

    name = "substitute"
    merge: Merge
    first: bool
    method: str = ""

    @property
    def way(self) -> Isolating | None:
        """From (d/g) t = gap/g (mod m/g) to t, if there is something to do."""
        merge, m1 = self.merge, self.merge.m // self.merge.g
        if merge.t is None or m1 == 1:
            return None
        return isolating(merge.d // merge.g, merge.gap // merge.g, m1, self.method)

    @property
    def effort(self) -> int:
        return 2 + (self.way.effort if self.way else 0)


@dataclass(frozen=True)
class Column(Step):
    """What the congruences say modulo powers of p: for each the classes (r, p^j), None for nothing.

    `together` are the classes that satisfy all of them.
    """

    name = "powers of one prime"
    p: int
    conditions: tuple[tuple[Class, ...] | None, ...]
    together: tuple[Class, ...]


@dataclass(frozen=True)
class SplitPrimes(Step):
    """Every condition taken apart into conditions modulo prime powers: a column for each prime.

    `stated` are the conditions, one for each congruence that is not void.
    """

    name = "split into prime powers"
    stated: tuple[Stated, ...]
    columns: tuple[Column, ...]

    @property
    def effort(self) -> int:
        return sum(
            condition is not None for column in self.columns for condition in column.conditions
        )


@dataclass(frozen=True)
class Conclude(Step):
    """The solutions modulo N, as classes and residues (None when too many to list).

    `whole` is the least common multiple L of the moduli.
    """

    name = "answer"
    effort = 0
    modulus: int
    whole: int
    classes: tuple[Class, ...] | None
    residues: tuple[int, ...] | None
    count: int


@dataclass(frozen=True)
class Decide(Step):
    """There are `count` solutions modulo N, which nobody asked to see."""

    name = "answer"
    effort = 0
    modulus: int
    count: int
    any: bool


@dataclass(frozen=True)
class Coprime(Step):
    """No two of the moduli share a factor: there is exactly one solution modulo their product."""

    name = "coprime moduli"
    moduli: tuple[int, ...]


@dataclass(frozen=True)
class Agree(Step):
    """x = r (mod d) and x = a (mod m): g = gcd(d, m) divides the difference of r and a."""

    name = "the test of the greatest common divisor"
    merge: Merge


@dataclass(frozen=True)
class Check(Step):
    """Solutions put into every congruence."""

    name = "check"
    problems: tuple[OneUnknown, ...]
    solutions: tuple[int, ...]
    complete: bool

    @property
    def effort(self) -> int:
        return len(self.solutions) * len(self.problems)
