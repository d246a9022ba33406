"""How often questions meet the same student, neighbour or later term: overlap and leaks.

Exact, as fractions.  Sources: two random forms share a hypergeometric number of items; equal
exposure gives the least overlap (Chang & Zhang, Psychometrika 2002); the average overlap from
the exposures (Chen, Ankenmann & Spray, JEM 40, 2003, formula from memory).
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import comb, prod


def expected_common(pool: int, form: int) -> Fraction:
    """How many items two random forms of `form` items from a pool share, on average.

    >>> expected_common(60, 10)
    Fraction(5, 3)
    """
    return Fraction(form * form, pool)


def variance_of_common(pool: int, form: int) -> Fraction:
    """The variance of that number; requires a pool of at least 2."""
    share = Fraction(form, pool)
    return form * share * (1 - share) * Fraction(pool - form, pool - 1)


def chance_of_none_common(pool: int, form: int) -> Fraction:
    """The probability that two random forms share no item."""
    return Fraction(comb(pool - form, form), comb(pool, form))


def expected_common_by_groups(groups: Iterable[tuple[int, int]]) -> Fraction:
    """The same for forms that draw `choose` of `size` from each group, given (size, choose).

    >>> expected_common_by_groups([(10, 1)] * 10)
    Fraction(1, 1)
    """
    return sum((expected_common(size, choose) for size, choose in groups), Fraction(0))


def chance_of_none_common_by_groups(groups: Iterable[tuple[int, int]]) -> Fraction:
    return prod((chance_of_none_common(size, choose) for size, choose in groups), start=Fraction(1))


def share_seen(pool: int, form: int, forms: int) -> Fraction:
    """The expected share of a pool that has been seen after so many random forms."""
    return 1 - (1 - Fraction(form, pool)) ** forms


def average_overlap_rate(exposures: Sequence[Fraction], form: int) -> Fraction:
    """The share of a form that two students have in common, from the exposure of each item.

    N/n times the variance of the exposures, plus n/N: least where all are n/N.
    """
    n = len(exposures)
    mean = sum(exposures, Fraction(0)) / n
    variance = sum(((e - mean) ** 2 for e in exposures), Fraction(0)) / n
    return Fraction(n, form) * variance + Fraction(form, n)


def expected_repeats(variants: int, drawn: int) -> Fraction:
    """Equal pairs among draws with replacement: why draws are without."""
    return Fraction(drawn * (drawn - 1), 2 * variants)


def chance_of_a_repeat(variants: int, drawn: int) -> Fraction:
    """The probability of any equal pair among draws with replacement."""
    none = prod((Fraction(variants - i, variants) for i in range(drawn)), start=Fraction(1))
    return 1 - none


def sample_size_for(share: Fraction, confidence: Fraction) -> int:
    """The least n for which no fault in n bounds the share of faults with this confidence.

    >>> sample_size_for(Fraction(5, 100), Fraction(95, 100))
    59
    """
    n, clean = 0, Fraction(1)
    while clean > 1 - confidence:
        clean *= 1 - share
        n += 1
    return n
