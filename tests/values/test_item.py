"""The fingerprint of an item: fixed by its content, and by all of it."""

import dataclasses
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import pytest

from itembank.kinds.statement import problem_from
from itembank.notation.tree import Letter, Number, Power
from itembank.pipeline import compose
from itembank.pipeline.compose import Wording
from itembank.values.item import Item, Provenance, Scoring, canonical


def item(form: str) -> Item:
    problem = problem_from(["x^2 + 9x + 5 = 0 mod 117"])
    solution = problem.solve()
    wording = Wording(
        title="Quadratic congruence (1)",
        ask="all solutions",
        form=form,
        rule="all or nothing",
        points=2,
        outcomes=("lift-roots",),
        level="medium",
        provenance=Provenance(family="f", version=1, seed="s", index=0),
    )
    return compose.compose(problem, solution, problem.slips(solution), wording)


def changed(value: Any) -> Iterator[Any]:
    """The value with one thing in it changed, for each thing; and with one part left out."""
    if value is None:
        yield ""
    elif isinstance(value, bool):
        yield not value
    elif isinstance(value, int):
        yield value + 1
    elif isinstance(value, str):
        yield value + "."
    elif isinstance(value, tuple):
        for i, part in enumerate(value):
            yield value[:i] + value[i + 1 :]
            yield from ((*value[:i], other, *value[i + 1 :]) for other in changed(part))
    else:
        for field in dataclasses.fields(value):
            for other in changed(getattr(value, field.name)):
                yield dataclasses.replace(value, **{field.name: other})


@pytest.mark.parametrize("form", ["select all", "list"])
def test_whatever_changes_in_an_item_changes_its_fingerprint(form):
    whole = item(form)
    others = set(changed(whole))

    assert len(others) > 500
    assert len({other.fingerprint for other in others} | {whole.fingerprint}) == len(others) + 1


def test_equal_items_have_one_fingerprint():
    assert item("list").fingerprint == item("list").fingerprint


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ((1, "1", True, None, (2, 3**50)), '[1,"1",true,null,[2,717897987691852588770249]]'),
        (Power(Letter("φ"), Number(-2)), '{"Power":[{"Letter":["φ",0]},{"Number":-2}]}'),
        (Scoring(points=3), '{"Scoring":["all or nothing",3]}'),
    ],
)
def test_everything_stands_in_its_place(value, text):
    assert canonical(value) == text.encode()


@pytest.mark.parametrize("value", [{1}, Fraction(1, 2), (b"",), Number])
def test_what_has_no_place_in_an_item_is_refused(value):
    with pytest.raises(TypeError):
        canonical(value)
