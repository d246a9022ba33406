"""Prose as XHTML elements, in the namespace of a host: QTI, HTML, or none.

Only elements that QTI 2.1 allows in an item's body and in modal feedback are
written: `p`, `div`, `strong`, `_table` and its parts.  Mathematics comes from a
dialect; `DIALECTS` is the table of them.

Several rows of a display are paragraphs of their own, one under another from the
same margin, in a `div` of class "display".  Each is a whole formula with its own
spoken form: no layout table, which a screen reader would announce and a platform
might rule, and no row that loses its meaning where styles are dropped.
"""

from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache

from itembank.languages.catalogue import ENGLISH, is_joined_by_sound
from itembank.notation import html, mathml, plain, tex
from itembank.notation.elements import Child, Element, Maker, Markup, written
from itembank.notation.shapes import Shapes
from itembank.notation.tree import (
    Block,
    Blocks,
    Display,
    Formula,
    Inlines,
    Math,
    Paragraph,
    Table,
)

Nodes = Callable[[Math, bool], list[Child]]
"""Mathematics of one dialect, in line (False) or on a line of its own (True)."""

_REMEMBERED = 4096
"""How many formulas are kept as they were written: most stand several times in an item."""

_DISPLAY = {"class": "display"}


def blocks(blocks: Blocks, e: Maker, nodes: Nodes) -> list[Element]:
    """One element a block."""
    return [block(b, e, nodes) for b in blocks]


def inlines(inlines: Inlines, e: Maker, nodes: Nodes) -> list[Child]:
    """Text and elements for a line of prose."""
    content: list[Child] = []
    for part in inlines:
        if isinstance(part, str):
            content.append(part)
        elif isinstance(part, Formula):
            content += nodes(part.math, False)
        else:
            content.append(e("strong", part.text))
    return content


def block(block: Block, e: Maker, nodes: Nodes) -> Element:
    match block:
        case Paragraph(content, lead):
            heading: list[Child] = [e("strong", lead), " "] if lead else []
            return e("p", *heading, *inlines(content, e, nodes))
        case Display((row,)):
            return e("p", _DISPLAY, *nodes(row, True))
        case Display(rows):
            return e("div", _DISPLAY, *(e("p", *nodes(row, False)) for row in rows))
        case Table():
            return _table(block, e, nodes)


def _table(block: Table, e: Maker, nodes: Nodes) -> Element:
    head = e("tr", *(_heading(cell, "col", e, nodes) for cell in block.head))
    rows = (e("tr", *_table_row(row, block.row_heads, e, nodes)) for row in block.rows)
    return e("table", e("thead", head), e("tbody", *rows))


def _table_row(
    cells: Sequence[Inlines], row_heads: bool, e: Maker, nodes: Nodes
) -> Iterator[Element]:
    for i, cell in enumerate(cells):
        if i == 0 and row_heads:
            yield _heading(cell, "row", e, nodes)
        else:
            yield e("td", *inlines(cell, e, nodes))


def _heading(cell: Inlines, scope: str, e: Maker, nodes: Nodes) -> Element:
    """A heading cell; an empty corner heads nothing."""
    if not cell:
        return e("td")
    return e("th", {"scope": scope}, *inlines(cell, e, nodes))


# -------------------------------------------------------------- dialects


def in_mathml(e: Maker, language: str = ENGLISH) -> Nodes:
    """MathML with its spoken form in the language."""
    held = _remembered if is_joined_by_sound(language) else _shaped
    return held(lambda node, display: [mathml.math(node, display, language=language)], e)


def in_html(e: Maker) -> Nodes:
    return _shaped(lambda node, display: html.nodes(node, e), e)


def _in_tex(e: Maker) -> Nodes:
    r"""TeX between \\( and \\), or \\[ and \\] on a line of its own."""

    def nodes(node: Math, display: bool) -> list[Child]:
        opening, closing = (r"\[", r"\]") if display else (r"\(", r"\)")
        return [opening + tex.math(node) + closing]

    return _remembered(nodes, e)


def _in_text(e: Maker) -> Nodes:
    return _remembered(lambda node, display: [plain.math(node)], e)


def _remembered(nodes: Nodes, e: Maker) -> Nodes:
    """The same mathematics, already written to stand in an element of the maker's namespace."""

    @lru_cache(maxsize=_REMEMBERED)
    def markup(node: Math, display: bool) -> Markup:
        return Markup(written(nodes(node, display), e.namespace))

    return lambda node, display: [markup(node, display)]


def _shaped(nodes: Nodes, e: Maker) -> Nodes:
    """As `_remembered`, for dialects that write digits as they are: a shape of formulas once."""

    def shapes(display: bool) -> Shapes:
        return Shapes(lambda node: written(nodes(node, display), e.namespace), _REMEMBERED)

    in_line, alone = shapes(False), shapes(True)
    return lambda node, display: [Markup((alone if display else in_line).written(node))]


DIALECTS: dict[str, Callable[[Maker, str], Nodes]] = {
    "mathml": in_mathml,
    "html": lambda e, _language: in_html(e),
    "tex": lambda e, _language: _in_tex(e),
    "text": lambda e, _language: _in_text(e),
}
"""The dialects, for a language: MathML says its formulas in words, the others do not."""
