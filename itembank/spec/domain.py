"""The values a parameter may take, once the parameters before it have theirs.

A domain says how many values it has and which is the i-th, so that a draw picks
without listing and a small family can be listed whole.  A domain without
values is no fault: the draw that led to it gives no variant.
"""

from abc import ABC, abstractmethod
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, cached_property
from itertools import compress
from math import isqrt

LARGEST_PRIME = 1_000_000
"""Primes are drawn from a list of all primes up to here."""


class Domain(ABC):
    """Distinct integers in a fixed order."""

    @property
    @abstractmethod
    def size(self) -> int:
        """How many values there are: exact, and never by listing them."""

    @abstractmethod
    def at(self, i: int) -> int:
        """The value at i, 0 <= i < size (unchecked)."""

    def value(self, i: int) -> int:
        """The i-th value, from 0; raises IndexError outside range(size)."""
        if not 0 <= i < self.size:
            raise IndexError(f"value {i} of {self.size}")
        return self.at(i)

    def __iter__(self) -> Iterator[int]:
        return map(self.at, range(self.size))


@dataclass(frozen=True)
class Listed(Domain):
    """The values of a list, in its order; one that stands twice counts once."""

    values: tuple[int, ...]

    def __post_init__(self) -> None:
        object.__setattr__(self, "values", tuple(dict.fromkeys(self.values)))

    @property
    def size(self) -> int:
        return len(self.values)

    def at(self, i: int) -> int:
        return self.values[i]


@dataclass(frozen=True)
class Integers(Domain):
    """The integers of [low, high] without the excluded ones, increasing.

    >>> list(Integers(-2, 2, (0,)))
    [-2, -1, 1, 2]
    """

    low: int
    high: int
    excluded: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        gaps = {n for n in self.excluded if self.low <= n <= self.high}
        object.__setattr__(self, "excluded", tuple(sorted(gaps)))

    @property
    def size(self) -> int:
        return max(0, self.high - self.low + 1) - len(self.excluded)

    def at(self, i: int) -> int:
        n = self.low + i
        for gap in self.excluded:
            n += gap <= n
        return n


@dataclass(frozen=True)
class Primes(Domain):
    """The primes of [low, high] without the excluded ones, increasing.

    Requires high <= LARGEST_PRIME (ValueError).

    >>> list(Primes(5, 20, (7,)))
    [5, 11, 13, 17, 19]
    """

    low: int
    high: int
    excluded: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        if self.high > LARGEST_PRIME:
            raise ValueError(f"primes are drawn up to {LARGEST_PRIME}, got {self.high}")

    @cached_property
    def primes(self) -> tuple[int, ...]:
        """All primes below a power of 10 beyond `high`, so that few lists serve all."""
        return _primes_below(min(LARGEST_PRIME, 10 ** len(str(max(1, self.high)))) + 1)

    @cached_property
    def places(self) -> Integers:
        """The indices in `primes` of the values."""
        first, last = bisect_left(self.primes, self.low), bisect_right(self.primes, self.high) - 1
        # From bisect_left to bisect_right: one index if n is a prime, none if it is not.
        left_out = [
            i
            for n in self.excluded
            for i in range(bisect_left(self.primes, n), bisect_right(self.primes, n))
        ]
        return Integers(first, last, tuple(left_out))

    @property
    def size(self) -> int:
        return self.places.size

    def at(self, i: int) -> int:
        return self.primes[self.places.at(i)]


@cache
def _primes_below(n: int) -> tuple[int, ...]:
    """The primes below n, increasing, by the sieve of Eratosthenes."""
    prime = bytearray([1]) * n
    prime[:2] = bytes(min(n, 2))
    for d in range(2, isqrt(n) + 1):
        if prime[d]:
            prime[d * d :: d] = bytes(len(range(d * d, n, d)))
    return tuple(compress(range(n), prime))
