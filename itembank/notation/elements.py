"""Elements as calls, and the one place where they become characters.

    q = Maker("http://www.imsglobal.org/xsd/imsqti_v2p1")
    written([q("p", {"id": "a"}, "All ", q("strong", "least"), " residues.")], q.namespace)

An element is a plain tuple (namespace, tag, content); a first part that is a dict
holds the attributes.  Nothing changes an element once it is made, so that a dialect
may give the same one twice.  Writing needs neither parents nor search, and tuples
are built and written in about a fifth of the time that a library's elements take.
HTML is elements without a namespace, written as its parsers read them.  Which
characters a document may hold is for the writer of the document to say.

Source: Extensible Markup Language (XML) 1.0, 5th edition: 2.4 and 3.3.3 (what must
be escaped); Namespaces in XML 1.0; HTML Living Standard, 13.1.2 (void elements, raw
text).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from itembank.values.worded import Figure, Worded

HTML = ""
"""The namespace of HTML: none, as HTML parsers read it."""

_VOID = frozenset({"br", "hr", "img", "input", "link", "meta"})
"""The HTML elements without an end tag."""

_RAW = frozenset({"script", "style"})
"""The HTML elements whose text is not escaped."""


class Markup(str):
    """Elements already written for the place where they are put."""

    __slots__ = ()


Attributes = dict[str, str]
Content = tuple["Element | str | Attributes", ...]
Element = tuple[str, str, Content]
Child = Element | str


@dataclass(frozen=True)
class Maker:
    """Elements of one namespace: e(tag, {attributes}, *children).

    The attributes may be left out; they keep their order and, prefix included, their names.
    """

    namespace: str

    def __call__(self, tag: str, *content: Child | Attributes) -> Element:
        return self.namespace, tag, content


def written(content: Iterable[Child], outer: str = HTML) -> str:
    """The characters of elements and text that stand within an element of namespace `outer`."""
    out: list[str] = []
    _write(content, outer, out)
    return "".join(out)


def _write(content: Iterable[Child | Attributes], outer: str, out: list[str]) -> None:
    """Append what `written` is, in pieces."""
    child: Any
    for child in content:
        kind = type(child)
        if kind is tuple:
            _write_element(child, outer, out)
        elif kind is Markup:
            out.append(child)
        elif kind is str:
            out.append(_text(child))
        elif isinstance(child, Markup):
            out.append(child)
        elif isinstance(child, Worded | Figure):
            out.append(_text(str(child)))
        else:
            raise TypeError(f"expected text or an element, got {child!r:.40}")


def _write_element(element: Element, outer: str, out: list[str]) -> None:
    namespace, tag, content = element
    start = f"<{tag}" if namespace == outer else f'<{tag} xmlns="{namespace}"'
    if content and type(content[0]) is dict:
        for name, value in content[0].items():
            start += f' {name}="{value if value.isalnum() else _attribute_text(value)}"'
        content = content[1:]
    if not content:
        out.append(f"{start}/>" if namespace or tag in _VOID else f"{start}></{tag}>")
    elif namespace == HTML and tag in _RAW:
        out.append(f"{start}>{_raw_text(tag, content)}</{tag}>")
    elif len(content) == 1 and type(content[0]) is str:
        out.append(f"{start}>{_text(content[0])}</{tag}>")
    else:
        out.append(f"{start}>")
        _write(content, namespace, out)
        out.append(f"</{tag}>")


# ------------------------------------------------------------ characters


def _text(s: str) -> str:
    """Character data; a carriage return is escaped, or a parser would read a line feed."""
    if s.isalnum() or not ("&" in s or "<" in s or ">" in s or "\r" in s):
        return s
    s = s.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return s.replace("\r", "&#13;")


def _attribute_text(s: str) -> str:
    """As `_text`, with quotes; tab and line feed are escaped, or a parser would read spaces."""
    if s.isalnum():
        return s
    s = _text(s)
    return s.replace('"', "&quot;").replace("\t", "&#9;").replace("\n", "&#10;")


def _raw_text(tag: str, content: Content) -> str:
    """Text as it stands; ValueError for what would end the element, or is no text."""
    raw = "".join(part for part in content if isinstance(part, str))
    if "</" in raw or not all(isinstance(part, str) for part in content):
        raise ValueError(f"{tag}: expected text without '</'")
    return raw
