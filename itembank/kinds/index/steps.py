"""The steps by which an index is found, each with its numbers.

Notation: g the base, of order t modulo m; a the number, k its index: g^k = a (mod m).
"""

from dataclasses import dataclass

from itembank.kinds.base import Step


@dataclass(frozen=True)
class NoUnit(Step):
    """d = gcd(a, m) > 1, while every power of g is coprime to m."""

    name = "no unit"
    a: int
    g: int
    m: int
    d: int


@dataclass(frozen=True)
class PowerTable(Step):
    """g^0, g^1, ... modulo m, up to a, or up to the whole cycle if a is not there."""

    name = "table of powers"
    g: int
    a: int
    m: int
    values: tuple[int, ...]
    k: int | None

    @property
    def effort(self) -> int:
        return len(self.values)


@dataclass(frozen=True)
class NoPower(Step):
    """x^t = 1 for every power x of g, and a^t is c, not 1."""

    name = "no power of the base"
    g: int
    a: int
    m: int
    t: int
    c: int


@dataclass(frozen=True)
class BabyGiant(Step):
    """a g^j for j < s meets g^(is): then k = is - j. The tables hold what is shown of them."""

    name = "baby steps and giant steps"
    g: int
    a: int
    m: int
    t: int
    s: int
    baby: tuple[int, ...]
    giant: tuple[int, ...]
    i: int
    j: int
    k: int

    @property
    def effort(self) -> int:
        return len(self.baby) + len(self.giant) or self.i + 1


@dataclass(frozen=True)
class Part:
    """Modulo q^e: h = g^(t/q^e) has order q^e, b = a^(t/q^e), and h^k = b gives k mod q^e."""

    q: int
    e: int
    h: int
    b: int
    k: int | None


@dataclass(frozen=True)
class Parts(Step):
    """The index modulo each prime power of t (Pohlig and Hellman)."""

    name = "prime powers of the order"
    g: int
    a: int
    m: int
    t: int
    parts: tuple[Part, ...]

    @property
    def effort(self) -> int:
        return 3 * len(self.parts)


@dataclass(frozen=True)
class Join(Step):
    """The k modulo t with these residues modulo the prime powers of t."""

    name = "combine"
    residues: tuple[int, ...]
    moduli: tuple[int, ...]
    k: int
    t: int

    @property
    def effort(self) -> int:
        return len(self.moduli)


@dataclass(frozen=True)
class Found(Step):
    """g^k = a (mod m): the check."""

    name = "check"
    g: int
    k: int
    a: int
    m: int
