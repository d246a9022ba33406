"""What a document may hold: an allow-list of elements, their attributes and what stands in them.

What is not on the list might hide, restyle, replace or load something, and a student would see
another question than the one judged here.  So it is not passed over: the item is unchecked, with
the place.  A list is a table from names to two strings:

    "outcomeDeclaration": ("identifier cardinality baseType normalMaximum=[0-9]+ ?", ...)

Attributes by name, each needed unless its name ends with "?"; after "=" the pattern of its values.
What stands inside: "" nothing; "a b? c+" elements in this order; "{a b}" any of these; "#" text,
"#{a b}" text with any of these in it, "#[0-9]+" text of this pattern.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from itembank.audit.xml import Element, local_name

XML = "{http://www.w3.org/XML/1998/namespace}"
MATHML = "http://www.w3.org/1998/Math/MathML"

LOCATED = frozenset([
    "{http://www.w3.org/2001/XMLSchema-instance}schemaLocation",
    "{http://www.w3.org/2001/XMLSchema-instance}noNamespaceSchemaLocation",
])  # fmt: skip
"""Where the schema of a document is: it changes nothing that is shown or graded."""

Table = dict[str, tuple[str, str]]


@dataclass(frozen=True)
class Shape:
    """One element.  `some`: the tags that may stand in it; `order`: the pattern of their names.

    `text`: words may stand in it; `written`: the pattern of them where they are all that does.
    """

    attributes: Mapping[str, re.Pattern[str] | None]
    needed: tuple[str, ...]
    text: bool
    written: re.Pattern[str] | None
    some: frozenset[str]
    order: re.Pattern[str] | None


Shapes = Mapping[str, Shape]
"""By tag."""


HIDDEN = re.compile(
    "[\u00ad\u034f\u115f\u1160\u17b4\u17b5\u180b-\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f"
    "\u2800\u3164\ufe00-\ufe0f\ufeff\uffa0\ufff0-\uffff\U000e0000-\U000e0fff\ue000-\uf8ff"
    "\u0300-\u036f\u1ab0-\u1aff\u1dc0-\u1dff\u20d0-\u20ff\ufe20-\ufe2f\u0000-\u0008\u000b"
    "\u000c\u000e-\u001f\u007f-\u009f]"
)
"""Characters that show nothing, turn the order of others, or are set over the one before."""


# ------------------------------------------------------------ tables read


def shapes(table: Table, namespace: str = "", math: str = MATHML) -> dict[str, Shape]:
    """The shapes of a table whose names are of one namespace, but for `math`."""

    def tag(name: str) -> str:
        own = math if name == "math" else namespace
        return f"{{{own}}}{name}" if own else name

    return {tag(name): shape(*told, tag) for name, told in table.items()}


def in_order(inside: str) -> re.Pattern[str]:
    """What the names of children fulfil, each with a blank after it."""
    return re.compile(re.sub(r"([\w-]+)", r"(?:\1[ ])", inside), re.VERBOSE)


def shape(attributes: str, inside: str, tag: Callable[[str], str]) -> Shape:
    known: dict[str, re.Pattern[str] | None] = {}
    needed = []
    for part in attributes.split():
        name, _, values = part.partition("=")
        key = name.rstrip("?").replace("xml:", XML)
        known[key] = re.compile(values) if values else None
        if not name.endswith("?"):
            needed.append(key)
    text, inside = inside.startswith("#"), inside.removeprefix("#")
    mixed = inside.startswith("{")
    names = re.findall(r"[\w-]+", inside) if mixed or not text else []
    order = None if mixed or text else in_order(inside)
    written = re.compile(inside) if text and inside and not mixed else None
    return Shape(known, tuple(needed), text, written, frozenset(map(tag, names)), order)


# ------------------------------------------------------------ documents held against them


def strange(root: Element, known: Shapes) -> Iterator[str]:
    """What is not on the list, each with its place."""
    for element in root.iter():
        shape = known.get(element.tag)
        if shape is None:
            yield f"{place(element)}, which is not read here"
            continue
        attributes = element.attrib
        if attributes or shape.needed:
            yield from strange_attributes(element, dict(attributes), shape)
        if len(element):
            yield from strange_inside(element, shape)
        elif shape.order is not None and not shape.order.fullmatch(""):
            yield f"{place(element)} without what belongs in it"
        text = element.text
        if shape.written is not None:
            if not shape.written.fullmatch((text or "").strip()):
                yield f"{place(element)}: the text '{(text or '').strip()[:40]}'"
        elif text:
            yield from strange_text(text, element, shape.text)


def strange_attributes(
    element: Element, attributes: Mapping[str, str], shape: Shape
) -> Iterator[str]:
    known = shape.attributes
    for name, value in attributes.items():
        if name not in known:
            if name not in LOCATED:
                yield f"{place(element)}: the attribute {name.rpartition('}')[2]}"
        elif (values := known[name]) is not None and not values.fullmatch(value):
            yield f"{place(element)}: {name.rpartition('}')[2]} '{value[:40]}'"
        elif not value.isascii() and (hidden := HIDDEN.search(value)):
            yield f"{place(element)}: {name.rpartition('}')[2]} with U+{ord(hidden[0]):04X}"
    for name in shape.needed:
        if name not in attributes:
            yield f"{place(element)} without {name.rpartition('}')[2]}"


def strange_inside(element: Element, shape: Shape) -> Iterator[str]:
    for child in element:
        if child.tag not in shape.some:
            yield f"{place(child)}, which is not read there"
        if tail := child.tail:
            yield from strange_text(tail, element, shape.text)
    if shape.order is not None:
        found = "".join(f"{local_name(child)} " for child in element)
        if not shape.order.fullmatch(found):
            yield f"{place(element)} with {found.strip()[:100].replace(' ', ', ')} in this order"


def strange_text(text: str, element: Element, allowed: bool) -> Iterator[str]:
    """Words where there are none, and characters that software reads and nobody sees."""
    if not allowed:
        if not text.isspace():
            yield f"{place(element)}: the text '{text.strip()[:40]}'"
    elif not text.isascii() and (hidden := HIDDEN.search(text)):
        before = " ".join(text[max(0, hidden.start() - 20) : hidden.start()].split())
        yield f"{place(element)}: the character U+{ord(hidden[0]):04X} after '{before}'"


def place(element: Element) -> str:
    """Where an element stands: "itemBody/p[2]/span"; of a comment, what it stands in."""
    if not isinstance(element.tag, str):
        parent = element.getparent()
        return f"{place(parent) if parent is not None else ''}: a comment or an instruction"
    steps = [step(e) for e in (element, *element.iterancestors())]
    return "/".join(reversed(steps[: max(1, len(steps) - 1)]))


def step(element: Element) -> str:
    """The name, with its number among those of its name beside it."""
    before = sum(1 for _e in element.itersiblings(element.tag, preceding=True))
    after = next(element.itersiblings(element.tag), None)
    return local_name(element) + (f"[{before + 1}]" if before or after is not None else "")
