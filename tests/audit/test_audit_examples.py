"""Any right number counts: the audit lists them anew, and types every number of the range."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from exporters.formats import FORMATS
from itembank.kinds.statement import problem_from
from itembank.pipeline.compose import Wording, compose
from itembank.values.answer import Range
from itembank.values.errors import ComposeError
from itembank.values.item import IntegerEntry, Item, Provenance
from tests.audit.released import report_of

ASKED = {
    "primitive roots mod 17": ((3, 12), {3, 5, 6, 7, 10, 11, 12}),
    "zero divisors mod 77": ((20, 30), {21, 22, 28}),
    "c for which 6x = c mod 15 is solvable": ((1, 8), {3, 6}),
    "c for which x^2 = c mod 13 is not solvable": ((4, 9), {5, 6, 7, 8}),
    "12x + 30y = 6": ((5, 20), {8, 13, 18}),
    "which x have phi(x) = 24": ((30, 60), {35, 39, 45, 52, 56}),
    "bases to which 91 is a pseudoprime": ((2, 12), {3, 4, 9, 10, 12}),
}
"""Question, range, and all that is right there: worked out by hand."""


def item_of(statement: str, low: int, high: int, language: str = "en") -> Item:
    problem = problem_from([statement])
    solution = problem.solve()
    wording = Wording(
        title="One of several", ask="an example", form="integer", rule="all or nothing", points=1,
        outcomes=("solve",), level="easy", language=language, range=Range(low, high),
        provenance=Provenance(family="example", version=1, seed="s", index=0),
    )  # fmt: skip
    return compose(problem, solution, problem.slips(solution), wording)


def counting(item: Item, change: Callable[[tuple[int, ...]], tuple[int, ...]]) -> Item:
    """The item with other numbers that count, and no feedback, which might be to one of them."""
    assert isinstance(item.response, IntegerEntry)
    first, *others = change(item.response.values)
    response = replace(item.response, value=first, others=tuple(others))
    return replace(item, response=response, feedback=())


@pytest.mark.parametrize("statement", ASKED)
def test_all_that_is_right_in_the_range_counts(statement: str) -> None:
    (low, high), right = ASKED[statement]
    response = item_of(statement, low, high).response
    assert isinstance(response, IntegerEntry)
    assert set(response.values) == right
    assert response.values == tuple(sorted(right))


@pytest.mark.parametrize("format", FORMATS)
def test_it_leaves_in_every_format(format: str, tmp_path: Path) -> None:
    report = report_of(item_of("primitive roots mod 17", 3, 12), tmp_path, format)
    assert (report.status, report.findings) == ("agreed", ())


@pytest.mark.parametrize("format", ["qti21", "qti30", "cc13", "html"])
def test_one_left_out_and_one_too_many_are_found(format: str, tmp_path: Path) -> None:
    item = item_of("primitive roots mod 17", 3, 12)
    for change in (lambda right: right[:-1], lambda right: (*right, 13), lambda right: (4, *right)):
        assert report_of(counting(item, change), tmp_path, format).status == "disagreed"


def test_every_number_of_the_range_is_typed(tmp_path: Path) -> None:
    item = item_of("primitive roots mod 17", 3, 12)
    report = report_of(counting(item, lambda right: (*right[:2], *right[3:])), tmp_path, "cc13")
    assert report.findings == ("scoring: expected 100 for '6', got 0",)


def test_another_range_in_the_stem_is_found(tmp_path: Path) -> None:
    item, other = (item_of("primitive roots mod 17", low, 12) for low in (3, 4))
    assert report_of(replace(item, stem=other.stem), tmp_path).status == "disagreed"


@pytest.mark.parametrize(
    ("low", "high", "fault"),
    [
        (14, 14, None),
        (15, 16, "an example: there is none in the range"),
        (10, 17, "an example: the range is not one of least residues above 0"),
        (0, 9, "an example: the range is not one of least residues above 0"),
    ],
)
def test_a_range_holds_least_residues_and_one_that_is_right(
    low: int, high: int, fault: str | None
) -> None:
    if fault is None:
        assert isinstance(item_of("primitive roots mod 17", low, high).response, IntegerEntry)
        return
    with pytest.raises(ComposeError, match=fault):
        item_of("primitive roots mod 17", low, high)


def test_too_many_right_numbers_are_refused() -> None:
    with pytest.raises(ComposeError, match="an example: 60 numbers are right, expected at most 40"):
        item_of("c for which 2x = c mod 202 is solvable", 1, 120)
