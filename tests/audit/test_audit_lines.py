"""Questions about single lines, tampered with: what the audit proves from the words alone."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from exporters.formats import FORMATS
from itembank.kinds.statement import problem_from
from itembank.languages import Speaker, say
from itembank.notation import plain
from itembank.notation.tree import Paragraph
from itembank.pipeline.compose import Wording, compose
from itembank.values.item import Item, Provenance, SelectOne
from tests.audit.released import report_of

STATEMENTS = (
    "x^2 + 9x + 5 = 0 mod 117",
    "20x = 44 mod 76",
    "x = 3 mod 4; x = 5 mod 7; x = 2 mod 11",
)

ASKS = ("the wrong line", "the missing step", "the next step", "the reason")


def asks_of(statement: str) -> tuple[str, ...]:
    return problem_from(statement.split("; ")).signature.asks


def is_told(statement: str, ask: str) -> bool:
    return ask != "the reason" or ";" not in statement


COMMON = "x = 7 mod 12; x = 1 mod 27"
"""A system whose moduli share a divisor: its reasons are asked for, not its lines."""

ASKED = [
    *((s, ask) for s in STATEMENTS for ask in ASKS if ask in asks_of(s) and is_told(s, ask)),
    (COMMON, "the reason"),
]


def item_of(statement: str, ask: str, index: int) -> Item:
    problem: Any = problem_from(statement.split("; "))
    solution = problem.solve()
    wording = Wording(
        title="Lines", ask=ask, form="select one", rule="all or nothing", points=1,
        outcomes=("solve",), level="easy",
        provenance=Provenance(family="lines", version=1, seed="s", index=index),
    )  # fmt: skip
    return compose(problem, solution, problem.slips(solution), wording)


# ------------------------------------------------------------ changes


def numbered(item: Item) -> list[int]:
    """The places of the numbered lines in the stem."""
    return [
        i
        for i, block in enumerate(item.stem)
        if isinstance(block, Paragraph) and plain.blocks((block,)).startswith("Line ")
    ]


def with_lines(item: Item, change: Callable[[list[Any]], None]) -> Item:
    """The item with the words after the numbers of its lines changed."""
    places = numbered(item)
    words = [item.stem[i].content for i in places]
    change(words)
    stem = list(item.stem)
    for i, own in zip(places, words, strict=True):
        line = item.stem[i]
        assert isinstance(line, Paragraph)
        stem[i] = replace(line, content=own)
    return replace(item, stem=tuple(stem))


def with_labels(item: Item, change: Callable[[list[Any]], None]) -> Item:
    """The item with the labels of its options changed, its key at its place."""
    assert isinstance(item.response, SelectOne)
    labels = [option.label for option in item.response.options]
    change(labels)
    options = tuple(
        replace(o, label=label) for o, label in zip(item.response.options, labels, strict=True)
    )
    return replace(item, response=SelectOne(options=options))


def with_key(item: Item, place: int) -> Item:
    assert isinstance(item.response, SelectOne)
    options = tuple(replace(o, correct=i == place) for i, o in enumerate(item.response.options))
    return replace(item, response=SelectOne(options=options), feedback=())


def key(item: Item) -> int:
    assert isinstance(item.response, SelectOne)
    return [o.correct for o in item.response.options].index(True)


def exchange(i: int, j: int) -> Callable[[list], None]:
    def change(parts: list) -> None:
        parts[i], parts[j] = parts[j], parts[i]

    return change


def put(i: int, words: object) -> Callable[[list], None]:
    def change(parts: list) -> None:
        parts[i] = words

    return change


def right_line(statement: str, n: int) -> tuple[object, ...]:
    problem: Any = problem_from(statement.split("; "))
    return Speaker().inlines(problem.lines(problem.solve())[n].text)


# ------------------------------------------------------------ what is agreed, and what is not


@pytest.mark.parametrize("format", FORMATS)
@pytest.mark.parametrize(("statement", "ask"), ASKED)
def test_what_is_composed_is_agreed_in_every_format(tmp_path, statement, ask, format):
    for index in (0, 1, 3):
        report = report_of(item_of(statement, ask, index), tmp_path, format)
        assert (report.status, report.findings) == ("agreed", ())
        assert report.how == "each line proved by itself, from its words"


@pytest.mark.parametrize(("statement", "ask"), ASKED)
def test_every_other_option_as_the_key_is_disagreed(tmp_path, statement, ask):
    for index in range(5):
        item = item_of(statement, ask, index)
        for place in range(len(item.response.options)):
            if place != key(item):
                report = report_of(with_key(item, place), tmp_path)
                assert report.status == "disagreed", (index, place)
                assert any(f.startswith("key: expected option-") for f in report.findings)


@pytest.mark.parametrize("statement", STATEMENTS)
def test_a_wrong_line_made_right_is_disagreed(tmp_path, statement):
    for index in (0, 1, 2):
        item = item_of(statement, "the wrong line", index)
        n = key(item)
        mended = with_lines(item, put(n, right_line(statement, n)))
        assert report_of(mended, tmp_path).status == "disagreed"


@pytest.mark.parametrize("statement", STATEMENTS)
def test_a_right_line_made_wrong_before_the_wrong_one_is_disagreed(tmp_path, statement):
    problem: Any = problem_from(statement.split("; "))
    first = problem.lines(problem.solve())[0].wrong[0].text
    item = item_of(statement, "the wrong line", 2)
    spoiled = with_lines(item, put(0, Speaker().inlines(first)))

    assert key(item) == 2
    report = report_of(spoiled, tmp_path)
    assert report.status == "disagreed"
    assert "key: expected option-1" in report.findings


@pytest.mark.parametrize("ask", ["the wrong line", "the missing step"])
@pytest.mark.parametrize("statement", STATEMENTS)
def test_two_lines_exchanged_are_found(tmp_path, statement, ask):
    item = item_of(statement, ask, 3 if ask == "the wrong line" else 0)
    report = report_of(with_lines(item, exchange(-1, -2)), tmp_path)

    assert report.status == "disagreed"
    assert "lines: expected each step of the method once, in its order" in report.findings


@pytest.mark.parametrize(("statement", "ask"), [(s, a) for s, a in ASKED if a != ASKS[0]])
def test_two_options_exchanged_are_disagreed(tmp_path, statement, ask):
    item = item_of(statement, ask, 1)
    changed = with_labels(item, exchange(key(item), key(item) - 1))

    assert report_of(changed, tmp_path).status == "disagreed"


@pytest.mark.parametrize("ask", ["the missing step", "the next step"])
@pytest.mark.parametrize("statement", STATEMENTS)
def test_a_line_shown_that_is_wrong_is_found(tmp_path, statement, ask):
    problem: Any = problem_from(statement.split("; "))
    lines = problem.lines(problem.solve())
    item = item_of(statement, ask, 0)
    shown = [n for n, i in enumerate(numbered(item)) if "?" not in plain.blocks((item.stem[i],))]
    n = shown[0]
    spoiled = with_lines(item, put(n, Speaker().inlines(lines[n].wrong[0].text)))

    report = report_of(spoiled, tmp_path)
    assert report.status == "disagreed"
    assert "lines: expected each of them to be right, got a wrong one (1)" in report.findings


def test_a_reason_that_holds_and_proves_another_statement_is_disagreed(tmp_path):
    """Two options hold, or the one that holds is about something else."""
    item = item_of("x^2 + 9x + 5 = 0 mod 117", "the reason", 0)
    other = Speaker().inlines(
        next(
            i.reason
            for i in problem_from(item.statement).inferences(problem_from(item.statement).solve())
            if i.kind == "solutions below"
        )
    )
    elsewhere = report_of(with_labels(item, put(key(item), other)), tmp_path)
    assert elsewhere.status == "disagreed"
    assert "key: expected a condition from which the statement follows" in elsewhere.findings

    both = report_of(with_labels(item, put(key(item) - 1, other)), tmp_path)
    assert (both.status, both.how) == ("unchecked", "2 options that are so, expected one")


def test_the_difference_of_the_residues_must_be_that_of_the_system(tmp_path):
    """6 told as 9, which 3 divides as well: every condition is decided, on another number."""
    item = item_of(COMMON, "the reason", 0)
    said = Paragraph((*Speaker().inlines(say("The residues on the right sides differ by $9$.")),))
    stem = [said if "differ by" in plain.blocks((b,)) else b for b in item.stem]
    report = report_of(replace(item, stem=tuple(stem)), tmp_path)

    assert (report.status, report.how) == (
        "unchecked",
        "a system without the difference of its residues",
    )


def test_a_statement_of_another_modulus_is_unchecked(tmp_path):
    item = item_of(COMMON, "the reason", 0)
    said = say("{lead} Exactly one residue modulo $54$ solves the system.", lead="Statement.")
    stem = [
        Paragraph(Speaker().inlines(said)) if "Statement." in plain.blocks((b,)) else b
        for b in item.stem
    ]
    report = report_of(replace(item, stem=tuple(stem)), tmp_path)

    assert (report.status, report.how) == (
        "unchecked",
        "a condition that speaks of the modulus 54, which is not so",
    )


def test_a_line_in_other_words_is_unchecked(tmp_path):
    item = item_of("20x = 44 mod 76", "the wrong line", 0)
    report = report_of(with_lines(item, put(1, ("Four is the inverse of five.",))), tmp_path)

    assert report.status == "unchecked"
    assert report.how == "the line 'four is the inverse of five.'"


def test_a_value_within_a_condition_must_be_right(tmp_path):
    """f(1) = 15 told as 18: divisible by 3 as well, but no value of f."""
    found = problem_from(["x^2 + 9x + 5 = 0 mod 117"])
    for index in range(0, 40, 4):
        item = item_of("x^2 + 9x + 5 = 0 mod 117", "the reason", index)
        text = plain.inlines(item.response.options[key(item)].label)
        if "f(1) = 15" in text:
            wrong = (text.replace("15", "18"),)
            report = report_of(with_labels(item, put(key(item), wrong)), tmp_path)
            assert report.status == "unchecked"
            assert "f(1) = 18, which is not so" in report.how
            return
    raise AssertionError(f"no reason about the lift of a root of {found}")
