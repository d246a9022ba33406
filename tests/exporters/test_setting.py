"""Prose and formulas stand among a format's elements as its writer's own."""

from exporters.setting import Setting
from itembank.notation.elements import HTML, written
from itembank.notation.prose import paragraph, prose

QTI = "http://www.imsglobal.org/xsd/imsqti_v2p1"


def test_a_block_does_not_declare_the_namespace_it_stands_in():
    blocks = Setting("html", QTI, "en").blocks((paragraph("a & $x^2$ & b"),))

    assert written(blocks, QTI) == "<p>a &amp; <i>x</i><sup>2</sup> &amp; b</p>"


def test_mathml_declares_its_own_namespace_without_a_prefix():
    blocks = Setting("mathml", QTI, "en").blocks((paragraph("$7$"),))

    assert written(blocks, QTI).startswith(
        '<p><math xmlns="http://www.w3.org/1998/Math/MathML" alttext="7">'
    )


def test_a_line_is_text_and_formulas():
    line = Setting("html", HTML, "en").inlines(prose("mod $x^2$"))

    assert written(line) == "mod <i>x</i><sup>2</sup>"
