"""What guessers score on the questions of a release, which are made by hand here."""

from dataclasses import replace
from fractions import Fraction

import pytest

from itembank.guessing.bounds import BOUNDS, is_sure
from itembank.guessing.pool import easiest, figures_of_groups
from itembank.pipeline.guesses import refuse_guessable
from itembank.values.errors import DrawError
from itembank.values.item import Item, SelectOne, TrueFalse
from tests.exporters import samples
from tests.shipped import FAMILIES


def chosen(place: int) -> Item:
    """A value to choose at this place, among values without a pattern."""
    options = tuple(
        replace(samples.residue(value), identifier=f"option-{n}", correct=n == place)
        for n, value in enumerate((15, 26, 37, 49), 1)
    )
    return replace(samples.SELECT_ONE, ask="the value", response=SelectOne(options=options))


def stated(truth: bool) -> TrueFalse:
    assert isinstance(samples.TRUE_FALSE.response, TrueFalse)
    return replace(samples.TRUE_FALSE.response, truth=truth)


def claim(truth: bool) -> Item:
    return replace(samples.TRUE_FALSE, response=stated(truth))


def group(family: str, *items: Item) -> tuple[str, tuple[Item, ...]]:
    return family, items


TURNED = group("turned", *(chosen(n % 4 + 1) for n in range(40)))
FIRST = group("first", *(chosen(1) for _ in range(40)))


def test_the_easiest_family_is_that_farthest_above_chance():
    found = figures_of_groups([TURNED, FIRST])

    assert set(found) == {("turned", "select one"), ("first", "select one")}
    worst = easiest(found)
    assert worst is not None
    family, figures = worst
    assert family == "first"
    assert figures.best is not None
    assert (figures.best.name.template, figures.best.share) == ("the first option", 1)
    assert figures.above_chance == Fraction(3, 4)


def test_the_groups_of_one_family_are_met_together():
    halves = [group("first", *(chosen(1) for _ in range(20))) for _ in range(2)]

    assert figures_of_groups(halves)["first", "select one"].questions == 40


def test_claims_as_even_as_their_number_allows():
    def uneven(*truths: bool) -> bool:
        (figures,) = figures_of_groups([group("claims", *map(claim, truths))]).values()
        return figures.is_uneven

    assert not uneven(True, False)
    assert not uneven(True, False, True)
    assert uneven(True, False, True, True)


FAIR, WANTED = "linear-one-solution", "pair-several-solutions"
"""Families: the second says why it may be guessed."""


def refuse(*groups: tuple[str, tuple[Item, ...]]) -> None:
    refuse_guessable("week-3", (FAMILIES[FAIR], FAMILIES[WANTED]), groups)


def test_a_group_that_is_guessed_for_sure_is_not_released():
    with pytest.raises(DrawError) as refused:
        refuse(group(FAIR, *FIRST[1]))
    said = str(refused.value)

    assert "week-3: linear-one-solution, select one: the best guess without arithmetic" in said
    assert "the keys at a place, of what is due to it: 400 %" in said
    refuse(group(FAIR, *TURNED[1]), group(WANTED, *FIRST[1]))


def test_claims_of_a_group_are_as_even_as_their_number_allows_or_it_is_not_released():
    refuse(group(FAIR, claim(True), claim(False), claim(True)))
    with pytest.raises(DrawError, match="3 of 4 claims are true, expected as many as are false"):
        refuse(group(FAIR, *map(claim, (True, True, False, True))))


def test_few_questions_show_little():
    """Eight keys of which five stand at one place are no proof; eight of eight are."""
    refuse(group(FAIR, *map(chosen, (1, 1, 1, 1, 1, 2, 3, 4))))
    with pytest.raises(DrawError):
        refuse(group(FAIR, *map(chosen, [1] * 8)))


def test_a_place_counts_as_a_share_of_the_questions():
    places = next(b for b in BOUNDS if b.name == "the keys at a place, of what is due to it")

    assert not is_sure(places, Fraction(5, 2), 8)
    assert is_sure(places, Fraction(5, 2), 200)
