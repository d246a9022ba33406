"""Prose as elements of a host, valid where the host takes prose."""

import pytest

from itembank.notation.elements import HTML, Element, Maker, written
from itembank.notation.markup import DIALECTS, blocks, inlines
from itembank.notation.prose import display, paragraph, prose, table
from tests.notation.parsed import parsed
from tests.notation.schemas import faults

WORKED = (
    paragraph("So $x$ solves it **exactly** when $x = 2 mod 7$.", "Split the modulus."),
    display("x^2 + 9x + 5 = 0 mod 117"),
    display("x^2 + 9x + 5 == (x + 11)^2 + 1", '== 0 mod 13 "."'),
    table(["$r$", "$f(r)/3$"], [["$1$", "$5 == 2$"], ["$2$", "$9 == 0$"]]),
    table(["", "$b = 7$"], [["$a = 2$", "$182 + 189 = 371$"]], row_heads=True),
)


V21, V22 = "http://www.imsglobal.org/xsd/imsqti_v2p1", "http://www.imsglobal.org/xsd/imsqti_v2p2"
V30 = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"

h = Maker(HTML)


def sources(prose_blocks, dialect: str = "text") -> list[str]:
    return [written([block]) for block in blocks(prose_blocks, h, DIALECTS[dialect](h, "en"))]


def test_a_paragraph_has_its_lead_and_weight_in_strong():
    assert sources(WORKED[:1]) == [
        "<p><strong>Split the modulus.</strong> So x solves it <strong>exactly</strong> "
        "when x ≡ 2 (mod 7).</p>"
    ]


def test_one_row_is_a_paragraph_and_several_are_paragraphs_under_one_another():
    assert sources(WORKED[1:3]) == [
        '<p class="display">x² + 9x + 5 ≡ 0 (mod 117)</p>',
        '<div class="display"><p>x² + 9x + 5 ≡ (x + 11)² + 1</p><p>≡ 0 (mod 13).</p></div>',
    ]


def test_headings_say_what_they_head_and_an_empty_corner_heads_nothing():
    assert sources(WORKED[3:]) == [
        '<table><thead><tr><th scope="col">r</th><th scope="col">f(r)/3</th></tr></thead>'
        "<tbody><tr><td>1</td><td>5 ≡ 2</td></tr><tr><td>2</td><td>9 ≡ 0</td></tr></tbody></table>",
        '<table><thead><tr><td></td><th scope="col">b = 7</th></tr></thead>'
        '<tbody><tr><th scope="row">a = 2</th><td>182 + 189 = 371</td></tr></tbody></table>',
    ]


@pytest.mark.parametrize(
    ("dialect", "source"),
    [
        ("text", "<p>So x² ≡ 2.</p>"),
        ("tex", r"<p>So \(x^2 \equiv 2\).</p>"),
        ("html", "<p>So <i>x</i><sup>2</sup>\N{NO-BREAK SPACE}≡\N{NO-BREAK SPACE}2.</p>"),
        (
            "mathml",
            '<p>So <math xmlns="http://www.w3.org/1998/Math/MathML" '
            'alttext="x squared is congruent to 2"><mrow><msup><mi>x</mi><mn>2</mn></msup>'
            "<mo>≡</mo><mn>2</mn></mrow></math>.</p>",
        ),
    ],
)
def test_a_sentence_in_each_dialect(dialect, source):
    assert sources((paragraph("So $x^2 == 2$."),), dialect) == [source]


def test_tex_on_a_line_of_its_own_stands_in_square_delimiters():
    assert sources((display("x == 2"),), "tex") == [r'<p class="display">\[x \equiv 2\]</p>']


def test_inlines_go_where_a_host_takes_a_label():
    label = h("simpleChoice", *inlines(prose("only $x^2$"), h, DIALECTS["html"](h, "en")))

    assert written([label]) == "<simpleChoice>only <i>x</i><sup>2</sup></simpleChoice>"


def test_an_empty_cell_has_an_end_tag_in_html_alone():
    corner = (table(["", "$b$"], [["$a$", ""]], row_heads=True),)
    q = Maker(V21)

    assert "<td></td>" in written(blocks(corner, h, DIALECTS["html"](h, "en")))
    assert "<td/>" in written(blocks(corner, q, DIALECTS["html"](q, "en")), V21)


# ------------------------------------------------------------ in the hosts


def item_2(namespace: str, dialect: str) -> Element:
    q = Maker(namespace)
    nodes = DIALECTS[dialect](q, "en")
    feedback = {"outcomeIdentifier": "F", "identifier": "a", "showHide": "show"}
    return q(
        "assessmentItem",
        {"identifier": "i", "title": "t", "adaptive": "false", "timeDependent": "false"},
        q(
            "outcomeDeclaration",
            {"identifier": "F", "cardinality": "single", "baseType": "identifier"},
        ),
        q("itemBody", *blocks(WORKED, q, nodes)),
        q("modalFeedback", feedback, *blocks(WORKED, q, nodes)),
    )


def item_3(namespace: str, dialect: str) -> Element:
    q = Maker(namespace)
    nodes = DIALECTS[dialect](q, "en")
    feedback = {"outcome-identifier": "F", "identifier": "a", "show-hide": "show"}
    return q(
        "qti-assessment-item",
        {"identifier": "i", "title": "t", "adaptive": "false", "time-dependent": "false"},
        q(
            "qti-outcome-declaration",
            {"identifier": "F", "cardinality": "single", "base-type": "identifier"},
        ),
        q("qti-item-body", *blocks(WORKED, q, nodes)),
        q("qti-modal-feedback", feedback, q("qti-content-body", *blocks(WORKED, q, nodes))),
    )


@pytest.mark.parametrize("dialect", DIALECTS)
@pytest.mark.parametrize(
    ("item", "namespace", "schema"),
    [
        (item_2, V21, "qti21/imsqti_v2p1.xsd"),
        (item_2, V22, "qti22/imsqti_v2p2p4.xsd"),
        (item_3, V30, "qti30/imsqti_asiv3p0_sbacv1p0_v1p0.xsd"),
    ],
)
def test_blocks_are_valid_in_a_body_and_in_modal_feedback(item, namespace, schema, dialect):
    assert faults(parsed(item(namespace, dialect)), schema) == []
