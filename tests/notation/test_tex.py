r"""Prose as the body of a LaTeX document."""

import pytest

from itembank.notation.prose import display, paragraph, table
from itembank.notation.reading import formula
from itembank.notation.tex import blocks, escaped, math


def test_prose_is_escaped_and_its_formulas_stand_in_round_delimiters():
    text = blocks((paragraph("Tick **all** & only $x = 2 mod 7$: 100%.", "Part #1."),))

    assert text == (
        r"\textbf{Part \#1.} Tick \textbf{all} \& only \(x \equiv 2 \pmod{7}\): 100\%." "\n"
    )


@pytest.mark.parametrize(
    ("text", "source"),
    [
        ("a_b", r"a\_b"),
        ("{7}", r"\{7\}"),
        ("$5", r"\$5"),
        ("\\x", r"\textbackslash{}x"),
        ("~ ^", r"\textasciitilde{} \textasciicircum{}"),
    ],
)
def test_characters_that_tex_takes_as_its_own_are_made_plain(text, source):
    assert escaped(text) == source


def test_a_command_does_not_run_on_into_a_letter():
    assert math(formula("φx")) == r"\varphi x"
    assert math(formula("2φ(x)")) == r"2\varphi(x)"


def test_one_row_is_displayed_and_several_are_aligned():
    text = blocks((display("x = 2 mod 7"), display("48 = 6 · 7 + 6", "= 42 + 6", "a + b")))

    assert text == (
        "\\[\nx \\equiv 2 \\pmod{7}\n\\]\n"
        "\n"
        "\\[\n"
        "\\begin{aligned}\n"
        "48 &= 6 \\cdot 7 + 6 \\\\\n"
        "&= 42 + 6 \\\\\n"
        "&a + b\n"
        "\\end{aligned}\n"
        "\\]\n"
    )


def test_a_table_is_a_tabular_with_integers_to_the_right():
    text = blocks((table(["$r$", "root"], [["$1$", "yes"], ["$-2$", "no"]]),))

    assert text == (
        "\\begin{center}\n"
        "\\begin{tabular}{rl}\n"
        "\\(r\\) & root \\\\\n"
        "\\hline\n"
        "\\(1\\) & yes \\\\\n"
        "\\(-2\\) & no \\\\\n"
        "\\end{tabular}\n"
        "\\end{center}\n"
    )
