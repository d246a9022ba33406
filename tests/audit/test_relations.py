"""Relations between numbers that a text states are worked out; a worked solution tells the key."""

import re

import pytest

from itembank.audit.budget import Work
from itembank.audit.item import conclusion, tells
from itembank.audit.phrases import phrases_of
from itembank.audit.relations import torn, untrue
from tests.audit.handmade import IS_KEY, qti_item, report_on, scored, slip_shown, ticked


@pytest.mark.parametrize(
    "text",
    [
        "117 = 9 · 13, and 9 and 13 have no common factor.",
        "57·94 = 5358 ≡ 2 (mod 103).",
        "2⁵ = 32 and 2^5 = 32 and (−3)^2 = 9.",
        "Hence x ≡ 1 + 9 = 10 (mod 29).",
        "29^5 ≡ −1, so 29^10 ≡ 1.",
        "3x = 6 and f(3) = 9.",
        "40 + 111 = 57 + 94 = 151 ≡ − 2, as they must.",
    ],
)
def test_what_holds_or_is_part_of_more_is_left_alone(text):
    assert list(untrue(text, Work())) == []


@pytest.mark.parametrize(
    "text",
    [
        "117 = 9 · 14, and 9 and 14 have no common factor.",
        "57·94 = 5358 ≡ 3 (mod 103).",
        "57·94 = 5359 ≡ 3 (mod 103).",
        "2⁵ = 33.",
        "40 + 111 = 57 + 95 = 151 ≡ − 2, as they must.",
    ],
)
def test_what_does_not_hold_is_told(text):
    assert len(list(untrue(text, Work()))) == 1


@pytest.mark.parametrize(
    "line",
    ["Hence ≡ 6 (mod 7).", "So: ≡ 6.", "≡ 6 (mod 7)", "x ≡ hence", "so ^2 + 1 = 0", "x = + 3."],
)
def test_a_formula_that_lost_a_letter_is_torn(line):
    assert list(torn(line)) == [line]


@pytest.mark.parametrize(
    "line",
    ["ed ≡ 1 (mod 40)", "= 3 − (134 − 44·3)", "gcd(4, 6) = gcd(4, 2)", "e^(ab) = 1, x^2 = 4."],
)
def test_a_whole_formula_is_not_torn(line):
    assert list(torn(line)) == []


def test_no_power_takes_long():
    assert list(untrue("9^9^9 = 1. 9999999999^9999999999 = 1. 9^(9^9) = 1.", Work())) == []


def item(slip: str = "Try again.", worked: str = "x ≡ 7, 20, 88, 101 (mod 117)") -> str:
    made = qti_item(slips=(slip,), processing=scored(IS_KEY) + slip_shown(ticked(7, 88)))
    return re.sub("<p>Among .*?</p>", f"<p>{worked}</p>", made)


@pytest.mark.parametrize(
    ("changed", "found"),
    [
        (item(), ""),
        (item(slip="Check: 7 · 7 = 48."), "7 * 7 = 48"),
        (item(worked="x ≡ 7, 20, 88, 102 (mod 117)"), "101 is not there"),
        (item(worked="x ≡ 7, 20, 88, 101.</p><p>As they must."), "7, 20, 88, 101 is not there"),
        (
            item(worked="Answer. x ≡ 7, 20, 88, 101.</p><p>Check. It is so.</p><p>And so is that."),
            "",
        ),
        (item(worked="20 and 101.</p><p>Answer. x ≡ 7, 15, 88, 10."), "20, 101 is not there"),
        (item().replace('title="An item"', 'title="It is 7, 20, 88, 101"'), "title"),
        (item().replace('identifier="worked" showHide', 'identifier="other" showHide'), "worked"),
    ],
)
def test_feedback_is_read(tmp_path, changed, found):
    report = report_on(tmp_path, changed)

    assert report.clean is not bool(found)
    assert found in " ".join(report.findings)


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("en", "Answer. The congruence has eight solutions."),
        ("de", "Antwort. Die Kongruenz hat acht Lösungen."),
        ("es", "Respuesta. La congruencia tiene ocho soluciones."),
    ],
)
def test_a_number_may_be_told_in_words(language, words):
    said = phrases_of(language).remarks
    end = conclusion(f"9 · 7 = 63\n{words}\nAs 7 shows.", said)

    assert end.startswith(words)
    assert [n for n in range(13) if tells(words, n, 0, said)] == [8]
