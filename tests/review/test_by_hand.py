"""What the packet gives a reviewer of a question about a single line: every line, every reason."""

import re

import pytest

from itembank.kinds.statement import problem_from
from itembank.notation.elements import written
from itembank.pipeline.compose import Wording, compose
from itembank.review.entry import entry_of
from itembank.review.writer import Writer
from itembank.values.item import Item, Provenance


def item_of(statement: str, ask: str, index: int = 0) -> Item:
    problem = problem_from([statement])
    solution = problem.solve()
    wording = Wording(
        title="Lines", ask=ask, form="select one", rule="all or nothing", points=1, outcomes=(),
        level="easy", provenance=Provenance(family="lines", version=1, seed="s", index=index),
    )  # fmt: skip
    return compose(problem, solution, problem.slips(solution), wording)


def revealed(item: Item) -> str:
    """What the packet shows once the question is answered, as words without blanks."""
    return bare(re.sub(r"<[^>]*>", "", written(entry_of(Writer("en"), item).revealed)))


def bare(text: str) -> str:
    """Without blanks and the invisible signs of formulas."""
    return re.sub(r"[\s\u2061\u2062]+", "", text)


def part(text: str, begin: str, end: str) -> str:
    return text.partition(bare(begin))[2].partition(bare(end))[0]


@pytest.mark.parametrize("ask", ["the wrong line", "the missing step", "the next step"])
def test_every_line_is_shown_as_it_should_be_with_its_check(ask):
    text = revealed(item_of("20x = 44 mod 76", ask))
    by_hand = part(text, "To be checked by hand", "Wrong answers")

    assert bare("Dividing by 4 gives 5x ≡ 11 (mod 19), which has the same solutions.") in by_hand
    assert bare("The inverse of 5 modulo 19 is 4.") in by_hand
    assert bare("The solutions modulo 76 are 6, 25, 44 and 63.") in by_hand
    assert bare("Multiply the two numbers and look at the remainder.") in by_hand


def test_every_reason_is_shown():
    text = revealed(item_of("x^2 + 9x + 5 = 0 mod 117", "the reason"))
    by_hand = part(text, "To be checked by hand", "Wrong answers")

    assert bare("3 divides f(1) = 15, and 3 does not divide f′(1) = 11.") in by_hand
    assert bare("13 divides 117.") in by_hand


@pytest.mark.parametrize("ask", ["the wrong line", "the missing step", "the reason", "the steps"])
def test_an_option_that_is_no_set_of_residues_is_not_judged_as_one(ask):
    """It claims no residues: that is not the claim that there is no solution."""
    text = revealed(item_of("x^2 + 9x + 5 = 0 mod 117", ask))

    assert "isasolution." not in part(text, "Wrong answers", "Worked solution")


def test_another_question_has_nothing_of_it():
    problem = problem_from(["x^2 + 9x + 5 = 0 mod 117"])
    assert bare("To be checked by hand") not in revealed(
        item_of(*problem.statement, "all solutions")
    )
