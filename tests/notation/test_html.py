"""Mathematics with sup, sub and i: what each says without the others."""

import pytest
from lxml import etree

from itembank.notation.elements import HTML, Maker
from itembank.notation.html import nodes
from itembank.notation.reading import formula
from tests.notation.parsed import parsed, source

e = Maker(HTML)


def paragraph(text: str) -> etree._Element:
    return parsed(e("p", *nodes(formula(text), e)))


def test_it_reads_right_with_nothing_but_sup_and_sub():
    element = paragraph("x_0^2 + 9x + 5 = 0 mod 3^40")
    etree.strip_tags(element, "i")

    assert etree.tostring(element, encoding="unicode").replace("\N{NO-BREAK SPACE}", " ") == (
        "<p>x<sub>0</sub><sup>2</sup> + 9x + 5 ≡ 0 (mod 3<sup>40</sup>)</p>"
    )


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("x = 2 mod 117", ["x~≡~2", "(mod~117)"]),
        ("x + 1 = 2 = 3", ["x~+~1~=~2", "=~3"]),
        ("7, 20, 88", ["7,", "20,", "88"]),
        ("a + b + c + d + 1 = 0", ["a", "+~b", "+~c", "+~d", "+~1", "=~0"]),
        ("1·2·3·4·5", ["1", "·~2", "·~3", "·~4", "·~5"]),
    ],
)
def test_a_line_breaks_only_where_it_does_not_hurt(text, lines):
    shown = "".join(paragraph(text).itertext())

    assert shown.replace("\N{NO-BREAK SPACE}", "~").split(" ") == lines


def test_elements_are_of_the_host():
    host = Maker("http://www.imsglobal.org/xsd/imsqti_v2p1")
    element = parsed(host("p", *nodes(formula("x^2"), host)))

    assert [etree.QName(child) for child in element] == [
        etree.QName(host.namespace, tag) for tag in ("i", "sup")
    ]


def test_letters_side_by_side_slope_together():
    assert source(*nodes(formula("abc^2"), e)) == "<i>abc</i><sup>2</sup>"


def test_a_less_than_sign_is_escaped_once():
    assert source(*nodes(formula("2 < 3"), e)) == "2~&lt;~3"
