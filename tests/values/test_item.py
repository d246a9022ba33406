"""The fingerprint of an item: fixed by its content, and by all of it."""

import dataclasses
import json
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from itembank.kinds.statement import problem_from
from itembank.notation.tree import Letter, Number, Power
from itembank.pipeline import compose
from itembank.pipeline.compose import Wording
from itembank.values import codec
from itembank.values.codec import TABLES, read, written
from itembank.values.item import Item, Provenance, Scoring, canonical
from tests.exporters import samples


def item(form: str) -> Item:
    problem = problem_from(["x^2 + 9x + 5 = 0 mod 117"])
    solution = problem.solve()
    wording = Wording(
        title="Quadratic congruence (1)",
        ask="the steps" if form == "order" else "all solutions",
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


def test_a_mended_sentence_keeps_the_name_and_asks_again_only_for_what_it_touches():
    whole = item("select all")
    (paragraph, *others) = whole.solution
    mended = dataclasses.replace(
        whole, solution=(dataclasses.replace(paragraph, content=("Mended.",)), *others)
    )

    assert mended.identifier == whole.identifier
    assert [name for name in whole.facets if mended.facets[name] != whole.facets[name]] == [
        "wording"
    ]
    assert mended.fingerprint != whole.fingerprint


@pytest.mark.parametrize("form", ["select all", "select one", "list", "set", "order", "guided"])
def test_what_is_asked_scored_or_led_to_by_a_slip_is_the_question(form):
    whole = item(form)
    others = [
        dataclasses.replace(whole, **change)
        for change in (
            {"statement": ("x^2 + 9x + 6 = 0 mod 117",)},
            {"ask": "how many"},
            {"scoring": Scoring(points=3)},
            {"feedback": whole.feedback[1:]},
        )
    ]

    names = {other.identifier for other in others}
    assert len(names | {whole.identifier}) == len(others) + 1
    assert all(other.facets["key"] != whole.facets["key"] for other in others)


def test_another_edition_has_the_same_question_and_a_name_of_its_own():
    whole = item("list")
    german = dataclasses.replace(whole, language="de", edition="de")

    assert german.question == whole.question
    assert german.identifier == f"{whole.identifier}-de"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ((1, "1", True, None, (2, 3**50)), '[1,"1",true,null,[2,717897987691852588770249]]'),
        (
            Power(Letter("φ"), Number(-2)),
            '{"power":{"base":{"letter":{"name":"φ","primes":0}},'
            '"exponent":{"number":{"value":-2}}}}',
        ),
        (Scoring(points=3), '{"scoring":{"rule":"all or nothing","points":3}}'),
        (
            Scoring(points=Fraction(3, 2)),
            '{"scoring":{"rule":"all or nothing","points":"1.5"}}',
        ),
    ],
)
def test_everything_is_written_under_its_name(value, text):
    assert written(value) == text.encode()
    if not isinstance(value, tuple):
        assert read(text) == value


def as_json(value: object) -> object:
    """What the tables say of a value, in lists and dictionaries."""
    if isinstance(value, tuple):
        return [as_json(part) for part in value]
    if not dataclasses.is_dataclass(value):
        return value
    tag, names = next((t, names) for t, (kind, names) in TABLES.items() if kind is type(value))
    held = {name: as_json(getattr(value, name)) for name in names}
    if isinstance(value, Scoring) and value.points % 1:
        held["points"] = str(float(value.points))
    gained = {"item": ("otherwise", "right", "formal"), "integer": ("others",)} | {
        "order": ("not_used", "by_places")
    }
    return {tag: {n: v for n, v in held.items() if v or n not in gained.get(tag, ())}}


ODD = replace(
    samples.INTEGER,
    title='"\\/\n\t\x7f\u2028 äφ🎓',
    scoring=Scoring(points=Fraction(3, 2)),
)


@pytest.mark.parametrize("value", [*samples.ITEMS.values(), *samples.BEYOND.values(), ODD])
def test_an_item_is_written_as_a_general_encoder_writes_its_tables(value):
    text = json.dumps(as_json(value), ensure_ascii=False, separators=(",", ":"))

    assert written(value) == text.encode()


def test_every_class_of_an_item_is_in_the_tables_with_all_its_fields():
    for kind, names in codec.TABLES.values():
        assert {f.name for f in dataclasses.fields(kind)} == set(names), kind
    assert len(codec.BY_POSITION) == len(codec.TABLES)


@pytest.mark.parametrize("value", [{1}, Fraction(1, 2), (b"",), Number])
def test_what_has_no_place_in_an_item_is_refused(value):
    with pytest.raises(TypeError):
        written(value)
    with pytest.raises(TypeError):
        canonical(value)
