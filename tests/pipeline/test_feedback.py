"""What is said to wrong answers: of at most two errors, never of the key, and never nothing."""

import re
from functools import cache

import pytest

from itembank.kinds.next_steps import BY_ASK, BY_FORM, OF_POLYNOMIALS, next_step
from itembank.kinds.table import KINDS
from itembank.notation import plain
from itembank.pipeline.compose.remarks import MOST_TOLD
from itembank.pipeline.selection import item_in_form
from itembank.values.errors import ComposeError
from itembank.values.item import Item, ListEntry, SelectAll, SelectOne, TrueFalse
from itembank.values.vocabulary import FORMS_OF_ASK
from tests.shipped import FAMILIES, drawn

VARIANTS = 20
DIGITS = dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789", strict=True))


@cache
def items(family: str) -> tuple[Item, ...]:
    """The first variants of a family in each form that takes them."""
    found = []
    for variant in drawn(family, VARIANTS):
        for form in FAMILIES[family].forms:
            try:
                found.append(item_in_form(variant, form))
            except ComposeError:
                continue
    return tuple(found)


def tokens(text: str) -> set[str]:
    """The whole numbers that a text shows, at any height."""
    lowered = re.sub("[⁰¹²³⁴⁵⁶⁷⁸⁹]+", lambda m: f" {''.join(DIGITS[d] for d in m[0])} ", text)
    return set(re.findall(r"\d+", lowered))


def key_numbers(item: Item) -> set[int]:
    match item.response:
        case SelectAll(options=options) | SelectOne(options=options):
            claims = [o.residues for o in options if o.correct]
            flat = [n for claim in claims for n in claim]
            return {m for n in flat for m in (n if isinstance(n, tuple) else (n,))}
        case TrueFalse():
            return set()
    held = getattr(item.response, "values", None) or getattr(item.response, "value", None)
    return set() if held is None else set(held) if isinstance(held, tuple) else {held}


def has_none_for_key(item: Item) -> bool:
    match item.response:
        case SelectAll(options=options) | SelectOne(options=options):
            return any(o.correct and o.none for o in options)
        case ListEntry(values=()):
            return True
    return False


@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_no_feedback_alone_names_the_key_or_a_part_of_it(family):
    """A number of the key that the question does not show, or the word that decides."""
    for item in items(family):
        hidden = {str(abs(n)) for n in key_numbers(item)} - tokens(plain.blocks(item.stem))
        for found in item.feedback:
            text = plain.blocks(found.text)
            where = (item.statement, item.response.form, found.slips, text)
            if found.text != item.otherwise:
                assert not tokens(text) & hidden, where
            if isinstance(item.response, TrueFalse):
                assert not re.search(r"\b(true|false)\b", text, re.I), where
            if has_none_for_key(item):
                assert not re.search(r"no solutions?\b|\bthere (is|are) none\b", text), where


@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_every_wrong_answer_has_feedback_and_of_two_errors_at_most(family):
    for item in items(family):
        told = {f.response: f for f in item.feedback}
        match item.response:
            case TrueFalse(truth=truth):
                assert told.get(("false" if truth else "true",)) or item.otherwise
            case SelectOne(options=options):
                assert all((o.identifier,) in told for o in options if not o.correct)
            case _:
                assert item.otherwise, item.statement
        for found in item.feedback:
            assert 1 <= len(found.text) <= MOST_TOLD + 1
            assert len(set(found.text)) == len(found.text), plain.blocks(found.text)
            assert plain.blocks(found.text).strip()


TESTED = re.compile(
    r"f\((\d+)\) = \d+ is (?:not divisible by (\d+)|divisible by \d+, but not by (\d+))"
)


@pytest.mark.parametrize("family", ["quadratic-prime-square", "zero-product-composite"])
def test_what_is_said_of_a_residue_is_said_to_an_option_that_holds_it(family):
    """An option may be part of a slip's answer and part of the key."""
    found = 0
    for item in items(family):
        if not isinstance(item.response, SelectOne):
            continue
        chosen = {o.identifier: o.residues for o in item.response.options}
        for told in item.feedback:
            for r, whole, power in TESTED.findall(" ".join(plain.blocks(told.text).split())):
                m = int(whole or power)
                found += 1
                assert any((x - int(r)) % m == 0 for x in chosen[told.response[0]]), told
    assert found


def test_the_next_step_is_there_for_every_kind_ask_and_form_and_holds_no_number_of_a_variant():
    for kind in KINDS.values():
        for ask in kind.problem.signature.asks:
            for form in FORMS_OF_ASK[ask]:
                assert not next_step(kind.name, ask, form).slots
    for kind in KINDS.values():
        assert set(kind.next_steps) <= set(kind.problem.signature.asks), kind.name
    of_kinds = (said for kind in KINDS.values() for said in kind.next_steps.values())
    for said in (*BY_ASK.values(), *BY_FORM.values(), *OF_POLYNOMIALS.values(), *of_kinds):
        assert said.template.endswith((".", "?"))
