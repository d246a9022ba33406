"""What a student gave, as a platform reports it, leads back to the slip that it shows.

The answers are those of tests/exporters/attempts.py, to which the audit and the readers of QTI
are held too.
"""

from fractions import Fraction

import pytest

from itembank.bank.entries import key_text
from itembank.notation import plain
from itembank.terms import reports
from itembank.terms.reports import Answered
from itembank.terms.results import NO_SLIP, mark
from itembank.values.item import Guided, Item, ListEntry, SelectOne
from tests.exporters import samples
from tests.exporters.attempts import answers

ITEMS = {**samples.ITEMS, **samples.BEYOND}

CASES = [
    pytest.param(item, answer, id=f"{name}: {answer.name}")
    for name, item in ITEMS.items()
    for answer in answers(item)
]


def marked(item: Item, response: tuple[str, ...], score: int):
    given = response if any(response) else ()
    most = Fraction(item.scoring.points)
    answered = Answered("a student", item.identifier, Fraction(score), most, given, "here")
    return mark(answered, item, 1)


@pytest.mark.parametrize(("item", "answer"), CASES)
def test_a_slip_is_named_for_its_answer_and_for_no_other(item, answer):
    found = marked(item, answer.given, answer.score)

    if answer.slip is not None:
        assert found.slips == item.feedback[answer.slip - 1].slips
    elif answer.score == item.scoring.points or not any(answer.given):
        assert found.slips == ()
    else:
        assert found.slips == (NO_SLIP,)
    assert found.share == Fraction(answer.score, item.scoring.points)


@pytest.mark.parametrize(
    ("given", "score", "slips"),
    [
        (("a place-2", "b place-3", "c place-1", "d not-used"), 1, ()),
        (("a not-used", "b place-3", "c place-1", "d place-2"), 0, ("d-for-a",)),
        (("a place-2", "b place-3", "c place-1", "d place-4"), 0, (NO_SLIP,)),
        (("a place-1", "b place-1", "c place-1", "d place-1"), 0, (NO_SLIP,)),
        (("c", "d", "b"), 0, ("d-for-a",)),
    ],
    ids=["the key", "a slip", "the spare line too", "one place for all", "on paper"],
)
def test_an_order_among_other_lines_comes_back_as_places_or_as_lines(given, score, slips):
    found = marked(samples.AMONG_OTHERS, given, score)

    assert found.slips == slips
    if score:
        assert found.answer == "c, a, b"


@pytest.mark.parametrize(
    ("item", "given"),
    [
        (samples.LIST, ("1-2",)),
        (samples.LIST, ("3/1",)),
        (samples.LIST, ("none 4",)),
        (samples.LIST, ("4, 7, 10/1, 10",)),
        (samples.LIST_ANY_ORDER, ("3, x",)),
        (samples.LIST_ANY_ORDER, ("3, 4/1",)),
        (samples.SET, ("4", "x")),
        (samples.SET, ("4", "9/1", "14/1")),
        (samples.GUIDED, ("1, 3/1", "at none", "8, 16")),
        (samples.GUIDED, ("1, 3", "at none", "11, 23, 3/1")),
    ],
)
def test_what_is_no_integer_is_not_passed_over(item, given):
    assert marked(item, given, 0).slips == (NO_SLIP,)


def test_words_of_a_stage_may_be_reported_in_place_of_their_identifiers():
    assert isinstance(samples.GUIDED.response, Guided)
    key = tuple(
        next(plain.inlines(o.label) for o in stage.response.options if o.correct)
        if isinstance(stage.response, SelectOne)
        else ", ".join(map(str, stage.response.values))
        for stage in samples.GUIDED.response.stages
    )
    wrong = (key[0], key[1], "11; 23")

    assert key[1] == "at none"
    assert marked(samples.GUIDED, wrong, 2).slips == ("lift-sign",)
    assert all(
        isinstance(s.response, ListEntry | SelectOne) for s in samples.GUIDED.response.stages
    )


REPORT = """<?xml version="1.0" encoding="UTF-8"?>
<assessmentResult xmlns="http://www.imsglobal.org/xsd/imsqti_result_v2p1">
  <context sourcedId="s1"/>
  <itemResult identifier="{item}" datestamp="2027-03-01T10:00:00" sessionStatus="final">
    <responseVariable identifier="RESPONSE_1" cardinality="single" baseType="string">
      <candidateResponse/>
    </responseVariable>
    <responseVariable identifier="RESPONSE_2" cardinality="single" baseType="identifier">
      <candidateResponse><value>at-none</value></candidateResponse>
    </responseVariable>
    <responseVariable identifier="RESPONSE_3" cardinality="single" baseType="string">
      <candidateResponse><value>11, 23</value></candidateResponse>
    </responseVariable>
    <outcomeVariable identifier="SCORE" cardinality="single" baseType="float">
      <value>1</value>
    </outcomeVariable>
    <outcomeVariable identifier="MAXSCORE" cardinality="single" baseType="float">
      <value>3</value>
    </outcomeVariable>
  </itemResult>
</assessmentResult>
"""


def test_a_stage_left_blank_keeps_its_place_in_a_report(tmp_path):
    path = tmp_path / "s1.xml"
    path.write_text(REPORT.format(item=samples.GUIDED.identifier), encoding="utf-8")
    (answered,) = reports.answers([path]).attempts

    assert answered.response == ("", "at-none", "11, 23")
    assert mark(answered, samples.GUIDED, 1).slips == ("lift-sign",)
    assert mark(answered, samples.GUIDED, 1).share == Fraction(1, 3)


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("select all, none", '"none"'),
        ("select one", "[7, 20, 88, 101]"),
        ("integer", "19"),
        ("list, none", "[]"),
        ("set", "[4, 9, 14]"),
        ("true or false", "false"),
        (
            "order",
            '["Split the modulus: 117 = 3² · 13.", "Solve modulo each prime: x ≡ 1, 2 (mod 3) and '
            'x ≡ 7, 10 (mod 13).", "Lift the roots: x ≡ 2, 7 (mod 9).", "Combine the residues in '
            'every way: x ≡ 7, 20, 88, 101 (mod 117)."]',
        ),
        ("match", '{"1": "16", "3": "8"}'),
        ("guided", '[[1, 3], "at none", [8, 16]]'),
    ],
)
def test_the_bank_keeps_a_key_that_a_person_reads(name, told):
    assert key_text(ITEMS[name].response).replace("\N{NO-BREAK SPACE}", " ") == told


def test_the_bank_keeps_an_order_that_is_chosen():
    assert key_text(samples.ORDER.plain.response) == '"Q, S, R, P"'
