"""An item as a student meets it: formula and options, and nothing that tells the key."""

from dataclasses import fields, replace

import pytest

from itembank.guessing.met import met
from itembank.guessing.question import Option, Question
from itembank.notation import plain
from itembank.pipeline.guesses import asked
from itembank.pipeline.selection import fits
from itembank.pipeline.variants import Stream
from itembank.values.item import Option as Offered
from itembank.values.item import SelectAll
from tests.exporters import samples
from tests.shipped import FAMILIES


def of(item):
    ((question, key),) = met(item)
    return question, key


def test_the_formula_and_the_boxes():
    question, key = of(samples.SELECT_ALL)

    assert question.rows == ("x^2+9*x+5=0 (mod 117)",)
    assert question.numbers == (2, 9, 5, 0, 117)
    assert question.system is not None and question.system.polynomial == (1, 9, 5)
    assert question.options[0] == Option(question.options[0].name, "7")
    assert [o.elements for o in question.options][-1] == ()
    assert question.offers_none
    assert set(key) < {option.name for option in question.options}


def test_what_is_shown_knows_no_key_and_no_slip():
    """The same question whichever box is right, and whatever slips lead to the others."""
    item = samples.SELECT_ALL
    assert isinstance(item.response, SelectAll)
    other = tuple(
        replace(option, correct=not option.correct, slips=()) for option in item.response.options
    )
    question, key = of(item)
    changed, other_key = of(replace(item, response=SelectAll(options=other), feedback=()))

    assert question == changed
    assert set(key) != set(other_key)
    assert {f.name for f in fields(Offered)} - {f.name for f in fields(Option)} >= {
        "correct",
        "slips",
    }
    assert not {"key", "slips", "feedback", "solution"} & {f.name for f in fields(Question)}


@pytest.mark.parametrize("name", sorted(samples.ITEMS))
def test_every_form_is_met(name: str):
    for question, key in met(samples.ITEMS[name]):
        offered = {o.name for o in question.options}
        if question.form in ("select one", "select all", "order"):
            assert set(key) <= offered
        elif question.form == "match":
            assert {str(pair).split(" ")[1] for pair in key} <= offered
        elif question.form == "solvable or not":
            assert key in (("true",), ("false",))
        else:
            assert all(isinstance(x, int) for x in key)


def test_a_guided_question_is_met_stage_by_stage():
    assert len(list(met(samples.GUIDED))) == len(samples.GUIDED.response.stages)


@pytest.mark.parametrize("kind", ["units", "squares", "quadratic_residues"])
def test_a_set_that_is_never_empty_has_no_word_for_none_in_its_stem(kind):
    """There always is the unit 1, the square 0 or the residue 1: the clause would be dead."""
    family = next(f for f in FAMILIES.values() if f.kind == kind and "list" in f.forms)
    variant = next(iter(Stream(family, "never empty", fits(family))))

    item = asked(variant, "list")
    ((question, key),) = met(item)

    assert key and not question.offers_none
    assert "none" not in plain.blocks(item.stem).lower()
    assert "There is at least one." in plain.blocks(item.stem)


def test_a_set_that_may_be_empty_keeps_it():
    family = FAMILIES["primitive-roots-listed"]
    variant = next(iter(Stream(family, "may be empty", fits(family))))

    item = asked(variant, "list")
    ((question, _key),) = met(item)

    assert question.offers_none and "If there is none" in plain.blocks(item.stem)
