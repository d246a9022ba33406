"""Parallel forms: what is promised is counted again, the gap against exhaustion."""

from collections import Counter
from itertools import combinations, permutations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from itembank.terms import parallel
from itembank.terms.parallel import Piece, Pieces, parallel_forms
from itembank.values.errors import DrawError


def pieces(first: int, efforts: list[int], signs=None, places=None) -> tuple[Piece, ...]:
    return tuple(
        Piece(
            first + i,
            effort,
            signs[i] if signs else (),
            places[i] if places else None,
        )
        for i, effort in enumerate(efforts)
    )


def smallest_gap(groups: list[list[int]], n: int) -> int:
    """By exhaustion: every way to give one item of each group to each of n forms."""
    best = 10**9
    ways = [list(permutations(group, n)) for group in groups]
    for choice in product(*ways):
        sums = [sum(column) for column in zip(*choice, strict=True)]
        best = min(best, max(sums) - min(sums))
    return best


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.lists(st.integers(1, 30), min_size=3, max_size=4), min_size=2, max_size=3),
    st.integers(2, 3),
)
def test_the_gap_is_the_smallest_that_exhaustion_finds(efforts, n):
    groups = [Pieces(f"family-{g}", 1, pieces(100 * g, group)) for g, group in enumerate(efforts)]

    found = parallel_forms(groups, n, 10**6)

    assert found.gap == smallest_gap(efforts, n)
    assert found.bound == found.gap
    of_item = {p.item: p.effort for group in groups for p in group.pieces}
    assert found.sums == tuple(sum(of_item[i] for i in form) for form in found.forms)


def test_content_is_exact_and_no_item_is_shared():
    groups = [
        Pieces("a", 2, pieces(0, [5, 9, 7, 6, 8, 4, 5, 7])),
        Pieces("b", 1, pieces(100, [12, 10, 11, 15])),
        Pieces("c", 3, pieces(200, list(range(3, 18)))),
    ]

    found = parallel_forms(groups, 4, 100)

    assert all(Counter(i // 100 for i in form) == {0: 2, 1: 1, 2: 3} for form in found.forms)
    assert not any(set(a) & set(b) for a, b in combinations(found.forms, 2))
    assert found.gap == max(found.sums) - min(found.sums)


def test_near_twins_never_share_a_form():
    """The pairs with equal efforts would balance best, and are twins."""
    signs = [("s",), ("t",), ("u",), ("v",)]
    groups = [
        Pieces("a", 1, pieces(0, [5, 6, 7, 8], signs)),
        Pieces("b", 1, pieces(100, [8, 7, 6, 5], signs)),
    ]

    found = parallel_forms(groups, 4, 100)

    for a, b in found.forms:
        assert a != b - 100
    assert found.gap == min(
        max(sums) - min(sums)
        for p in permutations(range(4))
        if all(p[i] != i for i in range(4))
        for sums in [[5 + i + 8 - p[i] for i in range(4)]]
    )


def test_items_of_one_group_that_are_twins_are_kept_apart_too():
    groups = [Pieces("a", 2, pieces(0, [5, 5, 5, 5], [("s",), ("s",), ("t",), ("t",)]))]

    found = parallel_forms(groups, 2, 100)

    assert all({i // 2 for i in form} == {0, 1} for form in found.forms)


def test_the_places_of_the_key_are_spread():
    """Eight questions of four options on each form: each place twice."""
    groups = [
        Pieces(f"f{g}", 1, pieces(10 * g, [5 + g, 6 + g, 7 + g, 8 + g], places=[0, 1, 2, 3]))
        for g in range(8)
    ]
    of_item = {p.item: p.place for group in groups for p in group.pieces}

    found = parallel_forms(groups, 3, 100)

    assert found.uneven == 0
    for form in found.forms:
        assert Counter(of_item[i] for i in form) == {0: 2, 1: 2, 2: 2, 3: 2}


def test_places_that_cannot_be_spread_are_as_even_as_they_can():
    groups = [
        Pieces(f"f{g}", 1, pieces(10 * g, [5, 5, 5], places=[0, 0, 1 if g == 0 else 0]))
        for g in range(4)
    ]

    found = parallel_forms(groups, 2, 100)

    assert found.uneven == 2


@pytest.mark.parametrize(
    ("groups", "n", "most", "said"),
    [
        (
            [Pieces("a", 2, pieces(0, [1] * 5))],
            3,
            0,
            "parallel forms: 3 forms need 6 variants of a, the pool has 5; ask for more variants",
        ),
        ([Pieces("a", 1, pieces(0, [1]))], 1, 0, "parallel forms: expected 2 to 26, got 1"),
        (
            [Pieces("a", 2, pieces(0, [1] * 4, [("s",)] * 4))],
            2,
            0,
            "parallel forms: 2 forms without near twins cannot be made of these items; draw more "
            "variants, or ask for fewer forms",
        ),
        (
            [Pieces("a", 1, pieces(0, [1, 9]))],
            2,
            7,
            "parallel forms: the effort sums of 2 forms differ by 8, expected at most 7; draw more "
            "variants, narrow the pool's band of effort, or allow more",
        ),
    ],
)
def test_forms_that_cannot_be_made_say_why(groups, n, most, said):
    with pytest.raises(DrawError) as error:
        parallel_forms(groups, n, most)
    assert str(error.value) == said


def test_the_same_request_gives_the_same_forms():
    groups = [
        Pieces("a", 2, pieces(0, [i * 7 % 13 + 5 for i in range(20)])),
        Pieces("b", 2, pieces(100, [i * 5 % 11 + 9 for i in range(20)])),
    ]

    assert parallel_forms(groups, 4, 100) == parallel_forms(groups, 4, 100)


def test_what_the_solver_proposes_is_counted_again():
    groups = [Pieces("a", 1, pieces(0, [1, 2]))]

    with pytest.raises(AssertionError, match="an item stands on two forms"):
        parallel.check(groups, [[0], [0]])
    with pytest.raises(AssertionError, match="content"):
        parallel.check(groups, [[0, 1]])
