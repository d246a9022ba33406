"""The steps from a prime to its powers, and where it divides the right side.

Notation as in `steps`.
"""

from dataclasses import dataclass

from itembank.kinds.power_root.steps import LocalStep
from itembank.maths.power_roots import PowerLift
from itembank.values.answer import Class


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
