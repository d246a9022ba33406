"""Composing: which forms a problem can take, and which wrong answers stand beside the key."""

import dataclasses
from collections.abc import Callable
from itertools import combinations, islice

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from itembank.kinds.statement import problem_from
from itembank.kinds.table import SIGNATURES
from itembank.pipeline.compose import FORMS, REQUIREMENTS, Wording, check_form
from itembank.pipeline.compose.choices import OPTIONS, distractors
from itembank.pipeline.selection import fits
from itembank.pipeline.variants import Stream
from itembank.spec import find_families, library, load_family
from itembank.values import vocabulary
from itembank.values.errors import ComposeError
from itembank.values.item import Provenance

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
    path = find_families([library() / "families"])["quadratic-two-prime-powers"]
    family = load_family(path, SIGNATURES)
    (variant,) = islice(Stream(family, "s", fits(family)), 1)

    with pytest.raises(ComposeError, match="the slips give 0 wrong"):
        fits(family)(dataclasses.replace(variant.candidate, slips=()))


# ------------------------------------------------------------ distractors

claims = st.lists(st.integers(0, 11), max_size=4, unique=True).map(lambda xs: tuple(sorted(xs)))


def most_like_the_others(key, choice) -> bool:
    """Whether the key shares more residues with the other options than each of them does."""
    offered = [set(key), *map(set, choice)]
    alike = [sum(len(s & t) for t in offered) - len(s) for s in offered]
    return all(alike[0] > other for other in alike[1:])


def place(key, choice) -> int:
    return sorted((key, *choice), key=lambda claim: (len(claim), claim)).index(key)


@given(st.lists(claims, min_size=OPTIONS, max_size=8, unique=True), st.integers(0, 9))
@settings(max_examples=100, deadline=None)
def test_the_key_is_hidden_as_well_as_the_wrong_answers_allow(given_claims, index):
    key, *wrong = given_claims
    choices = [c for c in combinations(wrong, OPTIONS - 1) if any(len(s) == len(key) for s in c)]
    assume(choices)
    chosen = distractors(key, wrong, index)

    assert chosen in choices
    hidden = [c for c in choices if not most_like_the_others(key, c)]
    assert chosen in (hidden or choices)
    turned = min(abs(place(key, c) - index % OPTIONS) for c in hidden or choices)
    assert abs(place(key, chosen) - index % OPTIONS) == turned
