"""Items of QTI 1.2.1 by hand, right and tampered with: what the audit says of each."""

import pytest

from tests.audit.handmade import (
    FIELD,
    MULTIPLE_RESPONSE,
    cartridge_item,
    equals,
    labels,
    report_on,
)
from tests.audit.test_audit_items import COUNT, LIST, LIST_NONE, SELECT_ONE, SETS, SOLVABLE

CARTRIDGE = {
    "multiple response": MULTIPLE_RESPONSE,
    "multiple choice": cartridge_item(
        stem=SELECT_ONE["stem"],
        profile="cc.multiple_choice.v0p1",
        response=labels("Single", SETS),
        right=equals("b"),
        others=f'<respcondition continue="Yes"><conditionvar>{equals("a")}</conditionvar>'
        '<displayfeedback linkrefid="slip-1"/></respcondition>',
        feedback='<itemfeedback ident="slip-1"><flow_mat><material><mattext>Half of them.'
        "</mattext></material></flow_mat></itemfeedback>",
        weight="2",
    ),
    "true or false": cartridge_item(
        stem=SOLVABLE["stem"],
        profile="cc.true_false.v0p1",
        response=labels("Single", {"true": "True", "false": "False"}),
        right=equals("false"),
    ),
    "one integer": cartridge_item(
        stem=COUNT["stem"], profile="cc.fib.v0p1", response=FIELD, right=equals(4)
    ),
    "a list": cartridge_item(
        stem=LIST["stem"],
        profile="cc.fib.v0p1",
        response=FIELD,
        right="".join(map(equals, ("4, 9, 14", "4,9,14", "4 9 14"))),
    ),
    "no list": cartridge_item(
        stem=LIST_NONE["stem"],
        profile="cc.fib.v0p1",
        response=FIELD,
        right=equals("none", case="No"),
    ),
}


@pytest.mark.parametrize("name", CARTRIDGE)
def test_a_right_item_of_a_cartridge_is_agreed(tmp_path, name):
    report = report_on(tmp_path, CARTRIDGE[name])

    assert (report.findings, report.count("agreed")) == ((), 1)


@pytest.mark.parametrize(
    ("name", "old", "new", "line"),
    [
        (
            "multiple response",
            f"<not>{equals('r10')}</not>",
            equals("r10"),
            "key: expected 7, 20, 88, 101, got 7, 10, 20, 88, 101",
        ),
        (
            "multiple response",
            f"<not>{equals('r10')}</not>",
            "",
            "scoring: expected 0 for {7; 10; 20; 88; 101}, got 100",
        ),
        ("multiple choice", equals("b"), equals("c"), "key: expected 7, 20, 88, 101, got 10, 20"),
        ("multiple choice", ">2<", ">1<", "points: expected 2 as the stem says, got cc_weighting"),
        ("multiple choice", 'linkrefid="slip-1"', 'linkrefid="x"', "feedback slip-1: expected an"),
        ("multiple choice", ">100<", ">50<", "scoring: expected 100 for {{7, 20, 88, 101}} (the"),
        ("true or false", equals("false"), equals("true"), "key: expected 0 solutions, the answer"),
        ("one integer", equals(4), equals(3), "key: expected 4 solutions, the answer says 3"),
        ("a list", equals("4 9 14"), equals("4, 14, 9"), "scoring: expected 0 for '4, 14, 9', got"),
        ("a list", equals("4,9,14"), "", "scoring: expected 100 for '4,9,14', got 0"),
        ("no list", equals("none", case="No"), equals(4), "key: expected no solutions, got 4"),
    ],
)
def test_a_tampered_item_of_a_cartridge_is_disagreed(tmp_path, name, old, new, line):
    changed = CARTRIDGE[name].replace(old, new, 1)
    assert changed != CARTRIDGE[name]

    report = report_on(tmp_path, changed)

    assert any(finding.startswith(f"item-1: {line}") for finding in report.findings)
    assert report.count("disagreed") == 1
