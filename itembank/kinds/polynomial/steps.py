"""The typed steps of solving f(x) = 0 (mod m), each with its numbers.

Notation: m modulus, p prime, k exponent, f polynomial; residues are least
non-negative. From these steps alone come the worked solution, the step count,
and the figures of a lifting tree; nothing here computes.
"""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.maths.lifting import Lift, Node, Row, nodes
from itembank.maths.polynomials import Poly
from itembank.maths.remainders import Weight
from itembank.values.answer import Class

# ------------------------------------------------------------ the modulus


@dataclass(frozen=True)
class Split(Step):
    """m as a product of prime powers, in increasing order of the primes."""

    name = "split the modulus"
    f: Poly
    modulus: int
    factors: tuple[tuple[int, int], ...]
    moved: bool
    reduced_from: Poly | None

    @property
    def effort(self) -> int:
        return len(self.factors)


# ------------------------------------------------------------ one prime power


@dataclass(frozen=True)
class LocalStep(Step):
    """A step modulo a power of p."""

    p: int


@dataclass(frozen=True)
class DivideOut(LocalStep):
    """p^v divides every coefficient: g = f/p^v modulo p^(k-v); v = k if every residue solves."""

    name = "divide out a power of p"
    k: int
    v: int
    g: Poly


@dataclass(frozen=True)
class Constant:
    """The congruence modulo p has lost its unknown: c = 0, which is false."""

    c: int


@dataclass(frozen=True)
class Trial:
    """Every residue tried: (x, g(x)) for x = 0, ..., p - 1."""

    values: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Isolate:
    """ax + b = 0: x = -b times the inverse of a."""

    a: int
    b: int
    inverse: int


@dataclass(frozen=True)
class ZeroProduct:
    """(x - u)(x - v) = 0 over the integers, so modulo the prime too."""

    u: int
    v: int


@dataclass(frozen=True)
class Square:
    """a(x^2 + bx + c) with (x + h)^2 = s: a's inverse, half h of b, the square s, one root of it.

    `root` is None if s is no square modulo p.
    """

    a: int
    a_inverse: int
    b: int
    c: int
    h: int
    s: int
    root: int | None


@dataclass(frozen=True)
class Splitting:
    """For large p: gcd(x^p - x, g), the product of x - r over the roots r."""

    common: Poly


Method = Constant | Trial | Isolate | ZeroProduct | Square | Splitting


@dataclass(frozen=True)
class RootsModPrime(LocalStep):
    """The roots of g = f mod p, by the method taught for it."""

    name = "roots modulo a prime"
    f: Poly
    g: Poly
    method: Method
    roots: tuple[int, ...]

    @property
    def effort(self) -> int:
        return len(self.method.values) if isinstance(self.method, Trial) else 3


# ------------------------------------------------------------ lifting


@dataclass(frozen=True)
class LevelLift(LocalStep):
    """From roots modulo p^j to roots modulo p^(j+1): one row a root."""

    name = "lift"
    j: int
    f: Poly
    slope: Poly
    rows: tuple[Row, ...]

    @property
    def effort(self) -> int:
        return 2 * len(self.rows)


@dataclass(frozen=True)
class ChainLift(LocalStep):
    """One simple root lifted to p^k, a row for each power: f'(r) keeps its residue mod p.

    `first` if no other root of this prime has been lifted so before.
    """

    name = "lift a simple root"
    k: int
    f: Poly
    slope: Poly
    root: int
    rows: tuple[Lift, ...]
    lifted: int
    first: bool

    @property
    def effort(self) -> int:
        return 2 * len(self.rows)


@dataclass(frozen=True)
class TreeLift(LocalStep):
    """Roots followed as classes r mod p^j: put x = r + p^j y, divide out p^e, solve for y mod p."""

    name = "lift by substitution"
    k: int
    f: Poly
    root: Node
    classes: tuple[Class, ...]

    @property
    def effort(self) -> int:
        return 2 * sum(1 for _node in nodes(self.root))


@dataclass(frozen=True)
class LocalAnswer(LocalStep):
    """The solutions modulo p^k, as classes."""

    name = "solutions modulo a prime power"
    k: int
    classes: tuple[Class, ...]

    @property
    def effort(self) -> int:
        return 0


# ------------------------------------------------------------ all together


@dataclass(frozen=True)
class Choice:
    """One residue for each modulus, their weighted sum, and the class that it stands for."""

    residues: tuple[int, ...]
    sum: int
    joined: Class


@dataclass(frozen=True)
class Combine(Step):
    """Every choice of one class for each modulus; `factors` are those of m.

    `weights` are 1 modulo their own modulus and 0 modulo the others; `residues` are what
    there is to choose from for each of them.  `choices` holds only the first ones when
    there are too many to write down; `total` counts them all.  `wider` are the classes modulo
    divisors of the modulus that several choices fill together.
    """

    name = "combine"
    weights: tuple[Weight, ...]
    factors: tuple[tuple[int, int], ...]
    residues: tuple[tuple[int, ...], ...]
    modulus: int
    choices: tuple[Choice, ...]
    total: int
    wider: tuple[Class, ...] = ()

    @property
    def effort(self) -> int:
        return self.total


@dataclass(frozen=True)
class Conclude(Step):
    """Solutions as classes and residues (None when too many to list)."""

    name = "answer"
    modulus: int
    factors: tuple[tuple[int, int], ...]
    classes: tuple[Class, ...] | None
    residues: tuple[int, ...] | None
    count: int
    local_counts: tuple[int, ...]
    failing: tuple[int, int] | None = None

    @property
    def effort(self) -> int:
        return 0


@dataclass(frozen=True)
class Substitute(Step):
    """f(x) for solutions x: each is a multiple of m.  `values` is None if they are too long."""

    name = "check"
    modulus: int
    factors: tuple[tuple[int, int], ...]
    solutions: tuple[int, ...]
    values: tuple[int, ...] | None
    complete: bool

    @property
    def effort(self) -> int:
        return len(self.solutions)


@dataclass(frozen=True)
class PairOff(Step):
    """x^2 + bx + c: with r also -b - r is a solution; the pairs (r, partner)."""

    name = "pair off"
    b: int
    pairs: tuple[tuple[int, int], ...]

    @property
    def effort(self) -> int:
        return 0
