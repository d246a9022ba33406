"""Prose with formulas in it, and the blocks that are made of it.

A formula stands between dollar signs, words of weight between double asterisks:
`Find **all** solutions of $x^2 = 2 mod 7$.`
"""

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache

from itembank.notation.reading import formula_in_prose, shortened
from itembank.notation.tree import Display, Formula, Inline, Inlines, Paragraph, Strong, Table
from itembank.values.errors import StatementError
from itembank.values.worded import worded

_SPACE = re.compile(r"[ \t\r\n]+")
_STRONG = re.compile(r"\*\*(.+?)\*\*")


@lru_cache(maxsize=2048)
def prose(text: str) -> Inlines:
    """A line of prose with `$formulas$` and `**strong words**`; runs of blanks are one space.

    Raises StatementError for a formula that cannot be read or a `$` without its mate.
    """
    if "  " in text or not text.isprintable():
        text = _SPACE.sub(" ", text)
    pieces = text.split("$")
    if len(pieces) % 2 == 0:
        raise StatementError(
            worded(
                '"{shortened}": expected "$" in pairs, found {n}',
                shortened=shortened(text.strip()),
                n=len(pieces) - 1,
            )
        )
    content: list[Inline] = []
    for i, piece in enumerate(pieces):
        if i % 2:
            content.append(Formula(formula_in_prose(piece)))
        elif "**" in piece:
            content.extend(
                Strong(part) if j % 2 else part
                for j, part in enumerate(_STRONG.split(piece))
                if part
            )
        elif piece:
            content.append(piece)
    return tuple(content)


def paragraph(text: str, lead: str = "") -> Paragraph:
    """A paragraph of prose with its run-in heading: paragraph("...", "Split the modulus.")."""
    return Paragraph(prose(text.strip()), lead)


def display(*rows: str) -> Display:
    """Formulas on lines of their own, in plain notation."""
    return Display(tuple(map(formula_in_prose, rows)))


def table(head: Sequence[str], rows: Iterable[Sequence[str]], row_heads: bool = False) -> Table:
    """A table whose cells are prose.  Raises ValueError if a row is not as long as the head."""
    cells = tuple(tuple(prose(cell) for cell in row) for row in rows)
    for row in cells:
        if len(row) != len(head):
            raise ValueError(f"a row of {len(row)} cells under a head of {len(head)}")
    return Table(tuple(map(prose, head)), cells, row_heads)
