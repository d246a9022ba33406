"""The steps to all roots of x^k = a modulo one prime.  Notation as in `steps`."""

from dataclasses import dataclass

from itembank.kinds.power_root.steps import LocalStep
from itembank.maths.power_roots import CorrectedRoot, TonelliShanks


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
