"""The typed steps of solving x^k = a (mod m), each with its numbers.

Notation: m modulus, p prime, q = p^e a prime power of m, d = gcd(k, p - 1); residues
are least non-negative.  Nothing here computes.
"""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.maths.power_roots import CorrectedRoot, PowerLift, TonelliShanks
from itembank.values.answer import Class

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
class Zero(LocalStep):
    """p^e divides a: x is divisible by p^least, least = e/k rounded up."""

    name = "a power that is zero"
    least: int


@dataclass(frozen=True)
class Divide(LocalStep):
    """p^v divides a exactly, 0 < v < e: x = p^w y with v = kw and y^k = b (mod p^(e-v)).

    w and b are None if k does not divide v: then there is no solution.
    """

    name = "divide out a power of p"
    v: int
    w: int | None
    b: int | None


@dataclass(frozen=True)
class Multiply(LocalStep):
    """From the classes of y back to those of x = p^w y."""

    name = "multiply back"
    w: int
    found: tuple[Class, ...]
    classes: tuple[Class, ...]


@dataclass(frozen=True)
class Odd(LocalStep):
    """Modulo 2 the power of x is odd exactly when x is."""

    name = "odd and even"


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
class ListPowers(LocalStep):
    """Every power x^k modulo p, x = 1, 2, ..., up to (p - 1)/2 for an even k and p > 3."""

    name = "list the powers"
    powers: tuple[tuple[int, int], ...]
    roots: tuple[int, ...]

    @property
    def effort(self) -> int:
        return len(self.powers)


@dataclass(frozen=True)
class Criterion(LocalStep):
    """x^k = a is solvable modulo p exactly if a^exponent = value is 1; exponent = (p - 1)/d."""

    name = "criterion"
    d: int
    exponent: int
    value: int

    @property
    def effort(self) -> int:
        return self.exponent.bit_length()


@dataclass(frozen=True)
class RootThreeModFour(LocalStep):
    """p = 3 (mod 4): a^((p+1)/4) = root is a square root of the square a.

    a^told is told before, and with it the squares of a; 0 for none.
    """

    name = "square root, p = 3 mod 4"
    root: int
    told: int

    @property
    def effort(self) -> int:
        return ((self.p + 1) // 4).bit_length()


@dataclass(frozen=True)
class RootFiveModEight(LocalStep):
    """p = 5 (mod 8): first = a^((p+3)/8), or that times i = 2^((p-1)/4), is a square root.

    quarter = a^((p-1)/4) decides: 1 or -1.  i is None where it is not needed.  `told` as above.
    """

    name = "square root, p = 5 mod 8"
    quarter: int
    first: int
    i: int | None
    root: int
    told: int

    @property
    def effort(self) -> int:
        return ((self.p + 3) // 8).bit_length() + (3 if self.i else 1)


@dataclass(frozen=True)
class RootByRounds(LocalStep):
    """p = 1 (mod 8): the rounds of Tonelli and Shanks.  `told` as above."""

    name = "square root, Tonelli-Shanks"
    work: TonelliShanks
    told: int

    @property
    def effort(self) -> int:
        return 4 + 3 * len(self.work.rounds)


@dataclass(frozen=True)
class Indices(LocalStep):
    """With indices to the primitive root g: k i = index (mod p - 1), so the i, so the roots.

    `powers` are g^0, ..., g^(p-2); `found` is empty if d does not divide index.
    """

    name = "indices"
    d: int
    g: int
    powers: tuple[int, ...]
    index: int
    found: tuple[int, ...]

    @property
    def effort(self) -> int:
        return len(self.powers) // 2 + len(self.found)


@dataclass(frozen=True)
class LowerExponent(LocalStep):
    """ku = d (mod p - 1), so x^k = a is x^d = a^u = b once the criterion holds."""

    name = "lower the exponent"
    d: int
    u: int
    b: int

    @property
    def effort(self) -> int:
        return 2 + self.u.bit_length()


@dataclass(frozen=True)
class CorrectRoot(LocalStep):
    """A root by a guess and its correction in a small group; here k divides p - 1.

    `told` as above.
    """

    name = "one root"
    effort = 6
    work: CorrectedRoot
    told: int


@dataclass(frozen=True)
class OtherRoots(LocalStep):
    """All roots from one: times the powers of z = h^((p-1)/k), which has order k.

    For k = 2, the negative.  h^told is told before, 0 for none.
    """

    name = "the other roots"
    h: int
    z: int
    root: int
    roots: tuple[int, ...]
    told: int

    @property
    def effort(self) -> int:
        return len(self.roots) - 1


@dataclass(frozen=True)
class SamePower(LocalStep):
    """p divides k, p^s exactly: x^k modulo p^deep depends on x mod p only.

    deep = min(e, s + 1); (r, r^k mod p^deep) for the roots r modulo p, and the kept ones.
    """

    name = "singular roots"
    s: int
    deep: int
    powers: tuple[tuple[int, int], ...]
    kept: tuple[int, ...]

    @property
    def effort(self) -> int:
        return len(self.powers)


@dataclass(frozen=True)
class OddPower(LocalStep):
    """p = 2 and k even, 2^s exactly: x^k = 1 modulo 2^(s+2) for odd x; holds: so is a, mod 2^deep.

    deep = min(e, s + 2).
    """

    name = "powers of odd numbers"
    s: int
    deep: int
    holds: bool


@dataclass(frozen=True)
class Lift(LocalStep):
    """From roots r modulo p^start, as classes, to classes modulo p^(e-s).

    `chains` hold (r, the steps from it, where they lead).  If `mirrored`, only half of the
    roots are lifted: the others are their negatives.  classes: all that are found.
    """

    name = "lift"
    s: int
    start: int
    chains: tuple[tuple[int, tuple[PowerLift, ...], int], ...]
    mirrored: bool
    classes: tuple[Class, ...]

    @property
    def effort(self) -> int:
        return 2 * sum(len(steps) for _r, steps, _lifted in self.chains)


# ------------------------------------------------------------ only whether there is a root


@dataclass(frozen=True)
class Witness(Step):
    """root^k is a, or becomes it by a few times the modulus: that is enough."""

    name = "a solution at sight"
    k: int
    a: int
    modulus: int
    root: int


@dataclass(frozen=True)
class OneRoot(LocalStep):
    """p does not divide a, and gcd(k, phi(p^e)) = 1: there is one root, whatever a is."""

    name = "one root for every right side"


@dataclass(frozen=True)
class Lifts(LocalStep):
    """Neither a nor k is divisible by p: a root modulo p leads to one modulo p^e."""

    name = "every root lifts"


@dataclass(frozen=True)
class Exists(Step):
    """There is a root modulo each prime power of m, and so one modulo m."""

    name = "answer"
    effort = 0
    modulus: int
    factors: Factors


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
