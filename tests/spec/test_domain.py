"""Domains hold exactly the values a list would, and never make the list."""

import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st

from itembank.spec.domain import LARGEST_PRIME, Integers, Listed, Primes

small = st.integers(-30, 30)
few = st.lists(st.integers(-35, 35), max_size=6).map(tuple)


@given(low=small, high=small, excluded=few)
def test_integers_are_the_range_without_the_excluded(low, high, excluded):
    domain = Integers(low, high, excluded)

    assert list(domain) == [n for n in range(low, high + 1) if n not in excluded]
    assert domain.size == len(list(domain))
    assert [domain.value(i) for i in range(domain.size)] == list(domain)


@given(low=st.integers(-5, 300), high=st.integers(-5, 300), excluded=st.lists(st.integers(0, 300)))
def test_primes_are_those_of_the_range_without_the_excluded(low, high, excluded):
    domain = Primes(low, high, tuple(excluded))

    expected = [n for n in sympy.primerange(max(low, 0), high + 1) if n not in excluded]
    assert list(domain) == expected
    assert domain.size == len(expected)


@pytest.mark.parametrize(("low", "high"), [(999_900, LARGEST_PRIME), (9_990, 10_010), (97, 103)])
def test_primes_near_the_ends_of_the_lists_are_all_there(low, high):
    assert list(Primes(low, high)) == list(sympy.primerange(low, high + 1))


def test_primes_beyond_the_list_are_refused():
    with pytest.raises(ValueError, match="primes are drawn up to 1000000, got 1000001"):
        Primes(2, LARGEST_PRIME + 1)


def test_a_list_keeps_its_order_and_counts_each_value_once():
    assert list(Listed((9, 4, 9, 8))) == [9, 4, 8]
    assert Listed((9, 4, 9, 8)).size == 3


def test_a_vast_range_is_never_listed():
    domain = Integers(-(10**300), 10**300, (0,))

    assert domain.size == 2 * 10**300
    assert domain.value(10**300) == 1
    assert domain.value(10**300 - 1) == -1


@pytest.mark.parametrize("domain", [Integers(1, 3), Primes(2, 5), Listed((1, 2, 3))])
@pytest.mark.parametrize("i", [-1, 3])
def test_there_is_no_value_outside_the_domain(domain, i):
    with pytest.raises(IndexError):
        domain.value(i)
