"""Congruences of a worked solution as a course writes them, in every dialect."""

import pytest

from itembank.languages import Speaker, lead, say, shown
from itembank.notation import mathml, plain, spoken, tex
from itembank.notation.building import congruence, listed
from itembank.notation.tree import Letter
from itembank.values.course import Notation

ROOTS = congruence(Letter("x"), listed((3, 4)), 7)
TOLD = (say("The roots are $x ≡ 3, 4 (mod 7)$."),)


def text(told, language="en", **notation):
    return plain.blocks(Speaker(language, Notation(**notation)).blocks(told)).strip()


@pytest.mark.parametrize(
    ("notation", "told"),
    [
        ({}, "The roots are x ≡ 3, 4 (mod 7)."),
        ({"mod": "mod n"}, "The roots are x ≡ 3, 4 mod 7."),
        ({"congruent": "words"}, "The roots are x is congruent to 3, 4 modulo 7."),
        ({"residues": "symmetric"}, "The roots are x ≡ 3, 4 (mod 7)."),
    ],
)
def test_a_congruence_is_written_as_the_course_writes_it(notation, told):
    assert text(TOLD, **notation) == told


def test_a_calculation_in_several_steps_keeps_its_sign():
    told = (say("$4 · 7 = 28 ≡ 1 (mod 9)$, and $28 ≢ 2 (mod 9)$."),)

    assert text(told, congruent="words") == (
        "4 · 7 = 28 ≡ 1 modulo 9, and 28 is not congruent to 2 modulo 9."
    )


def bare(dialect) -> str:
    ((block,)) = Speaker(notation=Notation(mod="mod n")).blocks((shown(ROOTS),))
    (row,) = block.rows
    return dialect(row)


def test_every_dialect_writes_the_modulus_without_brackets():
    assert bare(plain.math) == "x ≡ 3, 4 mod 7"
    assert bare(tex.math) == r"x \equiv 3,\; 4\text{ mod }7"
    assert bare(spoken.math).endswith("mod 7")
    assert "<mo" in str(bare(mathml.markup)) and ">(<" not in str(bare(mathml.markup))
    assert "mod" in str(bare(mathml.markup))


def test_the_answer_names_the_residues_nearest_to_0_and_nothing_before_it_does():
    told = (
        lead("Roots."),
        say("$x ≡ 3, 4 (mod 7)$."),
        lead("Answer."),
        say("$x ≡ 3, 4, 50 (mod 7 · 3^2)$, that is $x ≡ 5 (mod 10)$ or $x ≡ 4 (mod 8)$."),
        lead("Check."),
        say("$x ≡ 6 (mod 7)$."),
    )

    assert text(told, residues="symmetric").split("\n\n") == [
        "Roots. x ≡ 3, 4 (mod 7).",
        "Answer. x ≡ −13, 3, 4 (mod 7 · 3²), that is x ≡ 5 (mod 10) or x ≡ 4 (mod 8).",
        "Check. x ≡ 6 (mod 7).",
    ]


def test_a_letter_for_a_residue_is_no_residue():
    told = (lead("Answer."), say("$x ≡ 5a (mod 7)$ and $x^2 ≡ 6 (mod 7)$."))

    assert text(told, residues="symmetric") == "Answer. x ≡ 5a (mod 7) and x² ≡ 6 (mod 7)."
