"""Questions in parts, as one item of QTI 3.0, in real readers: each part scored alone."""

from fractions import Fraction
from functools import cache

import pytest

from exporters.in_parts import Whole, whole
from exporters.keys import key
from exporters.qti2 import stem_of
from exporters.qti30 import qti_item_in_parts
from exporters.qti30_response import NAMESPACE
from exporters.setting import Setting
from exporters.xml import serialised
from itembank.values.item import (
    Guided,
    IntegerEntry,
    Item,
    ListEntry,
    MatchPairs,
    PutInOrder,
    SelectOne,
    SetEntry,
)
from tests.browser.readers import Reader
from tests.exporters.attempts import answers
from tests.exporters.composites import EVERY, HALVES, row_of

pytestmark = pytest.mark.browser

LETTERS = "abcdefghi"


@cache
def document(items: tuple[Item, ...]) -> bytes:
    found = whole(row_of(*items), stem_of)
    assert isinstance(found, Whole)
    return serialised(qti_item_in_parts(found, Setting("text", NAMESPACE, "en")), "here")


def give(reader: Reader, item: Item, letter: str, answer: tuple[str, ...], field: int) -> int:
    """Answer a part whose first field has this number; the number of the next field."""

    def named(text: str) -> str:
        return f"{text}_{letter}"

    match item.response:
        case SetEntry(entries=n):
            for i, text in enumerate(answer):
                if text:
                    reader.type(text, field + i)
            return field + n
        case IntegerEntry() | ListEntry():
            for text in answer:
                reader.type(text, field)
            return field + 1
        case PutInOrder():
            reader.order([named(line) for line in answer])
        case MatchPairs():
            for pair in answer:
                reader.pair(*map(named, pair.split()))
        case Guided(stages=stages):
            texts = (*answer, *[""] * (len(stages) - len(answer)))
            for stage, text in zip(stages, texts, strict=True):
                words = isinstance(stage.response, SelectOne)
                if text and words:
                    reader.pick(named(text))
                elif text:
                    reader.type(text, field)
                field += not words
        case _:
            for identifier in answer:
                reader.choose(named(identifier))
    return field


def right(item: Item) -> tuple[str, ...]:
    found = next(answer.given for answer in answers(item) if answer.name == "key")
    return (
        found
        if not isinstance(item.response, IntegerEntry)
        else tuple(map(str, key(item.response)[:1]))
    )


@pytest.mark.parametrize("wrong", ["", "f"])
def test_a_part_answered_wrong_costs_its_own_points_alone(reader: Reader, wrong: str):
    reader.load(document(EVERY))
    field, slip = 0, None
    for letter, item in zip(LETTERS, EVERY, strict=True):
        given = right(item)
        if letter == wrong:
            slip = next(answer for answer in answers(item) if answer.slip == 1)
            given = slip.given
        field = give(reader, item, letter, given, field)

    found = reader.attempt()

    scores = {
        letter: slip.score if slip and letter == wrong else item.scoring.points
        for letter, item in zip(LETTERS, EVERY, strict=True)
    }
    assert {letter: float(found[f"SCORE_{letter}"]) for letter in LETTERS} == scores
    assert float(found["SCORE"]) == sum(scores.values())
    shown = reader.feedback()
    assert len(shown) == len(EVERY) + bool(wrong)
    assert sorted(text[:3] for text in shown) == sorted([f"({c})" for c in LETTERS + wrong])


@pytest.mark.parametrize("rights", [(0,), (0, 1), (0, 2)])
def test_halves_count_the_same_where_a_comma_is_written(reader: Reader, rights: tuple[int, ...]):
    reader.page.call("Emulation.setLocaleOverride", locale="de-DE")
    try:
        reader.load(document(HALVES))
        for n, item in enumerate(HALVES):
            reader.type(str(key(item.response)[0]) if n in rights else "999999", n)
        score = reader.score()
    finally:
        reader.page.call("Emulation.setLocaleOverride")
    assert score == float(sum((Fraction(HALVES[n].scoring.points) for n in rights), Fraction(0)))
