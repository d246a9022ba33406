"""How often questions meet the same student, neighbour or later term: overlap and leaks.

Exact, as fractions.  Sources: two random forms share a hypergeometric number of items; equal
exposure gives the least overlap (Chang & Zhang, Psychometrika 2002).
"""

from collections.abc import Iterable
from fractions import Fraction
from math import comb, prod


def expected_common(pool: int, form: int) -> Fraction:
    """How many items two random forms of `form` items from a pool share, on average.

    >>> expected_common(60, 10)
    Fraction(5, 3)
    """
    return Fraction(form * form, pool)


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
