"""Stems about systems, pairs, lifting steps and counts: each gives its statement again."""

import re
from dataclasses import replace

import pytest

from itembank.audit.claims import pairs, prints_pairs
from itembank.audit.phrases import phrases_of
from itembank.audit.prose import Formula, Lines, lines_of_html, text_of
from itembank.audit.question import asked
from itembank.audit.systems import the_system
from itembank.audit.unsupported import Unsupported
from itembank.kinds.statement import problem_from
from itembank.languages import Speaker
from itembank.notation import markup
from itembank.notation.elements import HTML, Maker, written
from itembank.second_way.table import read
from tests.kinds.telling import rendered

ENGLISH = phrases_of("en")


STATEMENTS = [
    ("x = 2 mod 3", "x = 3 mod 5"),
    ("x = 1 mod 4", "x = 3 mod 6", "0 <= x < 24"),
    ("3x = 2 mod 5", "x^2 = 4 mod 21"),
    ("2x + 3y = 5 mod 7", "x - y = 1 mod 7"),
    ("lift x = 2 mod 5 to x^2 + 4x + 23 = 0 mod 25",),
    ("number of solutions of x^2 = 1 mod 360",),
    ("x^3 = 5 mod 31",),
]

ENDINGS = {
    "all solutions": "Choose the set that holds <strong>all</strong> solutions.",
    "the solution": "The solution is one residue class modulo {m}. Type any integer in it.",
    "how many": "Count the least residues that solve it.",
    "the least": "Type the smallest of all solutions.",
    "the largest": "Type the largest of all solutions.",
    "whether any": "{claim}",
    "the value": "Type the number, in digits.",
    "the wrong line": (
        "<b>Line 1.</b> With x = 3 + 4t the congruence modulo 7 becomes 4t ≡ 5 (mod 7).</p><p>"
        "Which line is the first that is wrong? If every line is right, choose “no line is "
        "wrong”."
    ),
    "the missing step": (
        "<b>Line 1.</b> The solutions of 4t ≡ 5 (mod 7) are the integers congruent to 3 modulo 7."
        "</p><p>Which line belongs in the place of the question mark?"
    ),
    "the next step": (
        "<b>Line 1.</b> With x = 3 + 4t the congruence modulo 7 becomes 4t ≡ 5 (mod 7).</p><p>"
        "Which line is right and comes next?"
    ),
}


def stem_of(statement: tuple[str, ...], ask: str, dialect: str) -> Lines:
    """What a student reads: the question in a dialect, and instructions."""
    problem = problem_from(statement)
    e = Maker(HTML)
    shown = written(
        markup.blocks(rendered(problem.question(ask)), e, markup.DIALECTS[dialect](e, "en"))
    )
    ending = ENDINGS[ask].format(m=problem.modulus, claim=Speaker().text(problem.phrases.claim))
    return lines_of_html(f"{shown}<p>{ending}</p><p>1 point for the right answer, otherwise 0.</p>")


@pytest.mark.parametrize("dialect", markup.DIALECTS)
@pytest.mark.parametrize("statement", STATEMENTS, ids="; ".join)
def test_the_question_and_the_ask_are_recovered_from_the_stem(
    statement: tuple[str, ...], dialect: str
) -> None:
    problem = problem_from(statement)
    for ask in [ask for ask in problem.signature.asks if ask in ENDINGS]:
        stem = asked(stem_of(statement, ask, dialect), ENGLISH)
        assert (stem.question, stem.ask) == (read(*problem.statement), ask)
        assert stem.faults == ()


@pytest.mark.parametrize("statement", STATEMENTS[:5], ids="; ".join)
def test_how_many_is_asked_in_a_sentence_that_ends_before_the_formula(
    statement: tuple[str, ...],
) -> None:
    problem = problem_from(statement)
    if "how many" not in problem.signature.asks:
        pytest.skip("this kind is not asked how many")

    words = text_of(stem_of(statement, "how many", "text"))

    assert re.match(r"How many solutions does this (congruence|system) have\?\n", words)


def test_the_sentences_of_earlier_packages_are_known_still() -> None:
    rows = "<p>x ≡ 2 (mod 3)</p><p>x ≡ 3 (mod 5)</p>"
    rule = "<p>1 point for the right answer, otherwise 0.</p>"
    count = asked(
        lines_of_html(
            f"<p>How many solutions has the system</p>{rows}"
            f"<p>Count the least residues (0 to 14) that solve it.</p>{rule}"
        ),
        ENGLISH,
    )
    solution = asked(
        lines_of_html(
            f"<p>Find the solution of the system</p>{rows}<p>There is exactly one residue class "
            f"modulo 15. Type any integer of it, in digits, with - for a negative one.</p>{rule}"
        ),
        ENGLISH,
    )

    assert count.question == solution.question == read("x = 2 mod 3", "x = 3 mod 5")
    assert (count.ask, solution.ask, solution.any_representative) == (
        "how many", "the solution", True,
    )  # fmt: skip


def test_another_row_is_another_question() -> None:
    stem = asked(stem_of(("x = 2 mod 3", "x = 3 mod 5"), "the least", "html"), ENGLISH)

    assert stem.question != read("x = 2 mod 3", "x = 4 mod 5")
    assert stem.question != read("x = 2 mod 3", "x = 3 mod 5", "0 <= x < 30")


# ------------------------------------------------------------ rows

ROWS = (
    Formula("x ≡ 2 (mod 3)", "x is congruent to 2, modulo 3"),
    Formula("x ≡ 3 (mod 5)", "x is congruent to 3, modulo 5"),
)
WORDS = "find all solutions of the system x ≡ 2 (mod 3) x ≡ 3 (mod 5)"


def test_rows_that_are_spoken_as_they_are_shown_have_no_fault() -> None:
    assert the_system(WORDS, ROWS, ENGLISH) == (read("x = 2 mod 3", "x = 3 mod 5"), ())
    assert the_system("find all solutions of x ≡ 2 (mod 3)", ROWS[:1], ENGLISH) is None


def test_a_row_that_is_spoken_otherwise_is_a_fault() -> None:
    rows = (ROWS[0], replace(ROWS[1], spoken="x is congruent to 4, modulo 5"))

    assert the_system(WORDS, rows, ENGLISH) == (
        read("x = 2 mod 3", "x = 3 mod 5"),
        ("stem: expected the system in its spoken form, got another",),
    )


def test_rows_that_make_no_system_are_unsupported() -> None:
    with pytest.raises(Unsupported, match="one unknown"):
        the_system(WORDS, (ROWS[0], Formula("y ≡ 3 (mod 5)"), Formula("z ≡ 3 (mod 5)")), ENGLISH)


# ------------------------------------------------------------ options


@pytest.mark.parametrize(
    ("label", "claim"),
    [
        ("{(3, 2)}", ((3, 2),)),
        ("{(0,4), (12,5)}", ((0, 4), (12, 5))),
        ("no solutions", ()),
    ],
)
def test_an_option_lists_pairs(label: str, claim: tuple[tuple[int, int], ...]) -> None:
    assert pairs(label, ENGLISH.answer) == claim


@pytest.mark.parametrize("label", ["{3, 2}", "(3, 2)", "{(3, 2), 4}", "{(3, 2}", "{(3, -2)}"])
def test_an_option_that_is_no_set_of_pairs_is_unsupported(label: str) -> None:
    with pytest.raises(Unsupported):
        pairs(label, ENGLISH.answer)


def test_feedback_that_shows_every_pair_of_the_key_prints_it() -> None:
    assert prints_pairs("The solution is (3, 2).", ((3, 2),))
    assert not prints_pairs("Put (2, 3) into it.", ((3, 2),))
    assert not prints_pairs("Put (3, 2) into it.", ((3, 2), (5, 4)))
