"""What the exporters write, read back: agreed as it is, disagreed once an item is changed."""

from dataclasses import replace
from pathlib import Path

import pytest

from exporters.formats import FORMATS, write_package
from exporters.release import Group, Release
from itembank.audit import audit_package
from itembank.kinds.statement import problem_from
from itembank.notation.prose import paragraph
from itembank.pipeline.compose import Wording, compose
from itembank.values.errors import ComposeError, ExportError
from itembank.values.item import (
    Guided,
    IntegerEntry,
    Item,
    ListEntry,
    MatchPairs,
    Provenance,
    PutInOrder,
    Response,
    Scoring,
    SelectAll,
    SelectOne,
    SetEntry,
    TrueFalse,
)
from itembank.values.points import Points
from itembank.values.vocabulary import FORMS_OF_ASK, PLAIN_FORMS

STATEMENTS = (
    "x^2 + 9x + 5 = 0 mod 117",
    "x^3 + 3x + 5 = 0 mod 27",  # a singular root
    "x^2 = 2 mod 21",  # none
    "3x^2 + x = 10 mod 36",
    "9x = 6 mod 15",
    "4x = 3 mod 10",
    "3x = 0 mod 9",  # 0 among them
    "x^2 = 0 mod 3^40",
    "x^2 + x + 3 = 0 mod 25",  # lifts to match
    "x^3 + 2x^2 + 5x = 0 mod 25",
)
ASKS = (
    *("all solutions", "how many", "the least", "the largest", "whether any", "the steps"),
    *("the wrong line", "the missing step", "the next step", "the reason"),
)


def composed(statement: str) -> list[Item]:
    """The statement in every ask and form that it can take."""
    problem = problem_from([statement])
    solution = problem.solve()
    slips = problem.slips(solution)
    items = []
    for ask in ASKS:
        for form in FORMS_OF_ASK[ask]:
            origin = Provenance(
                family=f"{form}-{ask}".replace(" ", "-"), version=1, seed="s", index=0
            )
            wording = Wording(
                title=f"{statement}, {ask}", ask=ask, form=form, rule="all or nothing", points=2,
                outcomes=("solve",), level="medium", provenance=origin,
            )  # fmt: skip
            try:
                item = compose(problem, solution, slips, wording)
            except (ComposeError, ValueError):
                continue
            if form not in PLAIN_FORMS:
                other = "select one" if ask == "the steps" else "list"
                said = replace(wording, form=other, points=item.scoring.points)
                item = replace(item, plain=compose(problem, solution, slips, said))
            items.append(item)
    return items


@pytest.fixture(scope="module")
def items() -> list[Item]:
    found = [item for statement in STATEMENTS for item in composed(statement)]
    assert {i.response.form for i in found} == {form for a in ASKS for form in FORMS_OF_ASK[a]}
    return found


def points_of(item: Item) -> Points:
    return item.scoring.points if item.scoring.rule == "by stage" else 2


def written(path: Path, format: str, math: str, items: list[Item]) -> Path:
    groups = tuple(
        Group(family=i.provenance.family, title=i.title, items=(i,), choose=1, points=points_of(i))
        for i in items
    )
    release = Release(
        pool_id="round-trip", title="Round trip", course="NT 210", term="2027-spring",
        language="en", groups=groups,
    )  # fmt: skip
    write_package(format, release, path, math)
    return path


@pytest.mark.parametrize(
    ("format", "math"),
    [(name, math) for name, f in FORMATS.items() for math in f.abilities.mathematics],
)
def test_what_was_written_is_agreed_in_every_format_and_dialect(tmp_path, items, format, math):
    report = audit_package(written(tmp_path / "a.zip", format, math, items))

    assert report.findings == ()
    assert report.count("agreed") == len(items)


def test_points_by_ticks_are_agreed_where_the_format_carries_them(tmp_path, items):
    by_ticks = [
        replace(
            item, scoring=Scoring(rule="plus minus", points=right), stem=(*item.stem[:-1], TICKS)
        )
        for item in items
        if isinstance(item.response, SelectAll)
        and (right := sum(o.correct for o in item.response.options)) == 2
    ]
    assert by_ticks

    report = audit_package(written(tmp_path / "a.zip", "qti21", "html", by_ticks))

    assert (report.findings, report.count("agreed")) == ((), len(by_ticks))


TICKS = paragraph("Each right tick adds 1, each wrong tick takes 1 away; the sum is never below 0.")


def with_another_key(item: Item) -> Item:
    """The item as it would be if the solver had been wrong."""
    response = item.response
    match response:
        case SelectAll(options=options):
            flipped = [replace(options[0], correct=not options[0].correct), *options[1:]]
            return replace(item, response=SelectAll(options=tuple(flipped)))
        case SelectOne(options=options):
            place = next(i for i, o in enumerate(options) if o.correct)
            moved = [
                replace(o, correct=i == (place + 1) % len(options)) for i, o in enumerate(options)
            ]
            return replace(item, response=SelectOne(options=tuple(moved)), feedback=())
        case IntegerEntry(value=value):
            return replace(item, response=replace(response, value=value + 1), feedback=())
        case ListEntry(values=values):
            return replace(item, response=replace(response, values=values[1:] or (1,)), feedback=())
        case SetEntry(values=values):
            plain = with_another_key(item.plain)
            found = (*values[:-1], (values[-1] + 1) % response.modulus)
            return replace(
                item, response=replace(response, values=tuple(sorted(found))), plain=plain
            )
        case TrueFalse(truth=truth):
            return replace(item, response=replace(response, truth=not truth), feedback=())
        case PutInOrder(order=(*others, x, y)):
            changed: Response = replace(response, order=(*others, y, x))
            return replace(item, response=changed, plain=with_another_key(item.plain))
        case MatchPairs(pairs=(first, *others)):
            pairs = (f"{first.split()[0]} lift-none", *others)
            changed = replace(response, pairs=pairs)
            return replace(item, response=changed, plain=with_another_key(item.plain))
        case Guided(stages=(*others, last)):
            assert isinstance(last.response, ListEntry)
            entry = replace(last.response, values=last.response.values[1:] or (1,))
            changed = Guided(stages=(*others, replace(last, response=entry)))
            return replace(item, response=changed, plain=with_another_key(item.plain))
    raise AssertionError(response)


@pytest.mark.parametrize("format", FORMATS)
def test_a_wrong_key_is_disagreed_in_every_form(tmp_path, items, format):
    wrong = []
    for item in items:
        changed = replace(with_another_key(item), feedback=())
        if changed.plain:
            changed = replace(changed, plain=replace(changed.plain, feedback=()))
        try:
            written(
                tmp_path / "one.zip", format, FORMATS[format].abilities.mathematics[0], [changed]
            )
            wrong.append(changed)
        except ExportError:
            continue  # no key is left
    math = FORMATS[format].abilities.mathematics[0]

    report = audit_package(written(tmp_path / "a.zip", format, math, wrong))

    assert {i.response.form for i in wrong} == {i.response.form for i in items}
    assert {r.identifier for r in report.items if r.status == "disagreed"} == {
        i.identifier for i in wrong
    }
    assert all(any(" key: " in line for line in r.lines) for r in report.items)
