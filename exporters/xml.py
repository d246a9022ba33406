"""Documents and fragments of a package, from elements to bytes.

What a package may not hold is refused here, with the item's name: characters that XML
has not, and what a reader of packages would take for a command.  Tests read every
kind of text and attribute back with lxml.

Source: Extensible Markup Language (XML) 1.0, 5th edition: 2.2 (characters), 2.8 (prolog).
"""

from collections.abc import Sequence
from typing import cast

from itembank.notation.elements import Child, Element, Markup, written
from itembank.values.errors import ExportError
from itembank.values.worded import worded

XSI = "http://www.w3.org/2001/XMLSchema-instance"
LOM = "http://ltsc.ieee.org/xsd/LOM"

DECLARATION = '<?xml version="1.0" encoding="UTF-8"?>\n'

_CONTROLS = bytes(c for c in range(0x20) if c not in b"\t\n\r")

GAP = Markup("<?gap?>")


def serialised(element: Element, where: str) -> bytes:
    """The document of an element: UTF-8 with XML declaration, no byte order mark.

    Raises ExportError, beginning with `where`, for a character outside XML 1.0
    and for "{{", which one reader takes for a command.
    """
    return encoded(DECLARATION + written([element]), where)


def fragment(element: Element, where: str) -> bytes:
    """As `serialised`, for a child of an element of the same namespace: no declaration."""
    return encoded(written([element], element[0]), where)


def around(elements: Sequence[Element], where: str) -> tuple[bytes, bytes]:
    """The document of elements each within the one before, as it stands before and after a gap.

    The gap is at the end of the innermost; `fragment`s may be written into it one by one.
    """
    inner: Child = GAP
    for namespace, tag, content in reversed(elements):
        inner = (namespace, tag, (*content, inner))
    before, after = serialised(cast(Element, inner), where).split(GAP.encode())
    return before, after


def encoded(characters: str, where: str) -> bytes:
    """Their UTF-8; ExportError for what no package may hold."""
    try:
        data = characters.encode()
    except UnicodeEncodeError as error:
        raise _illegal(characters[error.start], where) from None
    if len(data.translate(None, _CONTROLS)) != len(data):
        raise _illegal(next(c for c in characters if ord(c) in _CONTROLS), where)
    for character in "\ufffe\uffff":
        if character in characters:
            raise _illegal(character, where)
    if "{{" in characters:
        raise ExportError(
            worded(
                '{where}: expected no "{{{{" in the text (a reader takes it for a command)',
                where=where,
            )
        )
    return data


def _illegal(character: str, where: str) -> ExportError:
    return ExportError(
        worded(
            "{where}: expected characters that XML 1.0 allows, got U+{ord}",
            where=where,
            ord=format(ord(character), "04X"),
        )
    )
