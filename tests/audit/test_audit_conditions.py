"""QTI 1.2.1 response processing, against what the standard says of each element."""

from fractions import Fraction

import pytest
from lxml import etree

from itembank.audit.cartridge import seen_item
from itembank.audit.conditions import Conditions
from itembank.audit.unsupported import Unsupported
from tests.audit.handmade import MULTIPLE_RESPONSE, bank, cartridge_item, equals, labels


def item(source):
    return seen_item(etree.fromstring(bank(source))[0][0])


def choice(right, others=""):
    """A multiple choice of a, b and c with this condition for 100."""
    response = labels("Single", {"a": "1", "b": "2", "c": "3"})
    return item(
        cartridge_item(
            profile="cc.multiple_choice.v0p1", response=response, right=right, others=others
        )
    )


@pytest.mark.parametrize(
    ("condition", "right"),
    [
        (equals("a"), "a"),
        (f"<not>{equals('a')}</not>", "bc"),
        (f"<or>{equals('a')}{equals('b')}</or>", "ab"),
        (f"<and>{equals('a')}<not>{equals('b')}</not></and>", "a"),
        (f"<and>{equals('a')}{equals('b')}</and>", ""),
        (f"{equals('a')}{equals('b')}", ""),  # siblings must all hold
        ("<other/>", "abc"),
        (equals("A"), ""),
        (equals("A", case="No"), "a"),
    ],
)
def test_a_condition_holds_as_the_standard_says(condition, right):
    seen = choice(condition)

    assert [o for o in "abc" if seen.grade((o,)).score == 100] == list(right)


def graded(others, response):
    """The score of a choice whose right answer is a, with other conditions before it."""
    source = cartridge_item(right=equals("a"), others=others)
    processing = etree.fromstring(bank(source))[0][0].find("{*}resprocessing")
    return Conditions(processing, "RESPONSE", typed=False).grade((response,)).score


CHANGE = (
    '<respcondition continue="{}"><conditionvar><other/></conditionvar>'
    '<setvar action="{}" varname="SCORE">{}</setvar></respcondition>'
).format


@pytest.mark.parametrize(
    ("others", "response", "score"),
    [
        (CHANGE("Yes", "Add", 40), "b", 40),
        (CHANGE("Yes", "Add", 40), "a", 100),
        (CHANGE("No", "Add", 40), "a", 40),  # the last that is processed
        (CHANGE("Yes", "Set", 40) + CHANGE("Yes", "Add", 20), "b", 60),
        (CHANGE("Yes", "Add", 250), "b", 100),  # maxvalue
        (CHANGE("Yes", "Subtract", 250), "b", 0),  # minvalue
    ],
)
def test_the_conditions_that_hold_change_the_score_in_order_and_within_bounds(
    others, response, score
):
    assert graded(others, response) == score


def test_feedback_is_shown_by_the_conditions_that_hold():
    slip = (
        f'<respcondition continue="Yes"><conditionvar>{equals("b")}</conditionvar>'
        '<displayfeedback linkrefid="slip-1"/></respcondition>'
    )
    seen = choice(equals("a"), slip)

    assert seen.grade(("b",)).shown == {"general", "slip-1"}
    assert seen.grade(("a",)).shown == {"general"}


def test_the_typed_spellings_side_by_side_are_alternatives():
    field = '<response_str ident="RESPONSE" rcardinality="Single"><render_fib/></response_str>'
    seen = item(
        cartridge_item(
            profile="cc.fib.v0p1", response=field, right=equals("7, 20") + equals("7,20")
        )
    )

    scores = [seen.grade((text,)).score for text in ("7, 20", "7,20", "7 20", "")]
    assert scores == [Fraction(n) for n in (100, 100, 0, 0)]
    assert seen.declared == ("7, 20",)


def test_the_declared_key_is_what_importers_pick_out():
    assert item(MULTIPLE_RESPONSE).declared == ("r7", "r20", "r88", "r101")


@pytest.mark.parametrize(
    ("old", "new", "reason"),
    [
        (
            "<and>",
            "<and><varlt respident='RESPONSE'>3</varlt>",
            "the element varlt of resprocessing",
        ),
        ('action="Set"', 'action="Multiply"', "the action Multiply"),
        ('varname="SCORE" minvalue', 'varname="X" minvalue', "outcomes other than SCORE alone"),
        ("cc.multiple_response.v0p1", "cc.essay.v0p1", "the profile cc.essay.v0p1 of"),
        ("<render_choice", "<render_slider/><render_choice", "response_lid with"),
        ("<presentation>", "<presentation><response_num/>", "2 responses, one is read"),
        ('respident="RESPONSE" case="Yes">r7<', 'respident="X" case="Yes">r7<', "a condition on"),
    ],
)
def test_what_is_not_known_is_unsupported(old, new, reason):
    source = MULTIPLE_RESPONSE.replace(old, new)
    assert source != MULTIPLE_RESPONSE

    with pytest.raises(Unsupported, match=reason):
        item(source).grade(("r7", "r20", "r88", "r101"))
