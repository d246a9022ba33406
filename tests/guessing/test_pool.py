"""What guessers score on the questions of a release, which are made by hand here."""

from dataclasses import replace
from fractions import Fraction

from itembank.guessing.pool import easiest, figures_of_groups
from itembank.values.item import Item, SelectOne
from tests.exporters import samples


def chosen(place: int) -> Item:
    """A value to choose at this place, among values without a pattern."""
    options = tuple(
        replace(samples.residue(value), identifier=f"option-{n}", correct=n == place)
        for n, value in enumerate((15, 26, 37, 49), 1)
    )
    return replace(samples.SELECT_ONE, ask="the value", response=SelectOne(options=options))


def claim(truth: bool) -> Item:
    return replace(samples.TRUE_FALSE, response=replace(samples.TRUE_FALSE.response, truth=truth))


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
