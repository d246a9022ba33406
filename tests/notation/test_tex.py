r"""Formulas and words in TeX."""

import pytest

from itembank.notation.reading import formula
from itembank.notation.tex import escaped, math


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
