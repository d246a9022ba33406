"""Documents and fragments, and what no package may hold."""

import pytest
from lxml import etree

from exporters.xml import around, fragment, serialised
from itembank.notation.elements import Maker
from itembank.values.errors import ExportError

A, B = "urn:example:a", "urn:example:b"
a, b = Maker(A), Maker(B)


def test_a_document_is_utf_8_and_says_so():
    data = serialised(a("r", {"n": "1"}, a("c"), "≡"), "here")

    assert (
        data
        == (
            '<?xml version="1.0" encoding="UTF-8"?>\n<r xmlns="urn:example:a" n="1"><c/>≡</r>'
        ).encode()
    )
    assert etree.fromstring(data)[0].tail == "≡"


def test_a_fragment_stands_within_an_element_of_its_namespace():
    assert fragment(a("r", b("s")), "here") == b'<r><s xmlns="urn:example:b"/></r>'


@pytest.mark.parametrize(
    ("character", "name"),
    [
        ("\0", "U+0000"),
        ("\x0b", "U+000B"),
        ("\x1f", "U+001F"),
        ("\ud800", "U+D800"),
        ("\ufffe", "U+FFFE"),
        ("\uffff", "U+FFFF"),
    ],
)
@pytest.mark.parametrize("where", ["text", "attribute"])
def test_characters_outside_xml_are_refused(character, name, where):
    text, attribute = (character, "") if where == "text" else ("", character)
    with pytest.raises(ExportError) as refused:
        serialised(a("r", {"n": attribute}, text), "qti21: item x")
    assert str(refused.value) == (
        f"qti21: item x: expected characters that XML 1.0 allows, got {name}"
    )


@pytest.mark.parametrize("element", [a("r", "a {{b"), a("r", {"n": "{{"})])
@pytest.mark.parametrize("write", [serialised, fragment, lambda e, where: around([e], where)])
def test_two_opening_braces_are_refused(element, write):
    with pytest.raises(ExportError) as refused:
        write(element, "cc13: item x")
    assert str(refused.value) == (
        'cc13: item x: expected no "{{" in the text (a reader takes it for a command)'
    )


def test_a_document_in_pieces_is_the_document_whole():
    shell = [a("r", {"n": "1"}, a("head")), a("list")]
    children = [a("i", "1"), a("i", b("j"))]
    before, after = around(shell, "")
    pieces = [before, *(fragment(child, "") for child in children), after]

    assert b"".join(pieces) == (serialised(a("r", {"n": "1"}, a("head"), a("list", *children)), ""))
