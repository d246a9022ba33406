"""What a document may hold: an allow-list of elements, their attributes and what stands in them.

What is not on the list might hide, restyle, replace or load something, and a student would see
another question than the one judged here.  So it is not passed over: the item is unchecked, with
the place.  A list is a table from names to two strings:

    "outcomeDeclaration": ("identifier cardinality baseType normalMaximum=[0-9]+ ?", ...)

Attributes by name, each needed unless its name ends with "?"; after "=" the pattern of its values.
What stands inside: "" nothing; "a b? c+" elements in this order; "{a b}" any of these, "{a b}2" two
of them, "{a b}+" at least one; "#" text, "#{a b}" text with any of these in it, "#{a b}+" where
there must be something of either, "#[0-9]+" text of this pattern.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass
from itertools import chain

from lxml import etree

from itembank.audit.xml import Element, local_name
from itembank.values.worded import laid_out, worded

_XML = "{http://www.w3.org/XML/1998/namespace}"
MATHML = "http://www.w3.org/1998/Math/MathML"
_FORMULAS = frozenset(["math", f"{{{MATHML}}}math"])

_LOCATED = frozenset([
    "{http://www.w3.org/2001/XMLSchema-instance}schemaLocation",
    "{http://www.w3.org/2001/XMLSchema-instance}noNamespaceSchemaLocation",
])  # fmt: skip
"""Where the schema of a document is: it changes nothing that is shown or graded."""

Table = dict[str, tuple[str, str]]


@dataclass(frozen=True)
class Shape:
    """One element.  `some`: the tags that may stand in it; `order`: the pattern of their names.

    `text`: words may stand in it; `written`: the pattern of them where they are all that does.
    `filled`: it is not empty; `count`: how many elements stand in it, 0 for any number.
    """

    attributes: Mapping[str, re.Pattern[str] | None]
    needed: tuple[str, ...]
    text: bool
    written: re.Pattern[str] | None
    some: frozenset[str]
    order: re.Pattern[str] | None
    filled: bool = False
    count: int = 0


class Shapes(dict[str, Shape]):
    """Shapes by tag; and the formulas that were held against them, and hold nothing strange."""

    def __init__(self, *tables: Mapping[str, Shape]) -> None:
        super().__init__(chain.from_iterable(table.items() for table in tables))
        self.sound: set[bytes] = set()


HIDDEN = re.compile(
    "[\u00ad\u034f\u115f\u1160\u17b4\u17b5\u180b-\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f"
    "\u2800\u3164\ufe00-\ufe0f\ufeff\uffa0\ufff0-\uffff\U000e0000-\U000e0fff\ue000-\uf8ff"
    "\u0300-\u036f\u1ab0-\u1aff\u1dc0-\u1dff\u20d0-\u20ff\ufe20-\ufe2f\u0000-\u0008\u000b"
    "\u000c\u000e-\u001f\u007f-\u009f]"
)
"""Characters that show nothing, turn the order of others, or are set over the one before."""


# ------------------------------------------------------------ tables read


def shapes(table: Table, namespace: str = "", math: str = MATHML) -> Shapes:
    """The shapes of a table whose names are of one namespace, but for `math`."""

    def tag(name: str) -> str:
        own = math if name == "math" else namespace
        return f"{{{own}}}{name}" if own else name

    return Shapes({tag(name): _shape(*told, tag) for name, told in table.items()})


def _in_order(inside: str) -> re.Pattern[str]:
    """What the names of children fulfil, each with a blank after it."""
    return re.compile(re.sub(r"([\w-]+)", r"(?:\1[ ])", inside), re.VERBOSE)


def _shape(attributes: str, inside: str, tag: Callable[[str], str]) -> Shape:
    known: dict[str, re.Pattern[str] | None] = {}
    needed = []
    for part in attributes.split():
        name, _, values = part.partition("=")
        key = name.rstrip("?").replace("xml:", _XML)
        known[key] = re.compile(values) if values else None
        if not name.endswith("?"):
            needed.append(key)
    text, inside = inside.startswith("#"), inside.removeprefix("#")
    mixed = inside.startswith("{")
    inside, _, number = inside.partition("}") if mixed else (inside, "", "")
    names = re.findall(r"[\w-]+", inside) if mixed or not text else []
    order = None if mixed or text else _in_order(inside)
    written = re.compile(inside) if text and inside and not mixed else None
    some = frozenset(map(tag, names))
    count = int(number) if number.isdecimal() else 0
    return Shape(known, tuple(needed), text, written, some, order, bool(number), count)


# ------------------------------------------------------------ documents held against them


_KEPT = 8_192
"""How many sound formulas are kept; all are let go when there are more."""
_SHORT = 2_000
"""Bytes of a formula that is kept."""


def _unheard(_element: Element) -> bool:
    """Of no element it is known that all in it is on the list."""
    return False


def strange(
    root: Element, known: Shapes, sound: Callable[[Element], bool] = _unheard
) -> Iterator[str]:
    """What is not on the list, each with its place; `sound` tells which elements hold nothing such.

    The same formula stands in many places; what is strange in it depends on nothing around it.
    """
    waiting = [root]
    while waiting:
        element = waiting.pop()
        if element.tag in _FORMULAS:
            looks = _skeleton(element)
            if looks in known.sound:
                continue
            found = _strange_parts(element, known)
            yield from found
            if (
                not found
                and len(looks) <= _SHORT
                and not _strange_parts(_with_zeros(element), known)
            ):
                if len(known.sound) >= _KEPT:
                    known.sound.clear()
                known.sound.add(looks)
        else:
            yield from _strange_here(element, known)
            waiting += [e for e in element.iterchildren(reversed=True) if not sound(e)]


def _strange_parts(formula: Element, known: Shapes) -> list[str]:
    return [what for part in formula.iter() for what in _strange_here(part, known)]


def _with_zeros(formula: Element) -> Element:
    """A formula with 0 for each number."""
    copied = deepcopy(formula)
    for part in copied.iter():
        if local_name(part) == "mn" and _NUMBER.fullmatch(part.text or ""):
            part.text = "0"
    return copied


_SPOKEN = re.compile(rb' alttext="[^"&]*"')
_DIGITS = re.compile(rb"(?<=mn>)[0-9]+(?=</)")
_NUMBER = re.compile("[0-9]+")


def _skeleton(math: Element) -> bytes:
    """A formula without its numbers and what is spoken, none of which can be strange.

    Numbers may be any digits: where no two numbers side by side are the same with 0 for each, none
    are. Of what is spoken only plain characters are taken away.
    """
    data = etree.tostring(math, with_tail=False)
    return _DIGITS.sub(b"0", _SPOKEN.sub(b' alttext=""', data))


def _strange_here(element: Element, known: Shapes) -> Iterator[str]:
    """What is not on the list of one element, its children apart."""
    shape = known.get(element.tag)
    if shape is None:
        yield worded("{element}, which is not read here", element=place(element))
        return
    attributes = element.attrib
    if attributes or shape.needed:
        yield from _strange_attributes(element, dict(attributes), shape)
    if len(element):
        yield from _strange_inside(element, shape)
    elif shape.order is not None and not shape.order.fullmatch(""):
        yield worded("{element} without what belongs in it", element=place(element))
    if local_name(element) == "table" and _uneven(element):
        yield worded("{element} with rows that are not alike", element=place(element))
    text = element.text
    if shape.count and len(element) != shape.count:
        yield worded(
            "{element} with {n} parts, of {count}",
            element=place(element),
            n=len(element),
            count=shape.count,
        )
    elif shape.filled and not len(element) and not ((text and text.strip()) or _blank(element)):
        yield worded("{element}, which is empty", element=place(element))
    if shape.written is not None:
        if not shape.written.fullmatch((text or "").strip()):
            yield worded(
                "{element}: the text '{text}'",
                element=place(element),
                text=(text or "").strip()[:40],
            )
    elif text:
        yield from strange_text(text, element, shape.text)


def _strange_attributes(
    element: Element, attributes: Mapping[str, str], shape: Shape
) -> Iterator[str]:
    known = shape.attributes
    for name, value in attributes.items():
        if name not in known:
            if name not in _LOCATED:
                yield worded(
                    "{element}: the attribute {attribute}",
                    element=place(element),
                    attribute=name.rpartition("}")[2],
                )
        elif (values := known[name]) is not None and not values.fullmatch(value):
            yield laid_out(
                "{found}: {found_2} '{value}'",
                found=place(element),
                found_2=name.rpartition("}")[2],
                value=value[:40],
            )
        elif not value.isascii() and (hidden := HIDDEN.search(value)):
            yield worded(
                "{element}: {attribute} with U+{code}",
                element=place(element),
                attribute=name.rpartition("}")[2],
                code=format(ord(hidden[0]), "04X"),
            )
    for name in shape.needed:
        if name not in attributes:
            yield worded(
                "{element} without {what}", element=place(element), what=name.rpartition("}")[2]
            )


def _strange_inside(element: Element, shape: Shape) -> Iterator[str]:
    before = None
    for child in element:
        if child.tag not in shape.some:
            yield worded("{element}, which is not read there", element=place(child))
        if (
            before is not None
            and child.tag == before.tag
            and not shape.count
            and _twice(before, child)
        ):
            yield worded("{element}, the same as before it", element=place(child))
        before = child
        if tail := child.tail:
            yield from strange_text(tail, element, shape.text)
            before = None
    if shape.order is not None:
        found = "".join(f"{local_name(child)} " for child in element)
        if not shape.order.fullmatch(found):
            yield worded(
                "{element} with {content} in this order",
                element=place(element),
                content=found.strip()[:100].replace(" ", ", "),
            )


_ONCE = frozenset(
    ["p", "tr", "li", "strong", "i", "sup", "sub", "math", "mn", "mi", "mo", "mspace", "mrow"]
)
"""What does not stand twice side by side, with the same in it."""


def _twice(first: Element, second: Element) -> bool:
    """Whether the second of two elements side by side says again what the first says."""
    if local_name(first) not in _ONCE or len(first) != len(second) or first.text != second.text:
        return False
    return bool(etree.tostring(first, with_tail=False) == etree.tostring(second, with_tail=False))


def _blank(element: Element) -> bool:
    """Whether an element may be empty: a line to write on, and some cells of a table."""
    return element.get("class") == "line" or (local_name(element) == "td" and _unfilled(element))


def _unfilled(cell: Element) -> bool:
    """Whether a cell may be empty: a corner, and what a column begins with.

    In a table whose last column has no head, and tells why, any between the first and that one;
    in the table of a sheet the marks, which a grader writes.
    """
    row = cell.getparent()
    table = None if row is None else next(row.iterancestors("{*}table"))
    rows = [] if table is None else list(table.iter("{*}tr"))
    if table is not None and table.get("class") == "score":
        return row is rows[-1]
    if not rows or len({*map(len, rows)}) > 1:
        return False
    at, last = row.index(cell), len(row) - 1
    if row is rows[0] or at in (0, last):
        return row is rows[0] and at in (0, last)
    above = (other[at] for other in rows[1 : rows.index(row)])
    return _empty(rows[0][last]) or all(map(_empty, above))


def _empty(cell: Element) -> bool:
    return not len(cell) and not (cell.text or "").strip()


def _uneven(table: Element) -> bool:
    """Whether a table has rows of different numbers of cells."""
    return len({len(row) for row in table.iter("{*}tr")}) > 1


def strange_text(text: str, element: Element, allowed: bool) -> Iterator[str]:
    """Words where there are none, and characters that software reads and nobody sees."""
    if not allowed:
        if not text.isspace():
            yield worded(
                "{element}: the text '{text}'", element=place(element), text=text.strip()[:40]
            )
    elif not text.isascii() and (hidden := HIDDEN.search(text)):
        before = " ".join(text[max(0, hidden.start() - 20) : hidden.start()].split())
        yield worded(
            "{element}: the character U+{code} after '{before}'",
            element=place(element),
            code=format(ord(hidden[0]), "04X"),
            before=before,
        )


def place(element: Element) -> str:
    """Where an element stands: "itemBody/p[2]/span"; of a comment, what it stands in."""
    if not isinstance(element.tag, str):
        parent = element.getparent()
        return f"{place(parent) if parent is not None else ''}: a comment or an instruction"
    steps = [_step(e) for e in (element, *element.iterancestors())]
    return "/".join(reversed(steps[: max(1, len(steps) - 1)]))


def _step(element: Element) -> str:
    """The name, with its number among those of its name beside it."""
    before = sum(1 for _e in element.itersiblings(element.tag, preceding=True))
    after = next(element.itersiblings(element.tag), None)
    return local_name(element) + (f"[{before + 1}]" if before or after is not None else "")
