"""Items and tests of QTI 3.0, told in the names of QTI 2 and read as such.

3.0 names every element of its own qti-..., with words joined by hyphens, and leaves the names
of _HTML and MathML as they are; what the elements mean is as in 2.2, but for a qti-content-body
within feedback.  An element that is none of these is Unsupported: a reader of 3.0 does not
know it either.

Source: 1EdTech Question & Test Interoperability ASI Information Model 3.0, and Migration
Guide 3.0 from 2.x (names of elements and attributes).
"""

from functools import lru_cache

from lxml import etree

from itembank.audit import qti2
from itembank.audit.seen import SeenItem
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import Element, local_name
from itembank.values.worded import worded

PREFIX = "qti-"

NAMESPACE = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"

_HTML = frozenset([
    "a", "abbr", "address", "article", "b", "bdi", "bdo", "blockquote", "br", "caption", "cite",
    "code", "col", "colgroup", "dd", "dfn", "div", "dl", "dt", "em", "figcaption", "figure", "h1",
    "h2", "h3", "h4", "h5", "h6", "hr", "i", "kbd", "label", "li", "ol", "p", "pre", "q", "samp",
    "section", "small", "span", "strong", "sub", "sup", "table", "tbody", "td", "tfoot", "th",
    "thead", "tr", "tt", "ul", "var",
])  # fmt: skip
"""The _HTML of an item that is read; pictures and embedded media are not."""

_UNWRAPPED = {"qti-content-body": "div"}
"""What 2.x has no element for."""


def seen_item(root: Element) -> SeenItem:
    """The item; Unsupported if it uses what is not read."""
    return qti2.seen_item(in_names_of_2(root))


def in_names_of_2(root: Element) -> Element:
    """The document of 3.0, its own elements renamed in place to those of 2.x."""
    for element in root.iter(f"{{{NAMESPACE}}}*"):
        _rename(element, local_name(element))
    etree.cleanup_namespaces(root)  # of the names that nothing has any more
    return root


def _rename(element: Element, name: str) -> None:
    if name in _UNWRAPPED:
        element.tag = _UNWRAPPED[name]
    elif name.startswith(PREFIX):
        element.tag = _joined(name.removeprefix(PREFIX))
        for attribute in list(map(str, element.attrib)):
            if "-" in attribute and not attribute.startswith(("{", "data-", "aria-")):
                element.set(_joined(attribute), element.attrib.pop(attribute))
    elif name in _HTML:
        element.tag = name
    else:
        raise Unsupported(worded("the element {name}", name=name[:40]))


@lru_cache(maxsize=1_024)
def _joined(name: str) -> str:
    """A hyphenated name in the style of 2.x.

    >>> _joined("response-else-if")
    'responseElseIf'
    """
    first, *others = name.split("-")
    return first + "".join(word.capitalize() for word in others)
