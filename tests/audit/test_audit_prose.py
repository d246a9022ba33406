"""Markup to typed text: the same question in every dialect reads the same."""

import pytest
from lxml import etree

from itembank.audit.prose import Formula, lines_of, lines_of_html, tex, text_of
from itembank.audit.question import first_congruence
from itembank.audit.unsupported import Unsupported
from itembank.second_way.table import read
from tests.audit.handmade import FORMULA_HTML, FORMULA_MATHML, MATHML

QUESTION = read("x^2 + 9x + 5 = 0 mod 117")


def typed(mathml):
    """The typed text of a MathML formula."""
    root = etree.fromstring(f'<p><math xmlns="{MATHML}">{mathml}</math></p>')
    return text_of(lines_of(root))


@pytest.mark.parametrize(
    "markup",
    [
        FORMULA_HTML,
        FORMULA_MATHML,
        r"<p>\[x^{2} + 9x + 5 \equiv 0 \pmod{117}\]</p>",
        r"<p>Solve \(x^2+9 x+5\equiv0\pmod{117}\), please.</p>",
        "<p>x² + 9x + 5 ≡ 0 (mod 117)</p>",
        "<p>Find all solutions of x^2 + 9x + 5 ≡ 0 (mod 117).</p>",
        "<p>Solve x<sup>2</sup> + 9x = −5 (mod 3<sup>2</sup>·13) now.</p>",
        "<div><p>Where 2 + 2 = 4.</p><p>(<i>x</i> + 4)(<i>x</i> + 5) ≡ 15 (mod 117)</p></div>",
    ],
)
def test_the_congruence_is_recovered_from_every_dialect(markup):
    assert first_congruence(lines_of_html(markup))[0] == QUESTION


@pytest.mark.parametrize(
    ("mathml", "text"),
    [
        ("<msup><mi>x</mi><mn>12</mn></msup>", "x^12"),
        ("<msup><mi>x</mi><mrow><mn>2</mn><mi>n</mi></mrow></msup>", "x^(2n)"),
        (
            "<msup><mrow><mo>(</mo><mi>x</mi><mo>+</mo><mn>1</mn><mo>)</mo></mrow><mn>2</mn></msup>",
            "((x + 1))^2",
        ),
        ("<mo>−</mo><mn>3</mn><mo>\u2062</mo><mi>x</mi>", "− 3x"),
        ("<mfrac><mrow><mi>a</mi><mo>+</mo><mn>1</mn></mrow><mn>7</mn></mfrac>", "(a + 1)/7"),
        ("<mi>f</mi><mo>\u2061</mo><mo>(</mo><mn>4</mn><mo>)</mo>", "f(4)"),
        ("<msup><mi>f</mi><mo>′</mo></msup>", "f′"),
        ("<mfenced open='{' close='}'><mn>7</mn><mn>20</mn></mfenced>", "{7, 20}"),
        ("<semantics><mi>x</mi><annotation>y</annotation></semantics>", "x"),
        ("<mi>x</mi><mtext>\u00a0or\u00a0</mtext><mi>y</mi>", "x or y"),
        ("<msubsup><mi>x</mi><mn>1</mn><mn>2</mn></msubsup>", "x_1^2"),
    ],
)
def test_mathml_is_typed_as_it_is_seen(mathml, text):
    assert typed(mathml) == text


X = "<mn>{}</mn>"


@pytest.mark.parametrize(
    ("known", "other", "text"),
    [
        (f"<msup>{X}{X}</msup>", "<msup><mn>12</mn><mn>07</mn></msup>", "12^07"),
        (f"{X}{X}<mo>+</mo>{X}", "<mn>1</mn><mn>23</mn><mo>+</mo><mn>4</mn>", "123 + 4"),
        (f"<mi>%s</mi>{X}<mphantom>{X}</mphantom>{X}", None, "%s69"),
        (f"{X}<mi>1</mi>", "<mn>5</mn><mi>2</mi>", "52"),
        (f"{X}<mo>.</mo>", "<mn>5.0</mn><mo>.</mo>", "5.0."),
        (f"{X}", "<!-- <mn>1</mn> --><mn>2</mn>", "2"),
        (f"{X}<mn xmlns=''>1</mn>{X}", "<mn>7</mn><mn xmlns=''>8</mn><mn>9</mn>", "789"),
        (f"{X}<mi>481516234200000</mi>", "<mn>5</mn><mi>481516234200000</mi>", "5481516234200000"),
        (f"<mfenced separators='1'>{X}{X}</mfenced>", None, "(61 9)"),
        (
            f"<mfenced separators='1'>{X}{X}</mfenced>",
            "<mfenced separators='2'><mn>3</mn><mn>4</mn></mfenced>",
            "(32 4)",
        ),
    ],
)
def test_a_formula_is_read_as_alone_after_others_that_differ_in_their_numbers(known, other, text):
    for numbers in ("333", "451", "678"):
        typed(known.format(*numbers))
    assert typed(other or known.format(6, 9, 9)) == text


def test_the_rows_of_a_mathml_table_are_lines():
    row = "<mtr><mtd><mi>x</mi><mo>=</mo><mn>{}</mn></mtd></mtr>"
    root = etree.fromstring(
        f'<p><math xmlns="{MATHML}"><mtable>{row.format(1)}{row.format(2)}</mtable></math></p>'
    )

    assert lines_of(root) == ((Formula("x = 1"),), (Formula("x = 2"),))


@pytest.mark.parametrize(
    ("source", "text"),
    [
        (r"x^{10}\cdot 7", "x^10· 7"),
        (r"\{7, 20\}", "{7, 20}"),
        (r"\frac{f(r)}{3}", "(f(r))/3"),
        (r"2\left(x+1\right)^2 \bmod 9", "2(x + 1)^2 mod 9"),
        (r"x \equiv 1 \text{ or } 2", "x ≡ 1 or 2"),
    ],
)
def test_tex_is_typed_as_it_is_seen(source, text):
    assert tex(source) == text


@pytest.mark.parametrize(
    "markup",
    [
        r"<p>\(\mystery{x}\)</p>",
        r"<p>\(x^{2\)</p>",
        r"<p>\(x^\)</p>",
        f'<p><math xmlns="{MATHML}"><mroot><mi>x</mi><mn>3</mn></mroot></math></p>',
        f'<p><math xmlns="{MATHML}"><msup><mi>x</mi></msup></math></p>',
        "<p>" + "<b>" * 300 + "x" + "</b>" * 300 + "</p>",
        r"<p>\(" + "{" * 300 + "x" + "}" * 300 + r"\)</p>",
    ],
    ids=range(7),
)
def test_mathematics_in_an_unknown_form_is_unreadable_and_not_skipped(markup):
    with pytest.raises(Unsupported):
        lines_of_html(markup)
