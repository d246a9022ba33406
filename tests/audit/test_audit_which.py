"""Congruences to choose from, tampered with: the audit judges each from its label alone."""

from dataclasses import replace

import pytest

from exporters.formats import FORMATS
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.notation.tree import Formula
from itembank.pipeline.compose import Wording, compose
from itembank.values.item import Item, Provenance, SelectOne
from tests.audit.released import report_of

STATEMENTS = (
    "which is solvable; 6x = 8 mod 15; 6x = 9 mod 21; 10x = 5 mod 12; 9x = 4 mod 24",
    "which has 4 solutions; x^2 = 1 mod 15; x^2 = 1 mod 9; x^2 = 2 mod 15; x^2 = 1 mod 24",
    "which has the same solutions as 12x = 20 mod 32; 3x = 5 mod 8; 3x = 5 mod 32; 6x = 10 mod 8; "
    "3x = 4 mod 8",
    "which has the same solutions as x^2 + x + 1 = 0 mod 21; 2x^2 + 2x + 2 = 0 mod 21; "
    "3x^2 + 3x + 3 = 0 mod 21; x^2 - x + 1 = 0 mod 21",
)

MADE_RIGHT = ("3x = 6 mod 12", "x^2 = 4 mod 35", "6x = 10 mod 16", "4x^2 + 4x + 4 = 0 mod 21")
"""Congruences that are right as well, one for each statement."""


def item_of(statement: str, index: int = 0, language: str = "en") -> Item:
    problem = problem_from(statement.split("; "))
    solution = problem.solve()
    wording = Wording(
        title="Several congruences", ask="which", form="select one", rule="all or nothing",
        points=1, outcomes=("solve",), level="easy", language=language,
        provenance=Provenance(family="which", version=1, seed="s", index=index),
    )  # fmt: skip
    return compose(problem, solution, problem.slips(solution), wording)


def key(item: Item) -> int:
    assert isinstance(item.response, SelectOne)
    return [option.correct for option in item.response.options].index(True)


def with_key(item: Item, place: int) -> Item:
    assert isinstance(item.response, SelectOne)
    options = tuple(replace(o, correct=i == place) for i, o in enumerate(item.response.options))
    return replace(item, response=SelectOne(options=options), feedback=())


def with_option(item: Item, place: int, congruence: str) -> Item:
    assert isinstance(item.response, SelectOne)
    label = (Formula(problem_from([congruence]).shown[0]),)
    options = list(item.response.options)
    options[place] = replace(options[place], label=label)
    return replace(item, response=SelectOne(options=tuple(options)))


@pytest.mark.parametrize("format", FORMATS)
@pytest.mark.parametrize("statement", STATEMENTS)
def test_what_is_composed_is_agreed_in_every_format(tmp_path, statement, format):
    report = report_of(item_of(statement), tmp_path, format)
    assert (report.status, report.findings) == ("agreed", ())
    assert report.how == "all residues put into every congruence"


@pytest.mark.parametrize("statement", STATEMENTS)
def test_every_other_option_as_the_key_is_disagreed(tmp_path, statement):
    item = item_of(statement)
    for place in range(len(item.response.options)):
        if place != key(item):
            report = report_of(with_key(item, place), tmp_path)
            assert report.status == "disagreed"
            assert any(f.startswith("key: expected") for f in report.findings)


@pytest.mark.parametrize(("statement", "right"), [*zip(STATEMENTS, MADE_RIGHT, strict=True)])
def test_a_wrong_option_made_right_is_disagreed(tmp_path, statement, right):
    item = item_of(statement)
    report = report_of(with_option(item, key(item) - 1, right), tmp_path)

    assert report.status == "disagreed"
    assert "options: expected the congruences of the statement, got others" in report.findings
    assert any(f.startswith("key: expected") for f in report.findings)


@pytest.mark.parametrize("statement", STATEMENTS)
def test_every_wrong_option_is_told_of_itself(statement):
    """The number by which the key is known to us was kept to ourselves: 3x = 5 holds a 3."""
    item = item_of(statement)
    said = [plain.blocks(found.text) for found in item.feedback]

    assert len(said) == len(item.response.options) - 1
    assert not any("one by one" in text for text in said)


def test_the_key_stands_at_each_place_once_in_four_and_the_others_in_no_order():
    items = [item_of(STATEMENTS[0], index) for index in range(40)]
    places = [key(item) for item in items]

    assert all(sorted(places[i : i + 4]) == [0, 1, 2, 3] for i in range(0, 40, 4))
    others = {tuple(o.label for o in item.response.options if not o.correct) for item in items}
    assert len(others) == 6
