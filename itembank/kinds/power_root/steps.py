"""The typed steps of solving x^k = a (mod m), each with its numbers.

Notation: m modulus, p prime, q = p^e a prime power of m, d = gcd(k, p - 1); residues
are least non-negative.  Nothing here computes.  Steps of one part of the method stand in a file of
their own, which is loaded with that part.
"""

from dataclasses import dataclass

from itembank.kinds.base import Step

Factors = tuple[tuple[int, int], ...]

# ------------------------------------------------------------ the modulus


@dataclass(frozen=True)
class LeastResidue(Step):
    """a as typed, and its least residue b modulo m."""

    name = "reduce the right side"
    effort = 0
    k: int
    a: int
    b: int
    modulus: int


@dataclass(frozen=True)
class Split(Step):
    """m as a product of prime powers, in increasing order of the primes."""

    name = "split the modulus"
    k: int
    a: int
    modulus: int
    factors: Factors

    @property
    def effort(self) -> int:
        return len(self.factors)


@dataclass(frozen=True)
class InvertExponent(Step):
    """gcd(k, phi) = 1 for phi = phi(q), q prime to a: ku = 1 + n phi, so x = a^u = root."""

    name = "invert the exponent"
    k: int
    a: int
    q: int
    factors: Factors
    phi: int
    u: int
    root: int

    @property
    def effort(self) -> int:
        return 2 + self.u.bit_length()


# ------------------------------------------------------------ one prime power


@dataclass(frozen=True)
class LocalStep(Step):
    """A step modulo p^e in solving x^k = a there, a a least residue."""

    k: int
    a: int
    p: int
    e: int

    @property
    def q(self) -> int:
        return int(self.p**self.e)


@dataclass(frozen=True)
class SeenRoot(LocalStep):
    """root^k = power is a, or becomes it by a few times p^e; there are d roots.

    d is None for p = 2, where it is the rule for odd squares that counts them.
    """

    name = "a root at sight"
    root: int
    d: int | None

    @property
    def power(self) -> int:
        return int(self.root**self.k)


@dataclass(frozen=True)
class SeenSolution(Step):
    """gcd(k, phi) = 1 for phi = phi(m), m prime to a: there is one solution, root, seen at once."""

    name = "the solution at sight"
    k: int
    a: int
    modulus: int
    factors: Factors
    phi: int
    root: int


@dataclass(frozen=True)
class Witness(Step):
    """root^k is a, or becomes it by a few times the modulus: that is enough."""

    name = "a solution at sight"
    k: int
    a: int
    modulus: int
    root: int


# ------------------------------------------------------------ the check


@dataclass(frozen=True)
class Substitute(Step):
    """x^k for solutions x, each congruent to a modulo m."""

    name = "check"
    k: int
    a: int
    modulus: int
    factors: Factors
    solutions: tuple[int, ...]
    complete: bool

    @property
    def effort(self) -> int:
        return len(self.solutions)
