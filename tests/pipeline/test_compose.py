"""Composing: which forms a problem can take, and which wrong answers stand beside the key."""

import dataclasses
from collections.abc import Callable
from itertools import islice

import pytest

from itembank.kinds.statement import problem_from
from itembank.pipeline.compose import FORMS, REQUIREMENTS, Wording, check_form
from itembank.pipeline.selection import fits
from itembank.pipeline.variants import Stream
from itembank.values import vocabulary
from itembank.values.errors import ComposeError
from itembank.values.item import Provenance
from tests.shipped import FAMILIES

STATEMENTS = {
    "four solutions": "x^2 + 9x + 5 = 0 mod 117",
    "three solutions": "6x = 9 mod 15",
    "no solution": "x^2 = 3 mod 7",
    "one solution": "3x = 5 mod 7",
    "eight solutions": "x^2 = 1 mod 24",
    "nine solutions": "x^3 = 0 mod 27",
    "a hundred solutions": "x^2 = 0 mod 10^4",
    "lifts": "x^2 + x + 3 = 0 mod 25",
    "a value": "inverse of 7 mod 26",
    "no value": "inverse of 6 mod 26",
}
ASKED = [
    ("select all", "all solutions"),
    ("select one", "all solutions"),
    ("list", "all solutions"),
    ("set", "all solutions"),
    ("integer", "how many"),
    ("integer", "the least"),
    ("integer", "the largest"),
    ("integer", "the solution"),
    ("integer", "the value"),
    ("solvable or not", "whether any"),
    ("order", "the steps"),
    ("select one", "the steps"),
    ("match", "all solutions"),
    ("guided", "all solutions"),
]
PROVENANCE = Provenance(family="f", version=1, seed="s", index=0)


def refusal(work: Callable[..., object], *args: object) -> str:
    """The message with which the work is refused; "" if it is done."""
    try:
        work(*args)
    except ComposeError as error:
        return str(error)
    return ""


def test_each_form_says_beforehand_what_it_needs():
    assert tuple(FORMS) == tuple(REQUIREMENTS) == vocabulary.FORMS
    assert {form for form, _ask in ASKED} == set(FORMS)


@pytest.mark.parametrize(("form", "ask"), ASKED)
@pytest.mark.parametrize("with_slips", [True, False])
def test_a_form_is_refused_beforehand_exactly_when_composing_refuses_it(form, ask, with_slips):
    wording = Wording(
        title="t", ask=ask, form=form, rule="all or nothing", points=1, outcomes=(),
        level="easy", provenance=PROVENANCE,
    )  # fmt: skip
    said = set()
    for statement in STATEMENTS.values():
        problem = problem_from([statement])
        solution = problem.solve()
        slips = problem.slips(solution) if with_slips else ()
        beforehand = refusal(check_form, form, problem, solution, slips, ask)

        assert beforehand == refusal(FORMS[form], problem, solution, slips, wording), statement
        said.add(beforehand)
    assert len(said) > 1 or form == "solvable or not"


def test_a_candidate_that_one_form_of_its_family_cannot_take_is_refused():
    """Without slips there is nothing wrong to choose."""
    family = FAMILIES["quadratic-two-prime-powers"]
    (variant,) = islice(Stream(family, "s", fits(family)), 1)

    with pytest.raises(ComposeError, match="the slips give 0 wrong"):
        fits(family)(dataclasses.replace(variant.candidate, bare=True))
