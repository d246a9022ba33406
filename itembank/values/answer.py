"""The answers: above all a set of residues modulo m, held as disjoint classes.

Notation: m modulus; a class (r, d) is { x mod m : x = r (mod d) } with d | m
and 0 <= r < d, so it holds m/d residues.  A set is a product over *parts*, one
for each of pairwise coprime moduli whose product is m (Chinese remainder
theorem): x is in the set exactly when, for every part, x mod the part's
modulus lies in one of the part's classes.  So x^2 = 0 (mod 3^40) is one class
(0 mod 3^20), and 8 roots modulo each of ten primes stay ten short lists.

The empty set is an answer like any other: a part without classes.

What is no set of residues is a `Value` (an order, a symbol), a `Truth`, a set of `Pairs`, or
`Absent`: a thing that does not exist, with the reason.

Source of the product: Niven, Zuckerman & Montgomery, An Introduction to the
Theory of Numbers, 5th ed., section 2.3.  Nothing here solves anything.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from itertools import islice, product
from math import gcd, lcm, prod
from typing import Self

from itembank.languages import Said
from itembank.values.worded import worded

Class = tuple[int, int]
"""(r, d): the residues congruent to r modulo d, 0 <= r < d."""

LISTED = 10_000
"""The longest list of residues or classes that is written out."""

_FEW = 64
"""The longest list of residues that a set keeps once it was asked for."""


class TooMany(ValueError):
    """A list was asked for that would be longer than the limit given."""


@dataclass(frozen=True)
class Part:
    """Disjoint classes modulo divisors of `modulus`, in increasing order."""

    modulus: int
    classes: tuple[Class, ...]
    count: int = field(init=False, repr=False, compare=False)
    """The number of residues."""

    def __post_init__(self) -> None:
        m, count = self.modulus, 0
        if m < 1:
            raise ValueError(f"a modulus is at least 1, got {m}")
        for r, d in self.classes:
            if d < 1 or m % d or not 0 <= r < d:
                raise ValueError(f"({r} mod {d}) is no class modulo {m}")
            count += m // d
        object.__setattr__(self, "classes", tuple(sorted(self.classes)))
        object.__setattr__(self, "count", count)


@dataclass(frozen=True, eq=False)
class ResidueSet:
    """A set of residues modulo `modulus`; see the module for how it is held.

    >>> list(ResidueSet.of(15, [(2, 5), (0, 15)]).residues())
    [0, 2, 7, 12]
    """

    parts: tuple[Part, ...]
    modulus: int = field(init=False, repr=False)
    count: int = field(init=False, repr=False)
    """The number of residues: exact, and never by listing them."""
    class_count: int = field(init=False, repr=False)

    def __post_init__(self) -> None:
        modulus = count = class_count = 1
        for part in self.parts:
            modulus *= part.modulus
            count *= part.count
            class_count *= len(part.classes)
        object.__setattr__(self, "modulus", modulus)
        object.__setattr__(self, "count", count)
        object.__setattr__(self, "class_count", class_count)

    @classmethod
    def of(cls, modulus: int, classes: Iterable[Class]) -> Self:
        """The union of disjoint classes (disjointness is checked in tests, by `overlap`)."""
        return cls((Part(modulus, tuple(classes)),))

    @classmethod
    def product(cls, parts: Iterable[Part]) -> Self:
        """The residues that lie in every part; the moduli are pairwise coprime."""
        parts = tuple(parts)
        if len(parts) > 1:
            moduli = [p.modulus for p in parts]
            if lcm(*moduli) != prod(moduli):
                raise ValueError(f"the moduli {moduli} are not pairwise coprime")
        return cls(parts or (Part(1, ((0, 1),)),))

    def __len__(self) -> int:
        """As `count`, for sizes that `len` can give (below sys.maxsize)."""
        return self.count

    def __bool__(self) -> bool:
        return self.count > 0

    def __contains__(self, x: object) -> bool:
        return isinstance(x, int) and all(any(x % d == r for r, d in p.classes) for p in self.parts)

    def classes(self, limit: int = LISTED) -> tuple[Class, ...]:
        """Disjoint classes modulo divisors of m whose union is the set, by (r, d).

        Raises TooMany beyond `limit` classes.
        """
        if self.class_count > limit:
            raise TooMany(
                worded(
                    "{class_count} classes, more than {limit}",
                    class_count=self.class_count,
                    limit=limit,
                )
            )
        if len(self.parts) == 1:
            return self.parts[0].classes
        return tuple(sorted(joined(c) for c in product(*(p.classes for p in self.parts))))

    def residues(self, limit: int = LISTED) -> tuple[int, ...]:
        """All residues, increasing.  Raises TooMany beyond `limit`."""
        if self.count > limit:
            raise TooMany(
                worded("{count} residues, more than {limit}", count=self.count, limit=limit)
            )
        if len(self.parts) == 1 and self.class_count == self.count:
            return tuple([r for r, _d in self.parts[0].classes])
        return self._few if self.count <= min(_FEW, limit) else self._all_residues(limit)

    @cached_property
    def _few(self) -> tuple[int, ...]:
        """All residues of a small set, which is asked for them again and again."""
        return self._all_residues(_FEW)

    def _all_residues(self, limit: int) -> tuple[int, ...]:
        m = self.modulus
        return tuple(sorted(x for r, d in self.classes(limit) for x in range(r, m, d)))

    def least(self) -> int | None:
        """The least residue of the set; None if it is empty."""
        return min((r for r, _ in self.classes()), default=None)

    def largest(self) -> int | None:
        """The largest residue of the set; None if it is empty."""
        m = self.modulus
        return max((m - d + r for r, d in self.classes()), default=None)

    def sample_classes(self, n: int) -> tuple[Class, ...]:
        """At most n of the classes: for a check by substitution when there are too many."""
        few = islice(product(*(p.classes for p in self.parts)), n)
        return tuple(sorted(map(joined, few)))

    def __eq__(self, other: object) -> bool:
        """The same residues modulo the same modulus, however they are held."""
        if not isinstance(other, ResidueSet):
            return NotImplemented
        if (self.modulus, self.count) != (other.modulus, other.count):
            return False
        if self.parts == other.parts:
            return True
        mine, theirs = self.classes(), other.classes()
        return all(
            sum(overlap(c, e, self.modulus) for e in theirs) == self.modulus // c[1] for c in mine
        )

    def __hash__(self) -> int:
        return hash((self.modulus, self.count))


def joined(classes: Iterable[Class]) -> Class:
    """The class of the x that lie in each of several classes of coprime moduli."""
    r, d = 0, 1
    for s, e in classes:
        r, d = r + d * ((s - r) * pow(d, -1, e) % e), d * e
    return r, d


def overlap(c: Class, e: Class, m: int) -> int:
    """How many residues modulo m the classes c and e share."""
    (r, d), (s, f) = c, e
    return 0 if (r - s) % gcd(d, f) else m // lcm(d, f)


@dataclass(frozen=True)
class Range:
    """Where an integer is looked for: from `low`, up to `high`, or both, bounds included.

    >>> Range(low=101).integer(3, 7), Range(high=-1).integer(3, 7), Range(10, 11).integer(3, 7)
    (101, -4, 10)
    """

    low: int | None = None
    high: int | None = None

    def integer(self, r: int, m: int) -> int | None:
        """The integer of r modulo m next to the one bound; between two the only one, or None."""
        if self.low is None:
            assert self.high is not None
            return self.high - (self.high - r) % m
        n = self.low + (r - self.low) % m
        return n if self.high is None or n <= self.high < n + m else None

    def holds(self, n: int) -> bool:
        """Whether an integer lies in it."""
        return (self.low is None or self.low <= n) and (self.high is None or n <= self.high)

    def first(self, r: int, m: int) -> int | None:
        """The least integer of r modulo m; None without one, or without a lower bound."""
        if self.low is None:
            return None
        n = self.low + (r - self.low) % m
        return n if self.high is None or n <= self.high else None

    def last(self, r: int, m: int) -> int | None:
        """The largest integer of r modulo m; None without one, or without an upper bound."""
        if self.high is None:
            return None
        n = self.high - (self.high - r) % m
        return n if self.low is None or n >= self.low else None

    def every(self, r: int, m: int) -> range:
        """All integers of r modulo m, increasing.  Requires two bounds.

        >>> [*Range(-3, 12).every(3, 5)]
        [-2, 3, 8]
        """
        assert self.low is not None and self.high is not None
        return range(self.low + (r - self.low) % m, self.high + 1, m)


# ------------------------------------------------------------ what is no set of residues


@dataclass(frozen=True)
class Value:
    """One integer: an order, a count, a symbol; a residue if `modulus` is given."""

    value: int
    modulus: int | None = None


@dataclass(frozen=True)
class Truth:
    """Whether a claim holds."""

    holds: bool


@dataclass(frozen=True)
class Pairs:
    """The pairs (x, y) of least residues modulo `modulus` that solve a system, increasing."""

    modulus: int
    pairs: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Absent:
    """What was asked for does not exist; `reason` is a sentence."""

    reason: Said


Answer = ResidueSet | Value | Truth | Pairs | Absent

Claimed = tuple[int, ...] | tuple[tuple[int, int], ...]
"""An answer as an option shows it, listed: residues, one value, pairs; () for none or absent."""


def claimed(answer: Answer) -> Claimed:
    """The answer listed.  Raises TooMany; a Truth is (1,) or (0,)."""
    match answer:
        case ResidueSet():
            return answer.residues()
        case Value(value):
            return (value,)
        case Truth(holds):
            return (int(holds),)
        case Pairs(_, pairs):
            return pairs
        case Absent():
            return ()
