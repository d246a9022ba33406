"""Against published and independently computed values (their sources stand beside them)."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from itembank.terms import statistics as s
from tests.bank.samples import WUENSCH


def test_kr20_of_the_published_data():
    """KR-20 = .6963, SEM 1.332 (computed independently)."""
    assert [sum(row) for row in WUENSCH] == [8, 7, 7, 2, 2, 9, 8, 9, 7, 7]
    assert s.variance(s.totals(WUENSCH)) == Fraction(584, 100)
    r = s.kr20(WUENSCH)
    assert r is not None
    assert round(float(r), 4) == 0.6963
    assert round(s.standard_error(WUENSCH) or 0, 3) == 1.332


def test_item_total_and_corrected_correlations_of_the_published_data():
    """Computed independently with numpy."""
    sums = s.totals(WUENSCH)
    items = s.columns(WUENSCH)

    plain = [round(s.correlation(u, sums) or 0, 3) for u in items]
    corrected = [round(s.item_rest(u, sums) or 0, 3) for u in items]

    assert plain == [0.795, 0.795, 0.203, 0.614, 0.710, 0.434, 0.163, 0.795, 0.083, 0.625]
    assert corrected == [0.706, 0.706, 0.0, 0.474, 0.584, 0.286, -0.027, 0.706, -0.124, 0.476]


def test_the_point_biserial_of_the_published_data():
    """Brown, JALT Testing & Evaluation SIG: 45 against 30 with S = 8.29 gives .905."""
    scores = [50, 45, 45, 40, 35, 30, 30, 25]

    r = s.correlation([1, 1, 1, 1, 0, 0, 0, 0], scores)

    assert round(r or 0, 3) == 0.905


@pytest.mark.parametrize("u", [1, 0])
def test_an_item_that_all_answer_alike_has_no_correlation(u):
    """The same source prints .00; it is not defined, and 0 would look like a bad item."""
    assert s.correlation([u] * 8, [50, 45, 45, 40, 35, 30, 30, 25]) is None


def test_a_test_on_which_all_score_alike_has_no_reliability():
    assert s.kr20([[1, 0], [0, 1]]) is None
    assert s.standard_error([[1, 0], [0, 1]]) is None


def test_variants_that_look_unlike_and_are_not_significantly_so():
    """18, 20, 11, 19 right of 30 each (computed independently)."""
    found = s.homogeneity([(18, 30), (20, 30), (11, 30), (19, 30)])

    assert found.pooled == Fraction(68, 120)
    assert round(float(found.chi_square or 0), 3) == 6.787
    assert round(found.p or 0, 3) == 0.079
    assert round((found.tau or 0) ** 2, 3) == 0.153
    assert round(found.tau or 0, 3) == 0.391
    assert found.spread == Fraction(9, 30)


@settings(deadline=None)
@given(st.integers(1, 40), st.floats(0.01, 120))
def test_chi_square_agrees_with_a_library(df, x):
    assert s.chi_square_above(x, df) == pytest.approx(stats.chi2.sf(x, df), rel=1e-9, abs=1e-12)


@settings(deadline=None)
@given(st.integers(1, 500).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_wilson_agrees_with_a_library(counts):
    x, n = counts
    expected = stats.binomtest(x, n).proportion_ci(method="wilson")

    assert s.wilson(x, n) == pytest.approx((expected.low, expected.high), abs=1e-12)


tables = st.integers(3, 12).flatmap(
    lambda k: st.lists(
        st.lists(st.sampled_from([0, 1, Fraction(1, 2)]), min_size=k, max_size=k),
        min_size=3,
        max_size=20,
    )
)


@settings(deadline=None)
@given(tables)
def test_correlations_agree_with_a_library(table):
    sums = s.totals(table)
    for item in s.columns(table):
        rest = [float(t - u) for t, u in zip(sums, item, strict=True)]
        r = s.item_rest(item, sums)
        if r is None:
            assert len(set(item)) == 1 or len(set(rest)) == 1
        else:
            assert r == pytest.approx(stats.pearsonr([float(u) for u in item], rest)[0], abs=1e-9)


@settings(deadline=None)
@given(tables)
def test_alpha_is_the_mean_of_all_split_half_reliabilities_in_its_own_form(table):
    """The same from covariances: k/(k-1) times their share of the variance of the totals."""
    items = s.columns(table)
    k, spread = len(items), s.variance(s.totals(table))
    if not spread:
        return
    covariances = sum(
        s.mean([a * b for a, b in zip(x, y, strict=True)]) - s.mean(x) * s.mean(y)
        for i, x in enumerate(items)
        for j, y in enumerate(items)
        if i != j
    )

    assert s.alpha(table) == Fraction(k, k - 1) * covariances / spread


@settings(deadline=None)
@given(tables)
def test_the_corrected_correlation_is_the_one_of_the_formula(table):
    """(r s_X - s_i) / sqrt(s_X^2 + s_i^2 - 2 r s_X s_i), LeBlanc & Cox 2017."""
    sums = s.totals(table)
    for item in s.columns(table):
        r, corrected = s.correlation(item, sums), s.item_rest(item, sums)
        if r is None or corrected is None:
            continue
        sx, si = float(s.variance(sums)) ** 0.5, float(s.variance(item)) ** 0.5
        below = sx * sx + si * si - 2 * r * sx * si
        assert corrected == pytest.approx((r * sx - si) / below**0.5, abs=1e-6)


@pytest.mark.parametrize(
    ("n", "p", "r", "flags"),
    [
        (29, Fraction(0), -0.9, ()),
        (30, Fraction(1, 4), 0.1, ()),
        (30, Fraction(19, 100), 0.1, (s.TOO_HARD,)),
        (99, Fraction(93, 100), 0.1, ()),
        (99, Fraction(96, 100), 0.1, (s.TOO_EASY,)),
        (100, Fraction(1, 4), 0.1, (s.TOO_HARD, s.WEAKLY_RELATED)),
        (100, Fraction(93, 100), None, (s.TOO_EASY,)),
        (100, Fraction(1, 2), 0.2, ()),
    ],
)
def test_flags_wait_for_enough_students(n, p, r, flags):
    assert s.item_flags(n, p, r) == flags


@pytest.mark.parametrize(
    ("counts", "chance"),
    [
        ([(18, 30), (20, 30), (11, 30), (19, 30)], 0.079),
        ([(18, 30), (20, 30), (17, 30), (19, 30)], None),
        ([(2, 29), (28, 29)], None),
        ([(2, 29), (28, 29), (20, 30)], None),
        ([(30, 30), (30, 30)], None),
        ([(30, 30), (24, 30)], None),
        ([(300, 1000), (310, 1000)], None),
    ],
)
def test_variants_with_enough_answers_are_told_apart(counts, chance):
    """Small variants, small expected counts and small differences tell nothing."""
    found = s.chance_of_unlike(counts)

    assert (None if found is None else round(found, 3)) == chance


@settings(deadline=None)
@given(st.lists(st.integers(30, 80).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))),
                min_size=2, max_size=6))  # fmt: skip
def test_a_difference_of_variants_is_the_one_of_a_library(counts):
    found = s.chance_of_unlike(counts)
    if found is not None:
        table = [[x for x, _n in counts], [n - x for x, n in counts]]
        assert found == pytest.approx(stats.chi2_contingency(table, correction=False).pvalue)
