"""What is asked of the record of every response form, facet by facet.

What a facet must say of a sample is written out by hand in SAYS; the keys of the samples are held
against exhaustion in tests/exporters/test_samples.py. Guesses are counted one by one.
"""

from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from fractions import Fraction
from itertools import permutations, product
from typing import Any, get_args

import pytest

from itembank.forms import FORMS, form_of
from itembank.forms.base import Boxes, Form, InStages, Lines, Part, Typed
from itembank.forms.guided import STAGES
from itembank.languages import Said, Speaker
from itembank.notation import plain
from itembank.values import vocabulary
from itembank.values.item import IntegerEntry, Item, ListEntry, Option, Response, Stage, TrueFalse
from tests.exporters import samples
from tests.exporters.attempts import answers


@dataclass(frozen=True)
class Says:
    """What is right of one sample: its form's facets in plain text."""

    item: Item
    key: tuple[str | int, ...]
    kept: object
    answered_in: list[tuple[str, ...]]
    compared: dict[str, object]
    told_key: list[str]
    told_slip: str
    claimed: tuple[int, ...] | None = None
    place: int | None = None
    impossible: tuple[str | int, ...] = ()
    why: str = ""


NINE = ("r7", "r10", "r16", "r20", "r46", "r85", "r88", "r101", "none")
LIFTS = ("lift-8", "lift-11", "lift-16", "lift-23", "lift-none")
LINES = [
    "Split the modulus: 117 = 3² · 13.",
    "Solve modulo each prime: x ≡ 1, 2 (mod 3) and x ≡ 7, 10 (mod 13).",
    "Lift the roots: x ≡ 2, 7 (mod 9).",
    "Combine the residues in every way: x ≡ 7, 20, 88, 101 (mod 117).",
]

SAYS = {
    "select all": Says(
        item=samples.SELECT_ALL,
        key=("r7", "r20", "r88", "r101"),
        kept=[7, 20, 88, 101],
        answered_in=[("many of", *NINE)],
        compared={"key": ["r7", "r20", "r88", "r101"]},
        told_key=["7", "20", "88", "101"],
        told_slip="7, 20",
        claimed=(7, 20),
        impossible=("r8",),
        why="expected options of the item, got ['r8']",
    ),
    "select one": Says(
        item=samples.SELECT_ONE,
        key=("b",),
        kept=(7, 20, 88, 101),
        answered_in=[("one of", "a", "b", "c", "d", "none")],
        compared={"key": ["b"]},
        told_key=["{7, 20, 88, 101}"],
        told_slip="{7, 20}",
        place=2,
        impossible=("a", "c"),
        why="expected one answer, got ['a', 'c']",
    ),
    "integer": Says(
        item=samples.INTEGER,
        key=(19,),
        kept=19,
        answered_in=[("Your answer, one integer",)],
        compared={"key": ["19"], "modulus": "26"},
        told_key=["19, or any integer congruent to it modulo 26."],
        told_slip="7",
        impossible=(7, 19),
        why="expected one answer, got [7, 19]",
    ),
    "list": Says(
        item=samples.LIST,
        key=(4, 9, 14),
        kept=(4, 9, 14),
        answered_in=[("Your answer, a list of integers",)],
        compared={"key": ["4", "9", "14"], "none": "none"},
        told_key=["4, 9, 14"],
        told_slip="4, 7, 10",
        claimed=(4, 7, 10),
        impossible=(9, 4),
        why="expected integers in increasing order, got [9, 4]",
    ),
    "set": Says(
        item=samples.SET,
        key=(4, 9, 14),
        kept=(4, 9, 14),
        answered_in=[(f"Solution {n}, or blank",) for n in range(1, 7)],
        compared={"key": ["4", "9", "14"], "modulus": "15"},
        told_key=["4, 9, 14, in any order, or integers congruent to them modulo 15."],
        told_slip="4, 7, 10",
        claimed=(4, 7, 10),
        why="expected what the entries hold, got []",
    ),
    "solvable or not": Says(
        item=samples.TRUE_FALSE,
        key=("false",),
        kept=False,
        answered_in=[("one of", "true", "false")],
        compared={"key": ["false"]},
        told_key=["no residue modulo 21 solves it"],
        told_slip="it has a solution",
        place=2,
        impossible=("maybe",),
        why="expected options of the item, got ['maybe']",
    ),
    "order": Says(
        item=samples.ORDER,
        key=("step-split", "step-solve", "step-lift", "step-combine"),
        kept=LINES,
        answered_in=[
            (f"{line} Place:", "1", "2", "3", "4")
            for line in (LINES[3], LINES[0], LINES[2], LINES[1])
        ],
        compared={"parts": [{"choice": "4"}, {"choice": "1"}, {"choice": "3"}, {"choice": "2"}]},
        told_key=LINES,
        told_slip="the order 2, 4, 1, 3 of the lines as shown",
        impossible=("step-split",),
        why="expected each line once, got ['step-split']",
    ),
    "match": Says(
        item=samples.MATCH,
        key=("root-1 lift-16", "root-3 lift-8"),
        kept={"1": "16", "3": "8"},
        answered_in=[("1 goes with", *LIFTS), ("3 goes with", *LIFTS)],
        compared={"parts": [{"choice": "lift-16"}, {"choice": "lift-8"}]},
        told_key=["1 → 16", "3 → 8"],
        told_slip="1 → 11, 3 → 23",
        impossible=("root-1 lift-8",),
        why="expected a pair for each source, got ['root-1 lift-8']",
    ),
    "guided": Says(
        item=samples.GUIDED,
        key=("1, 3", "at-none", "8, 16"),
        kept=[(1, 3), "at none", (8, 16)],
        answered_in=[
            ("Stage 1. All solutions modulo 5 (0 to 4):",),
            (
                "Stage 2. At how many of the solutions modulo 5 is the derivative of x² + x + 3 "
                "divisible by 5?",
                "at-none",
                "at-all",
            ),
            ("Stage 3. All solutions modulo 25 (0 to 24):",),
        ],
        compared={
            "parts": [
                {"list": ["1", "3"], "none": "none"},
                {"choice": "at-none"},
                {"list": ["8", "16"], "none": "none"},
            ]
        },
        told_key=[
            "Stage 1. All solutions modulo 5 (0 to 4): 1, 3",
            "Stage 2. At how many of the solutions modulo 5 is the derivative of x² + x + 3 "
            "divisible by 5? at none",
            "Stage 3. All solutions modulo 25 (0 to 24): 8, 16",
        ],
        told_slip="none in stage 1",
        impossible=("none", "", "11, 23"),
        why="expected an answer in one stage, got ['none', '', '11, 23']",
    ),
}


# ------------------------------------------------------------ each facet

AnyForm = Form[Any]


def the_name(form: AnyForm, says: Says) -> None:
    assert form.name == says.item.response.form in vocabulary.FORMS


def the_response(form: AnyForm, says: Says) -> None:
    assert form.response is type(says.item.response) and form_of(says.item.response) is form


def the_rules(form: AnyForm, says: Says) -> None:
    assert says.item.scoring.rule in form.rules
    assert set(form.rules) <= set(vocabulary.SCORING_RULES)


def the_stand_in(form: AnyForm, says: Says) -> None:
    """A plain form needs none; for another one stands in, and its asks allow a plain form."""
    if form.name in vocabulary.PLAIN_FORMS:
        assert form.stand_in == ""
        return
    assert form.stand_in in vocabulary.PLAIN_FORMS
    asks = {a: forms for a, forms in vocabulary.FORMS_OF_ASK.items() if form.name in forms}
    assert all({*forms}.intersection(vocabulary.PLAIN_FORMS) for forms in asks.values())
    assert form.stand_in in asks.get("all solutions", next(iter(asks.values())))


def the_least(form: AnyForm, says: Says) -> None:
    """Of the samples, the integer alone is a residue of which every representative counts."""
    found = form.least(says.item.response)
    if form.name != "integer":
        assert found is None
        return
    response, stem = found
    assert (response, stem) == (IntegerEntry(value=19), says.item.response.least_stem)
    assert form.least(response) is None


def the_key(form: AnyForm, says: Says) -> None:
    assert form.key(says.item.response) == says.key


def the_fault_of_a_key(form: AnyForm, says: Says) -> None:
    assert form.fault_of_key(says.item.response) is None


def the_fault_of_an_answer(form: AnyForm, says: Says) -> None:
    for slip in says.item.feedback:
        assert form.fault_of_answer(says.item.response, slip.response) is None
    assert form.fault_of_answer(says.item.response, says.impossible) == says.why


def the_same(form: AnyForm, says: Says) -> None:
    response, slips = says.item.response, [slip.response for slip in says.item.feedback]
    assert form.same(response, says.key, says.key)
    for i, one in enumerate(slips):
        assert not form.same(response, one, says.key)
        assert [j for j, other in enumerate(slips) if form.same(response, one, other)] == [i]


def the_given(form: AnyForm, says: Says) -> None:
    """However the key is spelled and a platform reports it, it is the key."""
    response = says.item.response
    found = [a for a in answers(says.item) if a.name.startswith("key")]
    assert found
    for answer in found:
        assert form.same(response, says.key, form.given(response, answer.given)), answer.name


def the_options(form: AnyForm, says: Says) -> None:
    shown = getattr(says.item.response, "options", ())
    assert form.options(says.item.response) == shown
    assert all(isinstance(option, Option) for option in shown)


def the_place(form: AnyForm, says: Says) -> None:
    assert form.place(says.item.response) == says.place


def the_claim(form: AnyForm, says: Says) -> None:
    assert form.claim(says.item.response, says.item.feedback[0].response) == says.claimed


def the_kept(form: AnyForm, says: Says) -> None:
    assert form.kept(says.item.response) == says.kept


def the_seen(form: AnyForm, says: Says) -> None:
    """Each part of the key stands in a line that says that it is the key."""
    lines = list(form.seen(says.item.response))
    told = "\n".join(line for line in lines if line.startswith(("key: ", "right option ")))
    for part in says.key:
        assert str(part) in told


def the_fields(form: AnyForm, says: Says) -> None:
    found = []
    for field in form.fields(says.item.response):
        match field:
            case Boxes(options, many):
                found.append(("many of" if many else "one of", *(name for name, _ in options)))
            case Typed(label):
                found.append((Speaker().text(label),))
            case Part(label, choices, then):
                words = [plain.inlines(label), *([Speaker().text(then)] if then else [])]
                found.append((" ".join(words), *(name for name, _ in choices)))
    assert found == says.answered_in


def the_compared(form: AnyForm, says: Says) -> None:
    assert form.compared(says.item.response) == says.compared


def the_told_key(form: AnyForm, says: Says) -> None:
    told = form.told_key(says.item.response)
    if isinstance(told, Lines):
        assert [plain.inlines(line) for line in told.lines] == says.told_key
        assert told.numbered == (form.name == "order")
    else:
        assert [Speaker().text(told)] == says.told_key


def the_told_answer(form: AnyForm, says: Says) -> None:
    told = form.told_answer(says.item.response, says.item.feedback[0].response)
    text = Speaker().text(told) if isinstance(told, Said) else plain.inlines(told)
    assert text == says.told_slip


def all_answers(form: AnyForm, response: Any) -> list[object] | None:
    """Every answer that can be given blindly; None for what is typed freely."""
    match form.name:
        case "select all":
            return list(product((0, 1), repeat=len(response.options)))
        case "select one":
            return list(response.options)
        case "solvable or not":
            return ["true", "false"]
        case "order":
            return list(permutations(response.lines))
        case "match":
            return list(product(response.targets, repeat=len(response.sources)))
        case "integer":
            return list(range(response.modulus))
        case "list" | "set":
            return list(product((0, 1), repeat=response.modulus))
    return None


def the_guess(form: AnyForm, says: Says) -> None:
    told = Speaker().text(form.guess(says.item.response, says.item.scoring))
    every = all_answers(form, says.item.response)
    if every is None:
        assert told.endswith("nothing on the page offers one to guess.")
        return
    once_in = told.removesuffix(".").rpartition(" once in ")[2]
    written = {str(len(every)), "2" + str(len(every).bit_length() - 1).translate(RAISED)}
    assert once_in in written


RAISED = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")


def stage_of(form: AnyForm) -> tuple[Stage, str]:
    """A stage of the sample in this form, and its key."""
    stages = zip(samples.GUIDED.response.stages, SAYS["guided"].key, strict=True)
    return next((s, str(k)) for s, k in stages if type(s.response) is form.response)


def the_text(form: InStages[Any], says: Says) -> None:
    stage, key = stage_of(form)
    assert form.text(stage.response) == key


def the_text_given(form: InStages[Any], says: Says) -> None:
    stage, key = stage_of(form)
    reported = {"1, 3": "{1;3}", "at-none": "at none"}[key]
    assert form.text_given(stage.response, reported) == key


def the_text_told(form: InStages[Any], says: Says) -> None:
    stage, key = stage_of(form)
    assert form.text_told(stage.response, key) == {"1, 3": "1, 3", "at-none": "at none"}[key]


def the_part(form: InStages[Any], says: Says) -> None:
    stage, _key = stage_of(form)
    part = form.part(stage.response, stage.prompt)
    assert part.label == stage.prompt
    assert [name for name, _ in part.choices] in ([], ["at-none", "at-all"])


def the_compared_part(form: InStages[Any], says: Says) -> None:
    stage, _key = stage_of(form)
    compared: Any = SAYS["guided"].compared["parts"]
    assert form.part_compared(stage.response) in compared


def the_kept_part(form: InStages[Any], says: Says) -> None:
    stage, _key = stage_of(form)
    assert form.part_kept(stage.response) in ((1, 3), "at none")


FACETS: dict[str, Callable[[Any, Says], None]] = {
    "name": the_name,
    "response": the_response,
    "rules": the_rules,
    "stand_in": the_stand_in,
    "least": the_least,
    "key": the_key,
    "fault_of_key": the_fault_of_a_key,
    "fault_of_answer": the_fault_of_an_answer,
    "same": the_same,
    "given": the_given,
    "options": the_options,
    "place": the_place,
    "claim": the_claim,
    "kept": the_kept,
    "seen": the_seen,
    "fields": the_fields,
    "compared": the_compared,
    "told_key": the_told_key,
    "told_answer": the_told_answer,
    "guess": the_guess,
}
OF_A_STAGE: dict[str, Callable[[Any, Says], None]] = {
    "text": the_text,
    "text_given": the_text_given,
    "text_told": the_text_told,
    "part": the_part,
    "part_compared": the_compared_part,
    "part_kept": the_kept_part,
}

CASES = [
    pytest.param(form, check, id=f"{name}: {facet}")
    for name, form in FORMS.items()
    for facet, check in {
        **FACETS,
        **(OF_A_STAGE if isinstance(form, InStages) else {}),
    }.items()
]


@pytest.mark.parametrize(("form", "check"), CASES)
def test_what_a_form_says_is_right(form, check):
    assert form.name in SAYS, f"no sample says what is right of the form {form.name}"
    check(form, SAYS[form.name])


def test_every_facet_of_the_record_is_asked_for():
    assert [field.name for field in fields(Form)] == [*FACETS]
    assert [field.name for field in fields(InStages)] == [*FACETS, *OF_A_STAGE]


def test_every_response_of_an_item_has_its_form():
    assert [*FORMS] == [*vocabulary.FORMS]
    assert {form.response for form in FORMS.values()} == {*get_args(Response)}
    assert {*STAGES} == {*get_args(Stage.__dataclass_fields__["response"].type)}


# ------------------------------------------------------------ where a sample shows too little


@pytest.mark.parametrize(
    ("item", "changed", "fault"),
    [
        (
            samples.SELECT_ALL,
            {"options": samples.SELECT_ALL.response.options[1:3]},
            "expected at least one right option, got none",
        ),
        (
            samples.SELECT_ONE,
            {"options": samples.SELECT_ONE.response.options[:1]},
            "expected one right option, got 0",
        ),
        (samples.SET, {"entries": 3}, "expected 1 to 2 solutions, got 3"),
        (samples.SET, {"values": ()}, "expected 1 to 5 solutions, got 0"),
        (
            samples.ORDER,
            {"order": tuple(line.identifier for line in samples.ORDER.response.lines)},
            "expected its lines in another order than the right one",
        ),
        (
            samples.MATCH,
            {"pairs": samples.MATCH.response.pairs[::-1]},
            "expected a pair for each source",
        ),
    ],
)
def test_a_key_that_cannot_be_right_is_told_in_one_line(item, changed, fault):
    response = replace(item.response, **changed)

    assert form_of(response).fault_of_key(response) == fault


def test_blind_ticks_score_the_mean_over_all_ticks():
    right = [option.correct for option in samples.PLUS_MINUS.response.options]
    scores = [
        max(0, sum((1 if r else -1) for r, tick in zip(right, ticks, strict=True) if tick))
        for ticks in product((False, True), repeat=len(right))
    ]
    said = form_of(samples.PLUS_MINUS.response).guess(
        samples.PLUS_MINUS.response, samples.PLUS_MINUS.scoring
    )

    assert Fraction(str(said.values["mean"])) == Fraction(sum(scores), len(scores))


def test_a_list_that_holds_no_integer_is_the_words_that_were_typed():
    form, response = FORMS["list"], ListEntry(values=(3, 9), modulus=15, none_word="none")

    assert form.given(response, ("None",)) == ()
    assert form.given(response, ("4+9+14",)) == ("4+9+14",)
    assert form.given(response, ("no", "idea")) == ("no idea",)


def test_a_true_claim_is_the_first_choice():
    response = TrueFalse(truth=True, yes=("yes",), no=("no",))

    assert (FORMS["solvable or not"].place(response), FORMS["solvable or not"].key(response)) == (
        1,
        ("true",),
    )
