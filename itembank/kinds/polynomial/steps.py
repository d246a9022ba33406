"""The typed steps of solving f(x) = 0 (mod m), each with its numbers.

Notation: m modulus, p prime, k exponent, f polynomial; residues are least
non-negative. From these steps alone come the worked solution, the step count,
and the figures of a lifting tree; nothing here computes.
"""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.kinds.linear.isolating import Isolating
from itembank.maths.lifting import Lift, Node, Row, nodes
from itembank.maths.polynomials import Poly
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
    """ax = b, and the way to x."""

    way: Isolating


@dataclass(frozen=True)
class ZeroProduct:
    """f = lead (x - u)(x - v)... over the integers, so modulo the prime too.

    `factored` if that was shown before.
    """

    roots: tuple[int, ...]
    lead: int
    factored: bool


@dataclass(frozen=True)
class PlainRoot:
    """f = (x - r)(ax + b) modulo the prime, r one of 0, 1, -1, 2, -2; the way from ax = -b."""

    r: int
    a: int
    b: int
    way: Isolating


@dataclass(frozen=True)
class PlainRoots:
    """f = (x - r)(x - s)... q modulo the prime, r, s, ... of 0, 1, -1, 2, -2, and q(x) = 0.

    `rest` finds the roots of q, which is its f; None where q is the constant `lead`.
    """

    seen: tuple[int, ...]
    lead: int
    rest: "RootsModPrime | None"


@dataclass(frozen=True)
class Square:
    """a(x^2 + bx + c) with (x + h)^2 = s: a's inverse, half h of b, the square s, one root of it.

    h and a's inverse are nearest to 0; `root` is None if s is no square modulo p.
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
    """For large p: gcd(x^p - x, g), the product of x - r over the roots r.

    `powers` holds (e, x^e modulo g) up to e = p, each the square of the one before, times x for an
    odd e; `divisions` (f, g, quotient, remainder) begins with g by x^p - x.  () where that is
    long.  `rest` finds the roots of a common divisor of degree 2.
    """

    common: Poly
    powers: tuple[tuple[int, Poly], ...] = ()
    divisions: tuple[tuple[Poly, Poly, Poly, Poly], ...] = ()
    rest: "RootsModPrime | None" = None


Method = Constant | Trial | Isolate | ZeroProduct | PlainRoot | PlainRoots | Square | Splitting


@dataclass(frozen=True)
class RootsModPrime(LocalStep):
    """The roots of g = f mod p, by the method taught for it; f is called by the letter given.

    `any` if it is enough that there is one.
    """

    name = "roots modulo a prime"
    f: Poly
    g: Poly
    method: Method
    roots: tuple[int, ...]
    letter: str = "f"
    any: bool = False

    @property
    def effort(self) -> int:
        match self.method:
            case Trial(values):
                return len(values)
            case ZeroProduct(_roots, _lead, factored):
                return 1 if factored else 2
            case Isolate(way):
                return 1 + way.effort
            case PlainRoot(_r, _a, _b, way):
                return 2 + way.effort
            case PlainRoots(seen, _lead, rest):
                return 1 + len(set(seen)) + (rest.effort if rest else 0)
            case Square(_a, _inverse, b):
                return 5 if b else 3
        return 3


# ------------------------------------------------------------ lifting


@dataclass(frozen=True)
class LevelLift(LocalStep):
    """From roots modulo p^j to roots modulo p^(j+1): one row a root."""

    name = "lift"
    j: int
    f: Poly
    slope: Poly
    rows: tuple[Row, ...]
    method: str = ""

    @property
    def singular(self) -> bool:
        """Whether all of its roots are singular: then their values alone decide."""
        return not any(row.slope for row in self.rows)

    @property
    def effort(self) -> int:
        short = self.singular and self.j > 1 and self.method != "substitute"
        return len(self.rows) if short else 2 * len(self.rows)


@dataclass(frozen=True)
class OddSquare(LocalStep):
    """x^2 = c modulo 2^k, c odd and k at least 3: by the rule, four roots or none.

    `rows` holds (j, r): r^2 = c (mod 2^j) for j = 3, ..., k; () if c is not 1 modulo 8.
    `counted` if nobody asks for the roots.
    """

    name = "square roots modulo a power of two"
    k: int
    c: int
    rows: tuple[tuple[int, int], ...]
    counted: bool = False

    @property
    def effort(self) -> int:
        return 2 if self.counted else 2 + len(self.rows)


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
class SimpleLift(LocalStep):
    """Simple roots lift to every power of p in one way, which is all that is asked."""

    name = "simple roots lift"
    slope: Poly
    roots: tuple[int, ...]

    @property
    def effort(self) -> int:
        return len(self.roots)


@dataclass(frozen=True)
class LocalAnswer(LocalStep):
    """The solutions modulo p^k, as classes."""

    name = "solutions modulo a prime power"
    k: int
    classes: tuple[Class, ...]

    @property
    def effort(self) -> int:
        return 0


# ------------------------------------------------------------ the check


@dataclass(frozen=True)
class Substitute(Step):
    """f(x) for solutions x nearest to 0: each is a multiple of m.

    `values` is None if they are long; `complete` if they, or their pairs, are all solutions.
    """

    name = "check"
    modulus: int
    factors: tuple[tuple[int, int], ...]
    f: Poly
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
