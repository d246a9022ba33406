"""A page of blocks, as a parser of HTML reads it."""

import pytest
from lxml import html

from itembank.notation.markup import DIALECTS
from itembank.notation.page import STYLE, document
from itembank.notation.prose import display, paragraph

BLOCKS = (paragraph("So $x < 2$ **exactly** when", "Bound."), display("x^2 = 4 mod 7"))


@pytest.mark.parametrize("dialect", DIALECTS)
def test_a_page_has_its_title_its_language_and_its_blocks(dialect):
    page = html.document_fromstring(document("a < b & c", BLOCKS, "en-GB", dialect))

    assert page.get("lang") == "en-GB"
    assert page.findtext("head/title") == "a < b & c"
    assert [(p.tag, p.get("class")) for p in page.find("body")] == [("p", None), ("p", "display")]
    assert [e.text for e in page.find("body").iter("strong")] == ["Bound.", "exactly"]


def test_a_page_begins_with_its_doctype_and_holds_its_styles():
    page = document("title", BLOCKS)

    assert page.startswith("<!DOCTYPE html>\n<html")
    assert html.document_fromstring(page).findtext("head/style") == STYLE
