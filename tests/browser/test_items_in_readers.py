"""QTI 3.0 items in real readers: shown, answered by clicking and typing, scored.

Every reader must give the score and the feedback that the item says; the audit's own
interpreter gives the same in tests/exporters/test_qti30.py.
"""

import pytest
from lxml import etree

from exporters.keys import key
from exporters.qti30 import qti_assessment_item
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
    SelectAll,
    SelectOne,
    SetEntry,
)
from tests.browser.readers import DEPARTURES, DRAWS_MATHML, LABELS_FIELDS, Reader
from tests.exporters import samples
from tests.exporters.attempts import answers

pytestmark = pytest.mark.browser

ITEMS = {**samples.ITEMS, **samples.BEYOND, **samples.NUMBERS}


def document(item: Item, math: str = "mathml") -> bytes:
    return serialised(qti_assessment_item(item, Setting(math, NAMESPACE, "en")), "here")


CASES = [
    pytest.param(item, answer, id=f"{name}: {answer.name}")
    for name, item in ITEMS.items()
    for answer in answers(item)
]


def give(reader: Reader, item: Item, answer: tuple[str, ...]) -> None:
    match item.response:
        case IntegerEntry() | ListEntry() | SetEntry():
            for n, text in enumerate(answer):
                if text:
                    reader.type(text, n)
        case PutInOrder():
            reader.order(answer)
        case MatchPairs():
            for pair in answer:
                reader.pair(*pair.split())
        case Guided(stages=stages):
            fields = 0
            for stage, text in zip(stages, answer, strict=False):
                if isinstance(stage.response, SelectOne):
                    if text:
                        reader.pick(text)
                    continue
                if text:
                    reader.type(text, fields)
                fields += 1
        case _:
            for identifier in answer:
                reader.choose(identifier)


def modal_texts(data: bytes) -> dict[str, str]:
    """The texts of the modal feedback by identifier, without white space."""
    root = etree.fromstring(data)
    return {
        e.get("identifier"): "".join("".join(e.itertext()).split())
        for e in root.iter(f"{{{NAMESPACE}}}qti-modal-feedback")
    }


# ------------------------------------------------------------ scores and feedback


@pytest.mark.parametrize(("item", "answer"), CASES)
def test_an_answer_is_scored_and_told_what_it_shows(reader: Reader, item, answer):
    data = document(item)
    texts = modal_texts(data)
    expected = [texts["worked"]] if answer.slip is None else [
        texts[f"slip-{answer.slip}"], texts["worked"]
    ]  # fmt: skip

    reader.load(data)
    assert reader.feedback() == []
    give(reader, item, answer.given)
    outcomes = reader.attempt()

    assert float(outcomes["SCORE"]) == answer.score
    assert float(outcomes["MAXSCORE"]) == item.scoring.points
    assert sorted(reader.feedback()) == sorted(expected)


def test_words_in_an_entry_to_spare_are_no_blank(reader: Reader):
    reader.load(document(samples.SET))
    give(reader, samples.SET, (*map(str, key(samples.SET.response)), "none"))

    assert reader.score() == 0


def test_a_second_tick_of_select_one_takes_the_place_of_the_first(reader: Reader):
    reader.load(document(samples.SELECT_ONE))
    reader.choose("a")
    reader.choose("b")

    assert reader.score() == samples.SELECT_ONE.scoring.points


def test_a_tick_taken_back_does_not_count(reader: Reader):
    item = samples.SELECT_ALL
    reader.load(document(item))
    wrong = next(o.identifier for o in item.response.options if not o.correct)
    for identifier in (wrong, *key(item.response), wrong):
        reader.choose(identifier)

    assert reader.score() == 1


# ------------------------------------------------------------ what is shown


@pytest.mark.parametrize("name", ITEMS)
def test_the_stem_and_every_option_are_shown_in_order(reader: Reader, name):
    item = ITEMS[name]
    data = document(item, "text")
    body = etree.fromstring(data).find(f"{{{NAMESPACE}}}qti-item-body")

    for words in body.iter(f"{{{NAMESPACE}}}qti-inline-choice"):  # in a list that is closed
        words.text = ""

    reader.load(data)
    shown = reader.body()
    at = 0
    for text in filter(None, (" ".join(t.split()) for t in body.itertext())):
        assert text in shown[at:]
        at = shown.index(text, at) + len(text)


def test_exponents_stand_above_the_line_in_html(reader: Reader):
    reader.load(document(samples.SELECT_ALL, "html"))

    assert "x2 + 9x + 5 ≡ 0 (mod 117)" in reader.body()
    assert reader.raised("sup")


def test_the_pairs_of_slips_are_not_shown(reader: Reader):
    reader.load(document(samples.MATCH))

    assert "lift-" not in reader.page.run("document.body.innerText") + reader.body()


def test_exponents_stand_above_the_line_in_mathml_where_it_is_drawn(reader: Reader):
    reader.load(document(samples.SELECT_ALL, "mathml"))

    assert reader.raised("msup > :nth-child(2)") is (DRAWS_MATHML not in DEPARTURES[reader.name])


def test_fields_have_a_name_for_those_who_hear_them(reader: Reader):
    reader.load(document(samples.INTEGER))
    tree = reader.page.call("Accessibility.getFullAXTree")["nodes"]
    names = [n["name"]["value"] for n in tree if n.get("role", {}).get("value") == "textbox"]
    expected = "" if LABELS_FIELDS in DEPARTURES[reader.name] else "Answer (one integer)"

    assert names == [expected]
    assert "Answer (one integer): " in f"{reader.body()} "


def test_select_all_has_boxes_and_select_one_buttons(reader: Reader):
    for item, role in ((samples.SELECT_ALL, "checkbox"), (samples.SELECT_ONE, "radio")):
        reader.load(document(item))
        tree = reader.page.call("Accessibility.getFullAXTree")["nodes"]
        roles = [n.get("role", {}).get("value") for n in tree]

        assert isinstance(item.response, SelectAll) is (role == "checkbox")
        assert roles.count(role) == len(item.response.options)
