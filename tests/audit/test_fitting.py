"""A remark fits the answer that is told it, says what is so, and praises no wrong one."""

import pytest

from itembank.audit import fitting
from itembank.audit.phrases import known_languages, phrases_of
from tests.audit.handmade import (
    FIELD,
    FORMULA_HTML,
    FORMULA_MATHML,
    IS_KEY,
    TICK,
    cartridge_item,
    equals,
    html,
    qti_item,
    report_on,
    scored,
    slip_shown,
    ticked,
)

STEM = f"<p>Find <strong>all</strong> solutions of</p>{FORMULA_MATHML}{TICK}"


def item_saying(*slips: str, answers: tuple[tuple[int, ...], ...] = ((16,), (7, 20))) -> str:
    """The item of handmade.py, with slips that are told to these answers."""
    shown = slip_shown(*(ticked(*answer) for answer in answers[: len(slips)]))
    return qti_item(stem=STEM, processing=scored(IS_KEY) + shown, slips=slips)


@pytest.mark.parametrize(
    ("slip", "found"),
    [
        ("This residue is right modulo 13.", "expected what fits the answer 16"),
        ("This residue is right modulo 0.", "expected what fits the answer 16"),
        ("If you gave an inverse: 3 · 7 ≡ 1 (mod 0)", "expected what fits the answer 16"),
        ("There are solutions.", "expected what fits the answer 16"),
        ("Put 20 into the last congruence: it does not hold.", "expected what fits the answer 16"),
        ("20 is the opposite of 97: take the inverse.", "expected what fits the answer 16"),
        ("Correct! That is how it is done.", "expected no praise of 16"),
        ("Note that 3 divides 16.", "expected what is so, got '3 divides 16'"),
        ("As 4 does not divide 16, go on.", "expected what is so, got '4 does not divide 16'"),
        ("And f(16) = 256 is not divisible by 16.", "expected what is so"),
        ("Check the sum: 16 + + 4.", "expected whole formulas, got"),
        ("Check gcd(16, 117.", "expected whole formulas, got"),
    ],
)
def test_a_remark_that_does_not_fit_is_found(tmp_path, slip, found):
    (item,) = report_on(tmp_path, item_saying(slip)).items

    assert any(found in line for line in item.findings), item.findings


@pytest.mark.parametrize(
    "slip",
    [
        "Put 16 into the last congruence: it does not hold.",
        "Note that 4 divides 16. Does 3 divide 16?",
        "Test whether 3 divides 16, and whether gcd(16, 117) = 1 divides 5.",
        "With f(x) = x^2 + 9x + 5, f(16) = 405 is not divisible by 117.",
        "The order of 5 divides 117 − 1 or it does not.",
    ],
)
def test_what_fits_or_says_nothing_of_the_answer_is_no_finding(tmp_path, slip):
    report = report_on(tmp_path, item_saying(slip))

    assert report.clean, report.as_text()


def test_two_slips_exchanged_are_found(tmp_path):
    first = "Put 16 into the last congruence: it does not hold."
    second = (
        "These residues satisfy the first congruence, but 20 does not satisfy the one modulo 9."
    )

    assert report_on(tmp_path, item_saying(first, second)).clean
    assert not report_on(tmp_path, item_saying(second, first)).clean


def typed_item(general: str) -> str:
    """A typed list of a cartridge, whose remarks on all answers stand in one text."""
    stem = (
        f"<p>Find <strong>all</strong> solutions of</p>{FORMULA_HTML}<p>Type all of them as least"
        " residues (0 to 116), in increasing order, separated by commas. If there is none, type"
        " “none”.</p><p>1 point for exactly the right list, otherwise 0.</p>"
    )
    right = equals("7,20,88,101") + equals("7, 20, 88, 101")
    item = cartridge_item(stem=stem, profile="cc.fib.v0p1", response=FIELD, right=right)
    old = item[item.index("<flow_mat>") : item.index("</flow_mat>")]
    return item.replace(old, f"<flow_mat>{html('<p>x ≡ 7, 20, 88, 101</p>' + general)}")


@pytest.mark.parametrize(
    ("answer", "clean"), [("16", True), ("20, 88", False), ("7, 20, 88, 101", False)]
)
def test_remarks_that_stand_together_are_held_against_the_answers_they_name(
    tmp_path, answer, clean
):
    remark = "Put 16 into the last congruence: it does not hold."
    report = report_on(tmp_path, typed_item(f"<p>If you answered {answer}:</p><p>{remark}</p>"))

    assert report.clean is clean, report.as_text()


def test_every_language_says_the_same_of_answers():
    for name in known_languages():
        said = phrases_of(name).remarks
        assert set(said.claims) == set(fitting.CLAIMS)
        assert set(said.truths) == set(fitting.TRUTHS)


def test_the_key_is_not_told_in_the_stem(tmp_path):
    stem = STEM.replace("<p>Tick", "<p>They are 7, 20, 88 and 101.</p><p>Tick")
    (item,) = report_on(tmp_path, qti_item(stem=stem)).items

    assert "stem: expected no answer in it, got the key" in item.findings
