"""Formulas set by their shapes are those that are set one by one."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from itembank.languages import Speaker, say
from itembank.notation import html, mathml
from itembank.notation.elements import HTML, Maker, written
from itembank.notation.markup import in_html, in_mathml
from itembank.notation.reading import formula
from itembank.notation.shapes import Shapes, key_of
from itembank.notation.tree import Math, Number, Words
from tests.notation.trees import arithmetic, formulas

h = Maker(HTML)
MATHML = {language: in_mathml(h, language) for language in ("en", "de", "es")}
IN_HTML = in_html(h)


@settings(max_examples=300)
@given(node=st.one_of(formulas(), arithmetic()), language=st.sampled_from([*MATHML]))
def test_every_formula_is_set_as_it_is_set_alone(node: Math, language: str):
    for display in (False, True):
        alone = written([mathml.math(node, display, language=language)], HTML)
        assert written(MATHML[language](node, display), HTML) == alone
    assert written(IN_HTML(node, False), HTML) == written(html.nodes(node, h), HTML)


@pytest.mark.parametrize("language", MATHML)
@pytest.mark.parametrize("n", [-117, -4, -3, -1, 0, 1, 2, 3, 4, 8, 11, 12, 81, 117, 8000, 11_000])
@pytest.mark.parametrize(
    "typed",
    [
        "x^N + Nx = N mod N",
        "(x - N)^N = -N",
        "x = N, N",
        "{5, N}",
        "f(N)/N = (N/15)",
        "N!",
        "a + N",
    ],
)
def test_each_number_in_each_place(typed: str, n: int, language: str):
    """Squares and cubes, signs, single digits, and in Spanish "7 u 8", "10 u 11"."""
    node = formula(typed.replace("N", f"({n})" if n < 0 else str(n)))
    alone = written([mathml.math(node, language=language)], HTML)
    assert written(MATHML[language](node, False), HTML) == alone
    assert written(IN_HTML(node, False), HTML) == written(html.nodes(node, h), HTML)


def test_a_shape_is_set_once():
    set_ = []

    def render(node: Math) -> str:
        set_.append(node)
        return written(html.nodes(node, h), HTML)

    shapes = Shapes(render, most=2)

    assert "9<i>x</i>" in shapes.written(formula("x^2 + 9x + 5 = 0 mod 117"))
    assert "7<i>x</i>" in shapes.written(formula("x^2 + 7x + 8 = 0 mod 225"))
    assert len(set_) == 1
    for typed in ("x", "y", "z"):
        shapes.written(formula(typed))
    assert len(shapes.known) == 2


def test_a_number_that_decides_how_a_formula_is_set_is_part_of_its_shape():
    keys = [key_of(formula(f"x^{n}"), []) for n in (1, 2, 3, 4, 5)]

    assert len({*keys}) == 4
    assert keys[3] == keys[4]


def test_words_of_private_use_are_left_as_they_are():
    node = Words(("\ue000\ue000", Number(17)))

    assert written(IN_HTML(node, False), HTML) == written(html.nodes(node, h), HTML)


def test_what_is_said_of_a_formula_is_not_mixed_up_with_its_shape():
    """The spoken form of a tree is kept too, and a tree with marks is no tree with numbers."""
    said = say("$x = {n}$.", n=77)
    (part, _stop) = Speaker().inlines(said)

    assert "77" in written(MATHML["en"](part.math, False), HTML)
    assert written([mathml.math(part.math)], HTML).count("77") == 2
