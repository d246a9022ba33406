"""The order of a draw: answers as even as they can be, and no variant lost or moved by asking."""

from collections import Counter
from itertools import islice

import pytest
from hypothesis import given
from hypothesis import strategies as st

from itembank.pipeline.balance import FALSE, NONE, RARE, TRUE, Evenly, SoFar, Varied, balanced
from itembank.pipeline.selection import chosen, fits, stream_of
from itembank.pipeline.variants import Stream
from itembank.spec import library, load_pool
from itembank.values.answer import Absent, Pairs, ResidueSet, Truth
from tests.shipped import FAMILIES

answers = st.lists(st.sampled_from([TRUE, FALSE, NONE, "8", "16"]), max_size=60)
aims = st.sampled_from([Evenly("k"), Varied("k", (100, 50, 40, 30))])


def order(drawn, aim):
    return list(balanced(enumerate(drawn), lambda one: (one[1], None), aim))


@given(answers, aims)
def test_each_comes_once_and_equal_answers_keep_their_order(drawn, aim):
    found = order(drawn, aim)

    assert sorted(found) == list(enumerate(drawn))
    for answer in set(drawn):
        numbers = [n for n, a in found if a == answer]
        assert numbers == sorted(numbers)


@given(answers, aims, st.integers(0, 60))
def test_asking_for_fewer_gives_the_same_first_ones(drawn, aim, n):
    some = islice(balanced(enumerate(drawn), lambda one: (one[1], None), aim), n)

    assert list(some) == order(drawn, aim)[:n]


@given(st.lists(st.one_of(st.just(NONE), st.integers(1, 40).map(str)), max_size=300))
def test_usual_answers_are_counted_as_they_are_met(met):
    """Against a count from the beginning, after each that is met."""
    so_far = SoFar()
    for n, answer in enumerate(met, 1):
        so_far.meet(answer)
        times = [t for a, t in Counter(met[:n]).items() if a != NONE]
        rare = sum(t for t in times if t * RARE < n)

        assert so_far.usual == sum(t * RARE >= n for t in times) + rare * RARE // n


def test_true_is_as_often_as_false_after_every_two_whatever_is_drawn():
    """One in six is true, as among quadratic congruences modulo two primes."""
    found = order([TRUE if n % 6 == 5 else FALSE for n in range(900)], Evenly("k"))[:200]

    for pair in range(0, 200, 2):
        assert {a for _, a in found[pair : pair + 2]} == {TRUE, FALSE}
    first = sum(found[pair][1] == TRUE for pair in range(0, 200, 2))
    assert 30 <= first <= 70  # of 100: the number of an item does not tell its answer


def test_an_answer_that_never_comes_is_not_waited_for_long():
    taken = 0

    def endless():
        nonlocal taken
        while True:
            taken += 1
            yield TRUE

    assert list(islice(balanced(endless(), lambda a: (a, None), Evenly("k")), 300)) == [TRUE] * 300
    assert taken < 500


def test_none_comes_once_in_eleven_and_the_commonest_number_is_held_down():
    """As drawn, 8 comes in 70 of 100 and "none" in 10."""
    drawn = ["8" if n % 10 < 7 else NONE if n % 5 == 2 else str(n % 7) for n in range(4000)]
    found = Counter(a for _, a in order(drawn, Varied("k", (100, 50, 40, 30)))[:400])

    assert found[NONE] in (36, 37)
    assert found["8"] <= 120


def truth(variant) -> bool:
    answer = variant.solution.answer
    if isinstance(answer, Truth):
        return answer.holds
    if isinstance(answer, Pairs):
        return bool(answer.pairs)
    return bool(answer) if isinstance(answer, ResidueSet) else not isinstance(answer, Absent)


@pytest.mark.parametrize("name", [n for n in FAMILIES if FAMILIES[n].ask == "whether any"])
def test_a_shipped_family_is_as_often_true_as_false(name):
    """Before, one was true in 16 of 100 variants, another in 90."""
    family = FAMILIES[name]
    found = [truth(v) for v in islice(Stream(family, "even", fits(family)), 60)]

    assert 0.4 * len(found) <= sum(found) <= 0.6 * len(found)


def test_a_group_of_a_pool_is_as_even_as_its_number_allows_though_variants_are_passed_over():
    """A record that refuses most of what is true leaves an uneven stream."""
    from itembank.pipeline.selection import Standing

    pool = load_pool(library() / "pools" / "congruences-quiz.yaml", FAMILIES)
    family = FAMILIES["quadratic-solvable-or-not"]

    def record(variant):
        refused = truth(variant) and int(variant.name, 16) % 4
        return Standing("used" if refused else "")

    stream = stream_of(family, pool, "s")
    found = [truth(v) for v in chosen(stream, 10, pool, {}, record)]

    assert sum(found) == 5
