"""Presentation MathML: its markup, its spoken text, and what the published schemas say."""

from typing import Any, cast

import pytest
from hypothesis import given, settings

from itembank.notation import spoken
from itembank.notation.elements import written
from itembank.notation.mathml import NS, math
from itembank.notation.reading import formula
from tests.notation.parsed import parsed
from tests.notation.schemas import faults
from tests.notation.test_dialects import TABLE
from tests.notation.trees import formulas

# Function application (a), invisible times (t) and hard spaces (~) are made visible.
VISIBLE = str.maketrans(
    {"\N{FUNCTION APPLICATION}": "a", "\N{INVISIBLE TIMES}": "t", "\N{NO-BREAK SPACE}": "~"}
)


def inside(text: str) -> str:
    """The markup within `math`, without its namespace."""
    _namespace, _tag, (_attributes, *children) = math(formula(text))
    return written(cast(Any, children), NS).translate(VISIBLE)


@pytest.mark.parametrize(
    ("text", "markup"),
    [
        ("12", "<mn>12</mn>"),
        ("-12", "<mrow><mo>−</mo><mn>12</mn></mrow>"),
        ("2x", "<mrow><mn>2</mn><mo>t</mo><mi>x</mi></mrow>"),
        ("2 · 7", "<mrow><mn>2</mn><mo>·</mo><mn>7</mn></mrow>"),
        ("x^2 - 1", "<mrow><msup><mi>x</mi><mn>2</mn></msup><mo>−</mo><mn>1</mn></mrow>"),
        ("a_1", "<msub><mi>a</mi><mn>1</mn></msub>"),
        ("a_1^2", "<msubsup><mi>a</mi><mn>1</mn><mn>2</mn></msubsup>"),
        ("10!", "<mrow><mn>10</mn><mo>!</mo></mrow>"),
        ("±5", "<mrow><mo>±</mo><mn>5</mn></mrow>"),
        (
            "f'(r)",
            "<mrow><msup><mi>f</mi><mo>′</mo></msup><mo>a</mo>"
            '<mrow><mo stretchy="false">(</mo><mi>r</mi><mo stretchy="false">)</mo></mrow></mrow>',
        ),
        (
            "gcd(6, 4)",
            '<mrow><mi>gcd</mi><mo>a</mo><mrow><mo stretchy="false">(</mo>'
            '<mrow><mn>6</mn><mo lspace="0em" rspace="0.2em">,</mo><mn>4</mn></mrow>'
            '<mo stretchy="false">)</mo></mrow></mrow>',
        ),
        (
            "x = 2 mod 7",
            "<mrow><mrow><mi>x</mi><mo>≡</mo><mn>2</mn></mrow>"
            '<mspace width="0.6em"/>'
            '<mrow><mo stretchy="false">(</mo>'
            '<mrow><mi>mod</mi><mspace width="0.3em"/><mn>7</mn></mrow>'
            '<mo stretchy="false">)</mo></mrow></mrow>',
        ),
        (
            "symbol(3, 7)",
            "<mrow><mo>(</mo><mfrac><mn>3</mn><mn>7</mn></mfrac><mo>)</mo></mrow>",
        ),
        ("f/3", '<mrow><mi>f</mi><mo lspace="0em" rspace="0em">/</mo><mn>3</mn></mrow>'),
        ("∅", "<mi>∅</mi>"),
        (
            "x or y",
            "<mrow><mi>x</mi><mtext>~or~</mtext><mi>y</mi></mrow>",
        ),
    ],
)
def test_a_formula_as_presentation_mathml(text, markup):
    assert inside(text) == markup


def test_math_has_the_default_namespace_and_the_spoken_form():
    element = parsed(math(formula("x^2 = 2 mod 7")))

    assert element.prefix is None
    assert element.tag == f"{{{NS}}}math"
    assert dict(element.attrib) == {"alttext": "x squared is congruent to 2, modulo 7"}


def test_a_formula_on_its_own_line_and_a_text_of_the_callers():
    element = parsed(math(formula("x"), display=True, alttext="the unknown"))

    assert dict(element.attrib) == {"display": "block", "alttext": "the unknown"}


@pytest.mark.parametrize("version", ["mathml2/mathml2.xsd", "mathml3/mathml3.xsd"])
@pytest.mark.parametrize("text", TABLE)
def test_every_formula_is_valid_under_the_published_schemas(text, version):
    assert faults(parsed(math(formula(text), display=True)), f"common/{version}") == []


@pytest.mark.parametrize("version", ["mathml2/mathml2.xsd", "mathml3/mathml3.xsd"])
@given(tree=formulas())
@settings(max_examples=25, deadline=None)
def test_random_formulas_are_valid_too_and_say_what_is_spoken(version, tree):
    element = parsed(math(tree))

    assert faults(element, f"common/{version}") == []
    assert element.get("alttext") == spoken.math(tree)
