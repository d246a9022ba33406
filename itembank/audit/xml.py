"""Parsed elements: their names and children, whatever their namespace.

Namespaces of QTI differ by version and change nothing here; comments are no elements.
"""

from copy import deepcopy
from typing import TypeAlias

from lxml import etree

from itembank.audit.unsupported import Unsupported
from itembank.values.worded import worded

Element: TypeAlias = etree._Element

PARSER_OPTIONS = {
    "resolve_entities": False,
    "load_dtd": False,
    "no_network": True,
    "remove_comments": True,
    "remove_pis": True,
}


def local_name(element: Element) -> str:
    """The name without its namespace."""
    return str(element.tag).rpartition("}")[2]


def namespace_of(element: Element) -> str:
    """Its namespace, "" for none."""
    return str(element.tag).rpartition("}")[0].removeprefix("{")


def elements(parent: Element) -> list[Element]:
    """The child elements, without comments."""
    return [child for child in parent if isinstance(child.tag, str)]


def children(parent: Element, name: str) -> list[Element]:
    """The child elements of this name."""
    return list(parent.iterchildren(f"{{*}}{name}"))


def only(found: list[Element], what: str) -> Element:
    """The one element; Unsupported if there is another number."""
    if len(found) != 1:
        raise Unsupported(worded("{n} elements {what}, one is read", n=len(found), what=what))
    return found[0]


def one(element: Element) -> Element:
    """The only child element of an expression."""
    inside = elements(element)
    if len(inside) != 1:
        raise Unsupported(
            worded("{element} with {n} expressions", element=local_name(element), n=len(inside))
        )
    return inside[0]


def sent(element: Element) -> bytes:
    """An element of an XML document, alone, as it can be sent to another process."""
    return bytes(etree.tostring(element, encoding="UTF-8", with_tail=False))


def parsed(data: bytes) -> Element:
    """The element that was `sent`."""
    return etree.fromstring(data, etree.XMLParser(**PARSER_OPTIONS))


def alone(element: Element) -> Element:
    """An element without what is around it, as if it had been sent."""
    return element if element.getparent() is None else deepcopy(element)


_LANGUAGE = "{http://www.w3.org/XML/1998/namespace}lang"


def language_of(element: Element) -> str:
    """The language of an element, its own or that of the nearest around it.

    English where none is named: a platform would show it as it is.
    """
    return _language_named(element) or "en"


def _language_named(element: Element) -> str:
    """The same; "" where none is named."""
    for e in (element, *element.iterancestors()):
        tag = e.get(_LANGUAGE) or e.get("lang")
        if tag:
            return str(tag)
    return ""


def keep_language(element: Element) -> None:
    """Let an element name its language itself, so that it has it alone too."""
    if not (element.get(_LANGUAGE) or element.get("lang")) and (tag := _language_named(element)):
        element.set(_LANGUAGE, tag)
