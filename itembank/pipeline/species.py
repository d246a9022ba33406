"""How many different things there are, from how often each was met in independent draws.

Notation: n draws met d things, f1 of them once and f2 twice. Things that were never met
leave a trace in those that were hardly met. No assumption is made that all are as likely:

- Two draws coincide with probability sum p_i^2 >= 1/N, for N things, so that pairs of draws
  over coincidences estimates at most N (the birthday estimate).
- d + f1^2 / (2 f2) estimates at most N too, and nearly N when few were missed.
  Source: Chao, Scandinavian Journal of Statistics 11 (1984) 265-270; its variance and its
  interval: Chao, Biometrics 43 (1987) 783-791; both cited from memory.
- The share of all draws that would meet something new is about f1/n (Good, Biometrika 40
  (1953) 237-264, from memory). While it is large, nobody knows how many rare things there
  are, and only a lower bound is told.
- d + f1, the first jackknife, is more than N unless many were missed (Burnham & Overton,
  Biometrika 65 (1978) 625-633, from memory): the upper end.

The ends are set for 99 of 100.
"""

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import ceil, exp, floor, lgamma, log, sqrt

from itembank.values.worded import figure, worded

_Z = 2.576
"""Standard deviations of a normal variable that hold 99 of 100."""

_RARE = 0.005
"""What is left out at each end."""

_MISSED = 0.2
"""The largest share of draws that would meet something new for which both ends are told."""

_TRUSTED = 10
"""Things met twice from which their number counts as known."""

_OFTEN = 10
"""Where everything was met so often, nothing was missed."""


@dataclass(frozen=True, kw_only=True)
class Count:
    """How many there are, as far as is known: between `least` and `most`, `likely` so many.

    Exact, or estimated; where only a lower bound is known, `likely` and `most` are None.
    """

    least: int
    likely: int | None
    most: int | None
    exact: bool = False

    @property
    def known(self) -> int:
        """The number to reckon with."""
        return self.least if self.likely is None else self.likely

    def less(self, gone: int) -> "Count":
        """What is left after so many are gone."""
        least, likely, most = (
            None if n is None else max(0, n - gone) for n in (self.least, self.likely, self.most)
        )
        return Count(least=least or 0, likely=likely, most=most, exact=self.exact)

    def share(self, part: int, whole: int) -> "Count":
        """About `part` of each `whole` of them."""
        least, likely, most = (
            None if n is None else n * part // max(1, whole)
            for n in (self.least, self.likely, self.most)
        )
        return Count(least=least or 0, likely=likely, most=most)

    def text(self) -> str:
        """As it is told.

        >>> exactly(722).text()
        '722'
        >>> Count(least=3118, likely=3789, most=4655).text()
        'about 3,800 (3,100 to 4,700)'
        >>> Count(least=666333, likely=None, most=None).text()
        'at least 660,000'
        """
        if self.exact:
            return _grouped(self.least)
        if self.likely is None or self.most is None:
            return worded("at least {n}", n=_grouped(_rounded(self.least, floor)))
        likely = _rounded(self.likely, round)
        low, high = _rounded(self.least, floor), _rounded(self.most, ceil)
        if low >= high:
            return worded("about {n}", n=_grouped(likely))
        return worded(
            "about {n} ({low} to {high})",
            n=_grouped(likely),
            low=_grouped(low),
            high=_grouped(high),
        )


def _grouped(n: int) -> str:
    """The number with its digits in groups of three."""
    return figure(f"{n:,}")


def exactly(n: int) -> Count:
    return Count(least=n, likely=n, most=n, exact=True)


def _rounded(n: int, whole: Callable[[Fraction], int]) -> int:
    """n with two figures, numbers below 100 as they are."""
    unit: int = 10 ** max(0, len(str(n)) - 2)
    figures: int = whole(Fraction(n, unit))
    return figures * unit


# ------------------------------------------------------------ the estimate


def missed(times: Iterable[int]) -> float:
    """The share of all draws that would meet something new; 1 if nothing was met."""
    met = list(times)
    return sum(t == 1 for t in met) / sum(met) if met else 1.0


def estimated(times: Iterable[int]) -> Count:
    """How many things there are, of which those that were met were met so many `times`.

    >>> estimated([200] * 8).text()
    'about 8'
    >>> estimated([1] * 1000).text()
    'at least 94,000'
    """
    met = list(times)
    if missed(met) > _MISSED:
        return Count(least=at_least(met), likely=None, most=None)
    d, often = len(met), Counter(met)
    unseen, deviation = _chao(met)
    spread = _spread_of(unseen, deviation)
    most = d + max(unseen * spread, _unseen_at_most(often[1], often[2]))
    return Count(
        least=d + floor(unseen / spread),
        likely=d + round(unseen),
        most=d if min(met) >= _OFTEN else ceil(most),
    )


def _chao(met: list[int]) -> tuple[float, float]:
    """The estimated number of things that were never met, with its standard deviation."""
    often = Counter(met)
    f1, f2, k = often[1], often[2], 1 - 1 / sum(met)
    if f2:
        r = f1 / f2
        return k * f1 * r / 2, sqrt(f2 * (k * r**2 / 2 + k**2 * r**3 + k**2 * r**4 / 4))
    unseen = k * f1 * (f1 - 1) / 2
    variance = unseen + k**2 * f1 * (2 * f1 - 1) ** 2 / 4
    return unseen, sqrt(max(0.0, variance - k**2 * f1**4 / (4 * (len(met) + unseen))))


def _spread_of(unseen: float, deviation: float) -> float:
    """By what factor the number never met may be larger or smaller, its logarithm normal."""
    return exp(_Z * sqrt(log(1 + (deviation / unseen) ** 2))) if unseen else 1.0


def _unseen_at_most(f1: int, f2: int) -> float:
    """What the jackknife allows; where nothing was met once, what f1 could have been."""
    if not f1:
        return _poisson_most(0) ** 2 / (2 * (f2 + 1))
    return f1 + _Z * sqrt(2 * f1)


def at_least(met: list[int]) -> int:
    """A number that there are, whatever the shares of the things.

    Above those that were met, by the coincidences of pairs; by Chao's estimate too, where
    enough was met twice.
    """
    n, bound = sum(met), float(len(met))
    pairs, coincidences = n * (n - 1) / 2, sum(t * (t - 1) // 2 for t in met)
    if met.count(2) >= _TRUSTED:
        unseen, deviation = _chao(met)
        bound = max(bound, bound + unseen / _spread_of(unseen, deviation))
    if pairs > bound * coincidences:  # else their mean, which is larger still, tells no more
        bound = max(bound, pairs / _poisson_most(coincidences))
    return floor(bound)


@lru_cache(maxsize=1024)
def _poisson_most(k: int) -> float:
    """The largest mean of a Poisson variable that is at most k with a chance of _RARE or more.

    It is at least k.

    >>> round(_poisson_most(0), 3), round(_poisson_most(10), 2)
    (5.298, 21.4)
    """
    low, high = float(k), k + 10.0 * sqrt(k + 1) + 10.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _poisson_below(k, middle) > _RARE else (low, middle)
    return high


def _poisson_below(k: int, mean: float) -> float:
    """The chance that a Poisson variable is at most k, from its largest term down."""
    first = exp(k * log(mean) - mean - lgamma(k + 1)) if mean > 0 else 1.0
    total = term = first
    for i in range(k, 0, -1):
        term *= i / mean
        total += term
        if term < total * 1e-12:
            break
    return total
