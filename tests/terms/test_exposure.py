"""Overlap and leaks against computed and published values, and against exhaustion."""

from fractions import Fraction
from itertools import combinations, product

import pytest

from itembank.terms import exposure as e


@pytest.mark.parametrize(
    ("pool", "form", "expected", "none"),
    [
        (40, 10, 2.50, 0.035),
        (60, 10, 1.67, 0.136),
        (100, 10, 1.00, 0.330),
        (120, 10, 0.833, 0.404),
        (80, 15, 2.81, 0.031),
    ],
)
def test_two_random_forms(pool, form, expected, none):
    """Computed independently."""
    assert float(e.expected_common(pool, form)) == pytest.approx(expected, abs=0.005)
    assert round(float(e.chance_of_none_common(pool, form)), 3) == none


@pytest.mark.parametrize(
    ("size", "expected", "none"), [(6, 1.67, 0.162), (10, 1.00, 0.349), (20, 0.50, 0.599)]
)
def test_one_of_each_of_ten_groups(size, expected, none):
    """Computed independently."""
    groups = [(size, 1)] * 10

    assert float(e.expected_common_by_groups(groups)) == pytest.approx(expected, abs=0.005)
    assert round(float(e.chance_of_none_common_by_groups(groups)), 3) == none


def test_two_random_forms_by_exhaustion():
    forms = list(combinations(range(7), 3))
    common = [len(set(a) & set(b)) for a, b in product(forms, forms)]
    mean = Fraction(sum(common), len(common))

    assert e.expected_common(7, 3) == mean
    assert e.chance_of_none_common(7, 3) == Fraction(common.count(0), len(common))


@pytest.mark.parametrize(
    ("pool", "form", "forms", "share"),
    [(60, 10, 10, 0.84), (60, 10, 30, 0.996), (500, 25, 14, 0.512)],
)
def test_how_fast_a_pool_leaks(pool, form, forms, share):
    """The last: Payne, UC Riverside notes 2003 - 14 students reveal more than half."""
    assert float(e.share_seen(pool, form, forms)) == pytest.approx(share, abs=0.002)
