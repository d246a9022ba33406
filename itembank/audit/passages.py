r"""Passages of markup, each read once for all that differ in their numbers alone.

Of the paragraphs of a package nineteen in twenty say what another says, with other numbers. Such a
passage is made ready when it is met for the second time, and then is not read again: its text is
what was read of the other, with its own numbers in their places, and it holds nothing strange if
the other holds none.

Why that is so. Places are the runs of digits 0 to 9 in the text of a passage, in what is spoken in
the stead of its formulas and in patterns of answers; what else stands there, each number in another
attribute or in the code of a character too, must be the same to be the same passage. (1) The
readers of `prose` pass digits on as they stand, and ask of a run of them only whether it is one: so
a passage is read with a mark, a run of digits too, in each place, and where a mark comes out, the
number comes out. TeX, whose readers take digits one by one, is read each time. (2) `shape` asks of
a text whether it is digits, of patterns nothing, and whether two elements side by side are the
same: so a passage is held against it with 0 in every place, and where no two are the same with 0,
they are not with other numbers.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from itertools import starmap
from operator import itemgetter
from typing import NamedTuple

from lxml import etree

from itembank.audit.filled import MARK, Filled, form, marks
from itembank.audit.phrases import Sayings
from itembank.audit.prose import (
    SKIPPED,
    Formula,
    Lines,
    Read,
    formulas_of,
    lines_of,
    text_of,
)
from itembank.audit.shape import Shapes, strange
from itembank.audit.speech import Agreement, Formulas, agreement
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import Element, local_name, namespace_of, parsed

KEPT = 2_048
"""How many passages are kept as they were read; all are let go when there are more."""
MET = 65_536
"""How many shapes of passages are known to have been met."""
LONGEST = 1_000
"""Bytes of a passage that is kept; longer ones come but once, in most packages.

A paragraph with formulas in MathML takes several times as many for what it says.
"""

_READ_EACH_TIME = (b"\\", b"mfenced", MARK)
"""TeX; brackets that are told by attributes; what could be taken for a mark."""

_DIGITS = re.compile(rb"[0-9]+")
_ZEROS = bytes.maketrans(b"123456789", b"000000000")
_TAG_OR_CODE = re.compile(rb"(<[^<>]*>|&[^&;<>]*;)")
_FREE = re.compile(rb' (?:alttext|pattern)="([^"]*)"')
_CODE = re.compile(rb"&[^;]*;")

_PARAGRAPHS = ("p", "div", "table", "ul", "ol")
"""What begins a line and ends one, by its name in an item."""

Span = tuple[int, int]
Reader = Callable[[bytes], Element]
"""What reads a passage from its bytes."""


class Known(NamedTuple):
    """What was read of a passage, whatever its numbers.

    `said`: its text, as students read it; `silent`: it has no lines. `parts`: the parts of its
    lines, each formula with what is spoken; `lines`: for each line, which of them are formulas.
    `formulas`: those that are marked, with what is spoken. `sound`: nothing in it is strange.
    `agreements`: by what puts signs for words, where formulas are spoken as they are shown.
    """

    said: Filled
    silent: bool
    parts: Filled
    lines: tuple[tuple[bool, ...], ...]
    formulas: Filled
    sound: bool
    agreements: dict[Sayings, Agreement | None]


_NOT_READ = Known(
    Filled(b"", ()), True, Filled(b"", ()), (), Filled(b"", ()), sound=True, agreements={}
)
"""Of what is no prose."""


_UNMET = object()
_Met = dict[object, Known | None]


class Passage(Formulas):
    """A passage with its numbers."""

    __slots__ = ("data", "known", "of_places", "spans")

    def __init__(self, data: bytes, known: Known, spans: tuple[Span, ...]) -> None:
        self.data = data
        self.known = known
        self.spans = spans
        self.of_places: list[bytes] | None = None

    def numbers(self) -> list[bytes]:
        if self.of_places is None:
            self.of_places = [self.data[start:end] for start, end in self.spans]
        return self.of_places

    def said(self) -> str:
        return self.known.said.with_numbers(self.numbers())[0]

    def lines(self) -> Lines:
        parts = iter(self.known.parts.with_numbers(self.numbers()))
        return tuple(
            tuple(Formula(next(parts), next(parts)) if formula else next(parts) for formula in line)
            for line in self.known.lines
        )

    def formulas(self) -> Iterator[Formula]:
        return starmap(Formula, self._told(self.numbers()))

    def _told(self, numbers: list[bytes]) -> Iterator[tuple[str, str]]:
        texts = iter(self.known.formulas.with_numbers(numbers))
        next(texts)
        return zip(texts, texts, strict=True)

    def agree(self, signs: Sayings) -> bool:
        agreements = self.known.agreements
        if signs not in agreements:
            n = len(self.spans)
            agreements[signs] = agreement(self._told(marks(n)), n, signs)
        known = agreements[signs]
        return known is not None and known.holds(self.numbers())


class Passages:
    """The passages that may stand in documents of one kind, as they were read."""

    def __init__(
        self,
        shapes: Shapes,
        reader: Reader,
        depth: int,
        prose: bool = True,
        longest: int = LONGEST,
    ) -> None:
        self.shapes = shapes
        self.reader = reader
        self.depth = depth
        """How deep a passage stands in what is read as a whole."""
        self.prose = prose
        """Whether passages are read; else they are held against the shapes alone."""
        self.longest = longest
        self.of_lengths: dict[bytes, tuple[Callable[[bytes], object], tuple[Span, ...], _Met]] = {}
        """By a passage with 0 for each digit: what must be as it stands, the places, and, by what
        is as it stands, what is known: this is sooner told than by 0 for each number."""
        self.layouts: dict[bytes, tuple[bool, ...]] = {}
        """By a passage with 0 for each number: of each, in order, whether it is a place."""
        self.known: dict[tuple[bytes, object], Known | None] = {}
        """By a passage with 0 for each number, and what must be as it stands."""
        self.shapes_met: set[int] = set()
        """By hash, each passage with 0 for each number that was met, once or more."""
        self.met = 0
        """How many are known so."""

    def passage(self, data: bytes) -> Passage | None:
        """A passage of markup with what is known of it; None for one to be read each time."""
        if len(data) > self.longest:
            return None
        zeros = data.translate(_ZEROS)
        where = self.of_lengths.get(zeros)
        if where is None:
            layout = self._layout_of(_DIGITS.sub(b"0", data))
            if layout is None:
                return None
            where = self.of_lengths[zeros] = (*_places(data, layout), {})
        fixed, spans, met = where
        key = fixed(data)
        known = met.get(key, _UNMET)
        if known is _UNMET:
            if self.met >= KEPT:
                self.of_lengths.clear()
                self.met = 0
            self.met += 1
            known = met[key] = self.read(data, key, spans)
        return Passage(data, known, spans) if isinstance(known, Known) else None

    def _layout_of(self, shape: bytes) -> tuple[bool, ...] | None:
        """The layout of a passage with 0 for each number; None for one that is met the first time:
        making ready takes as long as reading twice, which one that comes but once never gives back.
        """
        layout = self.layouts.get(shape)
        if layout is None and not self._is_new(hash(shape)):
            if len(self.layouts) >= KEPT:
                self.layouts.clear()
            layout = self.layouts[shape] = _layout(shape)
        return layout

    def _is_new(self, shape: int) -> bool:
        if shape in self.shapes_met:
            return False
        if len(self.shapes_met) >= MET:
            self.shapes_met.clear()
        self.shapes_met.add(shape)
        return True

    def read(self, data: bytes, fixed: object, spans: tuple[Span, ...]) -> Known | None:
        key = _DIGITS.sub(b"0", data), fixed
        if key not in self.known:
            if len(self.known) >= KEPT:
                self.known.clear()
            self.known[key] = self._read_anew(data, spans)
        return self.known[key]

    def _read_anew(self, data: bytes, spans: tuple[Span, ...]) -> Known | None:
        if not _whole_tags(data):
            return None
        zero = self.reader(_put(data, spans, [b"0"] * len(spans)))
        sound = not any(True for _what in strange(zero, self.shapes))
        if not self.prose:
            return _NOT_READ if sound else None
        if any(sign in data for sign in _READ_EACH_TIME):
            return None
        try:
            marked = self.reader(_put(data, spans, marks(len(spans))))
            lines, formulas = lines_of(marked, self.depth), tuple(formulas_of(marked))
        except Unsupported:
            return None
        parts = [
            text
            for part in (part for line in lines for part in line)
            for text in ((part,) if isinstance(part, str) else (part.text, part.spoken))
        ]
        spoken = [text for formula in formulas for text in (formula.text, formula.spoken)]
        if any("\0" in text for text in (*parts, *spoken)):
            return None
        return Known(
            said=form(text_of(lines)),
            silent=not lines,
            parts=form(*parts),
            lines=tuple(tuple(isinstance(part, Formula) for part in line) for line in lines),
            formulas=form("", *spoken),
            sound=sound,
            agreements={},
        )


class Branches:
    """Elements of these names that are no prose, each held against the shapes as a passage."""

    def __init__(self, shapes: Shapes, namespace: str, names: Iterable[str]) -> None:
        self.passages = Passages(shapes, parsed, depth=0, prose=False)
        self.tags = _tags(namespace, names)

    def sound(self, element: Element) -> bool:
        """Whether an element is such a passage, and holds nothing strange."""
        return element.tag in self.tags and self.passages.passage(_bytes_of(element)) is not None


def _tags(namespace: str, names: Iterable[str]) -> frozenset[str]:
    return frozenset(f"{{{namespace}}}{name}" if namespace else name for name in names)


class Document:
    """A document in XML, its paragraphs read as passages where they can be."""

    def __init__(self, root: Element, passages: Passages, branches: Branches) -> None:
        self.root = root
        self.passages = passages
        self.branches = branches
        self.tags = _tags(namespace_of(root), _PARAGRAPHS)
        self.found: dict[Element, Passage | None] = {}

    def passage(self, element: Element) -> Passage | None:
        """A paragraph, None for one that must be read as it stands."""
        if element not in self.found:
            self.found[element] = self.passages.passage(_bytes_of(element))
        return self.found[element]

    def _paragraphs(self, element: Element) -> list[Passage] | None:
        """The passages that all of the prose of an element stands in; None where it does not."""
        found = []
        for child in element:
            if child.tag in self.tags:
                passage = self.passage(child)
                if passage is None:
                    return None
                found.append(passage)
            elif local_name(child) not in SKIPPED:
                return None
        between = (element.text, *(child.tail for child in element))
        return None if any(text and not text.isspace() for text in between) else found

    def lines(self, element: Element) -> Lines:
        """As `prose.lines_of`."""
        found = self._paragraphs(element)
        if found is None:
            return lines_of(element)
        return tuple(line for passage in found for line in passage.lines())

    def said(self, element: Element) -> str:
        """As `prose.text_of` the lines."""
        found = self._paragraphs(element)
        if found is None:
            return text_of(lines_of(element))
        return "\n".join(passage.said() for passage in found if not passage.known.silent)

    def formulas(self) -> Iterator[Formulas]:
        """As `prose.formulas_of` the whole document."""
        for part in self.root:
            if part.tag in self.tags or not len(part) or part[0].tag not in self.tags:
                yield Formulas(partial(formulas_of, part))
                continue
            for child in part:
                passage = self.passage(child) if child.tag in self.tags else None
                yield passage or Formulas(partial(formulas_of, child))

    def sound(self, element: Element) -> bool:
        """Whether an element is a passage that holds nothing strange."""
        if element.tag in self.tags:
            passage = self.passage(element)
            return passage is not None and passage.known.sound
        return self.branches.sound(element)

    def once(self, element: Element) -> Read:
        """The prose of an element, when it is wanted, read the first time."""
        return Read(partial(self.lines, element), partial(self.said, element))


def _bytes_of(element: Element) -> bytes:
    return bytes(etree.tostring(element, encoding="UTF-8", with_tail=False))


def _put(data: bytes, spans: tuple[Span, ...], numbers: list[bytes]) -> bytes:
    """A passage with other numbers in its places."""
    out, at = [], 0
    for (start, end), number in zip(spans, numbers, strict=True):
        out += [data[at:start], number]
        at = end
    return b"".join((*out, data[at:]))


# ------------------------------------------------------------ places


def _layout(shape: bytes) -> tuple[bool, ...]:
    """Of each number of a passage, 0 here, whether it is a place; else it must be as it stands."""
    layout: list[bool] = []
    for piece in _TAG_OR_CODE.split(shape):
        if piece.startswith((b"<math", b"<patternMatch")):
            layout += _layout_of_tag(piece)
        elif n := piece.count(b"0"):
            layout += [not piece.startswith((b"<", b"&"))] * n
    return tuple(layout)


def _layout_of_tag(tag: bytes) -> Iterator[bool]:
    """The same of a tag with what is spoken in the stead of a formula, or with a pattern."""
    free = [found.span(1) for found in _FREE.finditer(tag)]
    codes = [found.span() for found in _CODE.finditer(tag)]
    for number in _DIGITS.finditer(tag):
        at = number.start()
        yield _within(at, free) and not _within(at, codes)


def _within(at: int, spans: list[Span]) -> bool:
    return any(start <= at < end for start, end in spans)


def _places(
    data: bytes, layout: tuple[bool, ...]
) -> tuple[Callable[[bytes], object], tuple[Span, ...]]:
    """What gives the digits that must be as they stand, and where the numbers are.

    Both depend on where digits are in a passage, and not on which.
    """
    found = [number.span() for number in _DIGITS.finditer(data)]
    fixed = (slice(*span) for span, free in zip(found, layout, strict=True) if not free)
    return (
        itemgetter(slice(0), slice(0), *fixed),
        tuple(span for span, free in zip(found, layout, strict=True) if free),
    )


def _whole_tags(data: bytes) -> bool:
    """Whether all is tags, codes and text; what HTML lets stand otherwise is read each time."""
    return b"<!" not in data and not any(
        sign in text for text in _TAG_OR_CODE.split(data)[::2] for sign in (b"<", b">", b"&")
    )
