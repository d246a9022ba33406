"""The writer of elements against lxml, an independent parser of XML and HTML."""

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from lxml import html as lxml_html

from itembank.notation.elements import HTML, Maker, Markup, written
from tests.notation.parsed import parsed

A, B = "urn:example:a", "urn:example:b"
a, b, h = Maker(A), Maker(B), Maker(HTML)

legal = st.text(
    st.characters(
        exclude_categories=["Cs"],
        exclude_characters=[*map(chr, range(0x20)), "\ufffe", "\uffff"],
    )
    | st.sampled_from("\t\n\r&<>\"']{"),
    max_size=30,
)


@settings(max_examples=200)
@given(text=legal, attribute=legal, tail=legal)
@example(text="]]>", attribute='"\r\n\t', tail="\r")
def test_text_and_attributes_come_back_as_they_went_in(text, attribute, tail):
    root = parsed(a("r", {"n": attribute}, a("c", text), tail))

    assert root.get("n") == attribute
    assert (root[0].text or "") == text
    assert (root[0].tail or "") == tail


def test_each_element_is_in_the_namespace_of_its_maker():
    root = parsed(a("r", b("x", a("y"), h("z")), a("z")))

    assert [e.tag for e in root.iter()] == [
        f"{{{A}}}r", f"{{{B}}}x", f"{{{A}}}y", "z", f"{{{A}}}z",
    ]  # fmt: skip


def test_attributes_keep_their_order_and_a_namespace_is_declared_once():
    assert written([a("r", {"z": "1", "a": "2"}, a("c", a("d")))]) == (
        '<r xmlns="urn:example:a" z="1" a="2"><c><d/></c></r>'
    )


def test_the_namespace_that_stands_around_is_not_declared_again():
    assert written([a("r", "x"), " & ", b("s")], A) == '<r>x</r> &amp; <s xmlns="urn:example:b"/>'


def test_markup_stands_as_it_is():
    assert written([a("r", Markup("<x>&amp;</x>"))], A) == "<r><x>&amp;</x></r>"


@pytest.mark.parametrize("content", [(7,), (None,), ("text", {"n": "1"})])
def test_what_is_neither_text_nor_element_is_refused(content):
    with pytest.raises(TypeError, match="expected text or an element"):
        written([a("r", *content)])


# ------------------------------------------------------------ HTML


def test_html_closes_what_html_closes():
    content = [h("p", "a < b", h("br"), h("sup", "2")), h("td"), h("hr", {"class": "x"}), " & c"]

    assert written(content) == ('<p>a &lt; b<br/><sup>2</sup></p><td></td><hr class="x"/> &amp; c')


def test_an_html_parser_finds_the_elements_again():
    page = h("p", "a < b", h("br"), h("i"), h("sup", {"title": '"&"'}, "2"), h("b", "c"))
    paragraph = lxml_html.fragment_fromstring(written([page]))

    assert [(e.tag, e.getparent().tag) for e in paragraph] == [
        (tag, "p") for tag in ("br", "i", "sup", "b")
    ]
    assert paragraph.text_content() == "a < b2c"
    assert paragraph.find("sup").get("title") == '"&"'


def test_a_style_sheet_is_raw_in_html_alone():
    css = "p > b { color: #000 } /* & */"

    assert written([h("style", css)]) == f"<style>{css}</style>"
    assert parsed(a("style", css)).text == css


@pytest.mark.parametrize("content", [("</style>",), ("p", h("b", "q"))])
def test_raw_text_that_would_end_its_element_or_is_none_is_refused(content):
    with pytest.raises(ValueError, match="style: expected text without '</'"):
        written([h("style", *content)])
