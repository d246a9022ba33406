"""Worked solutions, stems and feedback as lines of text, and what no line of them holds."""

from collections.abc import Iterator

from itembank.notation import plain
from itembank.notation.tree import Blocks, Display, Paragraph, Table

UNCLEAN = {
    "a factor 1": r"(?<![\d.,])1[a-z]\b",
    "a sign after a sign": r"[+−±-] [+−±-]|[+−] [−]",
    "a coefficient 0": r"(?<![\d.,])0[a-z]\b",
    "a dollar sign": r"\$",
    "two spaces": r"  ",
    "brackets within brackets": r"\(\(|\(\)",
}
"""Patterns by what is wrong with a line that they match, whatever the kind of problem."""


def lines(blocks: Blocks) -> Iterator[str]:
    """Every sentence, formula and cell as text."""
    for block in blocks:
        match block:
            case Paragraph(content, lead):
                yield lead
                yield plain.inlines(content)
            case Display(rows):
                yield from map(plain.math, rows)
            case Table(head, rows):
                for row in (head, *rows):
                    yield from map(plain.inlines, row)
