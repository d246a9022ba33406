"""Elements as an independent parser reads them."""

from lxml import etree

from itembank.notation.elements import Child, Element, written


def parsed(element: Element) -> etree._Element:
    return etree.fromstring(written([element]))


def source(*content: Child) -> str:
    """The characters as they stand within an element without a namespace, hard spaces as ~."""
    return written(content).replace("\N{NO-BREAK SPACE}", "~")
