"""Statistics of delivered items: classical test theory, and variants that ought to be alike.

Scores are exact fractions between 0 and 1; sums, variances and reliabilities of them are exact
too.  Roots, logarithms and intervals are floats: they are reports, never marks.  What is not
defined (the correlation of an item that all have right) is None, never 0.

Variances divide by n, not by n - 1: Kuder and Richardson's formula needs that of the totals to
be of the same kind as p*q.  Sources: Kuder & Richardson 1937 and Cronbach 1951 (from memory), as
computed by Wuensch, East Carolina University, KR20.txt; item-rest correlation: LeBlanc & Cox,
TQMP 13 (2017); Wilson's interval 1927, DerSimonian & Laird 1986 (from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import erfc, exp, lgamma, log, sqrt

from itembank.values.worded import worded

Score = Fraction | int

_Z95 = 1.959963984540054
"""The standard normal quantile of .975."""


# ------------------------------------------------------------ one list of scores


def mean(scores: Sequence[Score]) -> Fraction:
    """Requires at least one score (ValueError)."""
    if not scores:
        raise ValueError("the mean of no scores")
    return Fraction(sum(scores, Fraction(0)), len(scores))


def variance(scores: Sequence[Score]) -> Fraction:
    """The mean square from the mean: divided by n.

    >>> variance([0, 0, 1, 1])
    Fraction(1, 4)
    """
    m = mean(scores)
    squares: list[Score] = [(x - m) ** 2 for x in scores]
    return mean(squares)


def wilson(right: Fraction | int, n: int) -> tuple[float, float]:
    """Wilson's 95 % interval of a proportion right/n.

    >>> [round(x, 3) for x in wilson(5, 10)]
    [0.237, 0.763]
    """
    p, z2 = right / n, _Z95**2
    centre, half = p + z2 / (2 * n), _Z95 * sqrt(p * (1 - p) / n + z2 / (4 * n * n))
    return max(0.0, (centre - half) / (1 + z2 / n)), min(1.0, (centre + half) / (1 + z2 / n))


def correlation(x: Sequence[Score], y: Sequence[Score]) -> float | None:
    """Pearson's r; None where one of the lists does not vary."""
    mx, my = mean(x), mean(y)
    spread = variance(x) * variance(y)
    if not spread:
        return None
    return float(mean([(a - mx) * (b - my) for a, b in zip(x, y, strict=True)])) / sqrt(spread)


def item_rest(item: Sequence[Score], totals: Sequence[Score]) -> float | None:
    """The correlation of an item with the total of the others: it must not vouch for itself."""
    return correlation(item, [t - u for t, u in zip(totals, item, strict=True)])


# ------------------------------------------------------------ whole tests

Table = Sequence[Sequence[Score]]
"""A row a person, a column an item."""


def totals(table: Table) -> list[Fraction]:
    return [sum(map(Fraction, row), Fraction(0)) for row in table]


def columns(table: Table) -> list[tuple[Score, ...]]:
    return list(zip(*table, strict=True))


def alpha(table: Table) -> Fraction | None:
    """Cronbach's alpha; for items scored 0 or 1 it is KR-20.  None where totals do not vary.

    Requires at least two items (ValueError).
    """
    items = columns(table)
    k, spread = len(items), variance(totals(table))
    if k < 2:
        raise ValueError("a reliability needs at least two items")
    if not spread:
        return None
    return Fraction(k, k - 1) * (1 - sum(map(variance, items), Fraction(0)) / spread)


kr20 = alpha


def standard_error(table: Table) -> float | None:
    """The standard error of measurement, in items: sigma*sqrt(1 - r)."""
    r = alpha(table)
    return None if r is None else sqrt(variance(totals(table)) * (1 - r))


# ------------------------------------------------------------ variants of a family


def chi_square_above(x: float, df: int) -> float:
    """The probability that chi-square with df degrees of freedom exceeds x.

    For even df it is a sum of Poisson probabilities; for odd df there is the error function
    too (Abramowitz & Stegun 26.4.4, 26.4.5, from memory).  Requires df >= 1 (ValueError).
    """
    if df < 1:
        raise ValueError(f"expected at least one degree of freedom, got {df}")
    if x <= 0:
        return 1.0
    half = x / 2
    if df % 2 == 0:
        return sum(exp(i * log(half) - half - lgamma(i + 1)) for i in range(df // 2))
    tail = erfc(sqrt(half))
    return tail + sum(
        exp((i + 0.5) * log(half) - half - lgamma(i + 1.5)) for i in range((df - 1) // 2)
    )


@dataclass(frozen=True)
class Homogeneity:
    """How alike the variants of a family are, from how many were right of how many.

    pooled: the proportion over all.  chi_square with its probability p: whether they differ
    more than chance.  tau: the standard deviation between them on the logit scale.  spread: the
    largest difference of two proportions.  None where it is not defined.
    """

    pooled: Fraction
    chi_square: Fraction | None
    p: float | None
    tau: float | None
    spread: Fraction


def homogeneity(counts: Sequence[tuple[int, int]]) -> Homogeneity:
    """Of (right, n) for each variant, n at least 1, at least one variant (ValueError)."""
    if not counts or any(n < 1 for _x, n in counts):
        raise ValueError("each variant needs at least one answer")
    pooled = Fraction(sum(x for x, _n in counts), sum(n for _x, n in counts))
    shares = [Fraction(x, n) for x, n in counts]
    spread = max(shares) - min(shares)
    if len(counts) < 2 or pooled in (0, 1):
        return Homogeneity(pooled, None, None, None, spread)
    chi_square = sum(
        ((x - n * pooled) ** 2 / (n * pooled * (1 - pooled)) for x, n in counts), Fraction(0)
    )
    return Homogeneity(
        pooled,
        chi_square,
        chi_square_above(float(chi_square), len(counts) - 1),
        sqrt(_tau_squared(counts)),
        spread,
    )


def _tau_squared(counts: Sequence[tuple[int, int]]) -> float:
    """DerSimonian and Laird's variance between logits, each corrected by one half."""
    logits = [log((x + 0.5) / (n - x + 0.5)) for x, n in counts]
    weights = [1 / (1 / (x + 0.5) + 1 / (n - x + 0.5)) for x, n in counts]
    whole = sum(weights)
    centre = sum(w * y for w, y in zip(weights, logits, strict=True)) / whole
    q = sum(w * (y - centre) ** 2 for w, y in zip(weights, logits, strict=True))
    scale = whole - sum(w * w for w in weights) / whole
    return max(0.0, (q - (len(counts) - 1)) / scale)


# ------------------------------------------------------------ flags

FEW, ENOUGH = 30, 100
"""Below FEW persons only counts are shown; below ENOUGH only extremes are flagged (from memory;
behaviour at small n: Kromrey & Bacon 1992)."""

HARD, EASY = Fraction(3, 10), Fraction(9, 10)
EXTREMELY_HARD, EXTREMELY_EASY = Fraction(1, 5), Fraction(19, 20)
"""Difficulties at which items are looked at (common practice)."""

WEAK = 0.20
"""An item-rest correlation below it is reviewed (Ebel & Frisbie 1991, as often cited)."""

UNLIKE_TAU, UNLIKE_SPREAD = 0.4, Fraction(1, 5)
"""A difference between variants that matters: tau above, or spread above (common practice)."""

LEAST_EXPECTED = 5
"""Expected counts from which chi-square is trusted (Cochran 1954, from memory)."""

RISE = Fraction(1, 10)
"""A rise of the difficulty since earlier terms that matters, if it is beyond chance."""

CHECK_KEY = worded("check the key first")
TOO_HARD, TOO_EASY = worded("hard"), worded("easy")
WEAKLY_RELATED = worded("weakly related to the rest")
NOT_ALIKE = worded("variants are not alike")
EASIER = worded("easier than in earlier terms")


def item_flags(n: int, p: Fraction, r: float | None) -> tuple[str, ...]:
    """What to look at in an item: n persons, difficulty p, item-rest correlation r.

    These change nothing that is drawn.  Those that do (a key in doubt, a known problem) are tests
    over a whole pool, `significance`.
    """
    if n < FEW:
        return ()
    flags = []
    if p < (HARD if n >= ENOUGH else EXTREMELY_HARD):
        flags.append(TOO_HARD)
    if p > (EASY if n >= ENOUGH else EXTREMELY_EASY):
        flags.append(TOO_EASY)
    if n >= ENOUGH and r is not None and 0 <= r < WEAK:
        flags.append(WEAKLY_RELATED)
    return tuple(flags)


def chance_of_unlike(counts: Sequence[tuple[int, int]]) -> float | None:
    """How likely variants differ by chance as much as these; None where it cannot be said.

    Of variants with at least FEW answers each, where chi-square may be trusted: no variant
    expects fewer than LEAST_EXPECTED right, or wrong.  And None where they differ too little to
    matter, however surely.
    """
    enough = [(x, n) for x, n in counts if n >= FEW]
    if len(enough) < 2:
        return None
    found = homogeneity(enough)
    rarer = min(found.pooled, 1 - found.pooled)
    if found.p is None or found.tau is None or rarer * min(n for _x, n in enough) < LEAST_EXPECTED:
        return None
    matters = found.tau > UNLIKE_TAU or found.spread > UNLIKE_SPREAD
    return found.p if matters else None
