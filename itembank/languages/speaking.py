"""Rendering what is said in a language.

A template is translated and parsed once for each language: sentences into pieces,
formulas into trees whose slots are letters of a private range (`Shape`). To say it again is to
fill the slots. Filling folds what the reader of formulas would have folded: `a + {b}` with
b = -5 is a - 5, `{a}x` with a = 1 is x, a chain spliced into a chain is one chain.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from numbers import Rational
from string import Formatter
from typing import TYPE_CHECKING, Any, cast, get_args

from itembank.languages.catalogue import (
    ENGLISH,
    in_halves,
    joints,
    last_joint,
    number_word,
    translated,
)
from itembank.languages.lettering import names_of_fields, relettered
from itembank.languages.saying import (
    BREAK,
    Authored,
    Cell,
    Each,
    Either,
    Grid,
    Lead,
    Said,
    Shown,
    Slot,
    Spelled,
    Telling,
    Told,
)
from itembank.languages.styling import nearest_to_zero, styled
from itembank.notation import layout, plain
from itembank.notation.building import number
from itembank.notation.reading import SLOTS, formula_with_slots
from itembank.notation.tree import (
    Block,
    Blocks,
    Display,
    Formula,
    Group,
    Inline,
    Inlines,
    Letter,
    Listing,
    Math,
    Minus,
    Number,
    Paragraph,
    Product,
    Relation,
    Strong,
    Sum,
    Table,
    Words,
)
from itembank.values.course import Notation

if TYPE_CHECKING:
    from fractions import Fraction

_SHAPES = 4096
"""The templates held parsed at one time."""

_SPACES = re.compile(r"\s+")
_STRONG = re.compile(r"\*\*(.+?)\*\*")
_PARTED = re.compile(f"([{SLOTS[0]}-{SLOTS[-1]}])")


_STANDARD = Notation()

_NODES = frozenset(get_args(Math))

_ANSWER = "Answer."
"""The heading under which a worked solution names its answer."""


class Speaker:
    """Renders messages in a language, which a catalogue has.

    >>> from itembank.languages.saying import say
    >>> Speaker().text(say("$x ≡ {a} (mod {m})$ is one of {n}.", a=-3, m=7, n=2))
    'x ≡ −3 (mod 7) is one of 2.'
    """

    def __init__(self, language: str = ENGLISH, notation: Notation = _STANDARD) -> None:
        """`notation` is how blocks write congruences, and what residues stand under "Answer."."""
        self.language = language
        self.notation = notation

    # ---------------------------------------------------------- messages

    def inlines(self, said: Said) -> Inlines:
        """The message as a line of prose; texts that follow each other are one."""
        template = translated(self.language, said.template, said.plural, said.n)
        values = _relettered_values(said) if said.letters else dict(said.slots)
        found: list[Inline] = []
        text = ""
        for piece in shape(template, said.letters):
            if type(piece) is str:
                text += piece
                continue
            inlines: Iterable[Inline] = ()
            if type(piece) is Place:
                value = values[piece.name]
                if type(value) is int:
                    text += str(value)
                    continue
                inlines = self._in_a_sentence(value)
            else:
                if text:
                    found.append(text)
                    text = ""
                found.append(
                    Formula(piece.filled(self.formulas(values, piece.names)))
                    if type(piece) is Part
                    else cast(Strong, piece)
                )
            for inline in inlines:
                if isinstance(inline, str):
                    text += inline
                    continue
                if text:
                    found.append(text)
                    text = ""
                found.append(inline)
        if text:
            found.append(text)
        return tuple(found)

    def text(self, said: Said) -> str:
        """The message in plain Unicode."""
        found = self.inlines(said)
        if len(found) == 1 and isinstance(found[0], str):
            return found[0]
        return plain.inlines(found)

    def halves(self, points: "int | Fraction") -> str:
        """Points in a cell of a table: 2, 1½."""
        return in_halves(self.language, points)

    def formulas(self, values: Mapping[str, Slot], names: tuple[str, ...]) -> list[Math]:
        found: list[Math] = []
        for name in names:
            value = values[name]
            found.append(number(value) if type(value) is int else self.formula(name, value))
        return found

    def formula(self, name: str, value: Slot) -> Math:
        """What fills a slot of a formula."""
        if type(value) in _NODES:
            return cast(Math, value)
        if isinstance(value, int):
            return Number(value)
        if isinstance(value, str | tuple | Rational | Each | Either | Spelled):
            raise TypeError(f"slot {name}: expected a number or a formula, got {value!r}")
        return value

    def _in_a_sentence(self, value: Slot) -> Iterator[Inline]:
        """What fills a slot between words."""
        match value:
            case int():
                yield str(value)
            case Rational():  # a half; fractions would load decimal
                yield in_halves(self.language, cast("Fraction", value))
            case str():
                yield value
            case tuple():
                yield from value
            case Spelled(n):
                yield number_word(self.language, n)
            case Each(items):
                yield from self.listed(items, "standard")
            case Either(items):
                yield from self.listed(items, "or")
            case _:
                yield Formula(value)

    def listed(self, items: tuple[Math, ...], style: str) -> Iterator[Inline]:
        """a, b and c: numbers as digits of the sentence, the rest as formulas."""
        for i, item in enumerate(items):
            if 0 < i < len(items) - 1:
                yield joints(self.language, style)[0]
            elif i > 0:
                yield last_joint(self.language, style, item)
            yield str(item.value) if isinstance(item, Number) else Formula(item)

    # ---------------------------------------------------------- blocks

    def blocks(self, telling: Telling) -> Blocks:
        """Headings, sentences, displays, tables: sentences that follow each other make one
        paragraph, which a heading begins."""
        if self.notation == _STANDARD:
            return tuple(self.arranged(telling))
        return styled(tuple(self.answered(telling)), self.notation, self.row)

    def answered(self, telling: Telling) -> Iterator[Block]:
        """The blocks, with the residues of the notation in what stands under the answer."""
        answer: list[Told] = []
        others: list[Told] = []
        for told in telling:
            if isinstance(told, Lead) and (answer or told.said.template == _ANSWER):
                yield from self.arranged(others)
                yield from self.symmetric(answer)
                answer, others = [], []
            if answer or (isinstance(told, Lead) and told.said.template == _ANSWER):
                answer.append(told)
            else:
                others.append(told)
        yield from self.arranged(others)
        yield from self.symmetric(answer)

    def symmetric(self, answer: Telling) -> Blocks:
        blocks = tuple(self.arranged(answer))
        return nearest_to_zero(blocks) if self.notation.residues == "symmetric" else blocks

    def arranged(self, telling: Telling) -> Iterator[Block]:
        heading: Said | None = None
        sentences: list[Inlines] = []
        for told in telling:
            if isinstance(told, Said):
                sentences.append(self.inlines(told))
                continue
            if sentences or heading:
                yield self.paragraph(sentences, heading)
                sentences, heading = [], None
            if isinstance(told, Lead):
                heading = told.said if told.said.template or told != BREAK else None
            else:
                yield self.block(told)
        if sentences or heading:
            yield self.paragraph(sentences, heading)

    def paragraph(self, sentences: list[Inlines], heading: Said | None) -> Paragraph:
        content: list[Inline] = []
        for sentence in filter(None, sentences):
            if content:
                add(content, " ")
            add(content, sentence[0])
            content += sentence[1:]
        return Paragraph(tuple(content), self.text(heading) if heading else "")

    def block(self, told: Told) -> Block:
        match told:
            case Grid(head, rows, row_heads):
                return Table(
                    tuple(map(self.cell, head)),
                    tuple(tuple(map(self.cell, row)) for row in rows),
                    row_heads,
                )
            case Shown(rows):
                return Display(tuple(map(self.row, rows)))
            case Authored():
                return Paragraph((told.text(self.language),))
            case Said() | Lead():
                raise TypeError("a sentence or a heading is part of a paragraph")
        return told

    def row(self, row: Said | Math) -> Math:
        """A line of a display: a formula, or formulas with words between them."""
        if not isinstance(row, Said):
            return row
        parts = [p.math if isinstance(p, Formula) else str(p).strip() for p in self.inlines(row)]
        return parts[0] if len(parts) == 1 and isinstance(parts[0], Math) else Words(tuple(parts))

    def cell(self, cell: Cell) -> Inlines:
        if type(cell) is int:
            return _number_cell(cell)
        if isinstance(cell, Said):
            return self.inlines(cell)
        if isinstance(cell, str):
            return (cell,) if cell else ()
        return (Formula(number(cell) if isinstance(cell, int) else cell),)


@lru_cache(maxsize=_SHAPES)
def _number_cell(n: int) -> Inlines:
    """A number in a table, where the same ones come again and again."""
    return (Formula(number(n)),)


def _relettered_values(said: Said) -> dict[str, Slot]:
    """What fills the slots, in the letters of the message."""
    letters = dict(said.letters)
    return {name: relettered(value, letters) for name, value in said.slots}


def add(line: list[Inline], inline: Inline) -> None:
    """Put an inline at the end of a line; texts that follow each other are one."""
    if isinstance(inline, str):
        if not inline:
            return
        if line and isinstance(last := line[-1], str):
            line[-1] = last + inline
            return
    line.append(inline)


# ------------------------------------------------------------ templates, parsed once


@dataclass(frozen=True)
class Place:
    """A slot between words."""

    name: str


@dataclass(frozen=True)
class Part:
    """A formula: what gives its tree from what fills its slots, in the order of `names`."""

    names: tuple[str, ...]
    filled: Callable[[list[Math]], Math]


Shape = tuple[str | Strong | Place | Part, ...]


@lru_cache(maxsize=_SHAPES)
def shape(template: str, letters: tuple[tuple[str, str], ...]) -> Shape:
    """A template parsed; ValueError for one that cannot be, which is a fault of its author."""
    names, text = _numbered(template)
    pieces = _SPACES.sub(" ", text).strip().split("$")
    if len(pieces) % 2 == 0:
        raise ValueError(f'{template!r}: expected "$" in pairs')
    found: list[str | Strong | Place | Part] = []
    for i, piece in enumerate(pieces):
        if i % 2:
            found.append(_part(piece, names, dict(letters)))
        else:
            found.extend(_words(piece, names))
    return tuple(found)


def _numbered(template: str) -> tuple[tuple[str, ...], str]:
    """The names of the slots, and the template with a private letter for each."""
    names: dict[str, str] = {}
    text = ""
    for literal, name, spec, conversion in Formatter().parse(template):
        if spec or conversion or name == "":
            raise ValueError(f"{template!r}: expected a slot to be a name alone")
        text += literal
        if name is not None:
            text += names.setdefault(name, SLOTS[len(names)])
    return tuple(names), text


def slot_names(template: str) -> frozenset[str]:
    """The names of the slots of a template."""
    return frozenset(_numbered(template)[0])


def _words(text: str, names: tuple[str, ...]) -> Iterator[str | Strong | Place]:
    for j, run in enumerate(_STRONG.split(text)):
        if j % 2:
            yield Strong(run)
            continue
        for token in _PARTED.split(run):
            if token and token in SLOTS:
                yield Place(names[SLOTS.index(token)])
            elif token:
                yield token


def _part(text: str, names: tuple[str, ...], letters: Mapping[str, str]) -> Part:
    slots = tuple(dict.fromkeys(c for c in text if c in SLOTS))
    tree = formula_with_slots(text)
    if letters:
        tree = relettered(tree, letters)
    return Part(
        tuple(names[SLOTS.index(c)] for c in slots),
        _compiled(tree, {c: i for i, c in enumerate(slots)}),
    )


# ------------------------------------------------------------ filling

_Fill = Callable[[list[Math]], Math]


def _compiled(tree: Math, slots: Mapping[str, int]) -> _Fill:
    """What makes the tree from what fills its slots."""
    if isinstance(tree, Letter) and tree.name in slots:
        place = slots[tree.name]
        return lambda values: values[place]
    if not _any_slot(tree, slots):
        return lambda _values: tree
    return _filler(tree, slots)


def _any_slot(node: object, slots: Mapping[str, int]) -> bool:
    if isinstance(node, Letter):
        return node.name in slots
    if isinstance(node, tuple):
        return any(_any_slot(part, slots) for part in node)
    return isinstance(node, Math) and any(_any_slot(v, slots) for v in _parts(node))


def _filler(tree: Math, slots: Mapping[str, int]) -> _Fill:
    match tree:
        case Sum(terms):
            signed = [(sign, _compiled(term, slots)) for sign, term in terms]
            return lambda values: _summed([(sign, fill(values)) for sign, fill in signed])
        case Minus(term):
            inside = _compiled(term, slots)
            return lambda values: _negated(inside(values))
        case Product(factors, dot):
            each_of = [_compiled(factor, slots) for factor in factors]
            return lambda values: _multiplied([fill(values) for fill in each_of], dot)
        case Relation(sides, signs):
            fills = [_compiled(side, slots) for side in sides]
            if len(fills) == 2:
                left, right = fills
                return lambda values: _chained([left(values), right(values)], signs)
            return lambda values: _chained([fill(values) for fill in fills], signs)
        case Listing(items):
            fills = [_compiled(item, slots) for item in items]
            return lambda values: Listing(tuple(_spliced([fill(values) for fill in fills])))
    return _plainly(tree, slots)


def _plainly(tree: Math, slots: Mapping[str, int]) -> _Fill:
    """A node whose parts are filled each for itself."""
    cls: Callable[..., Math] = type(tree)
    fills = [_filled_field(value, slots) for value in _parts(tree)]
    if len(fills) == 2:
        first, second = fills
        return lambda values: cls(first(values), second(values))
    return lambda values: cls(*[fill(values) for fill in fills])


def _filled_field(value: object, slots: Mapping[str, int]) -> Callable[[list[Math]], Any]:
    if isinstance(value, tuple):
        fills = [_filled_field(item, slots) for item in value]
        return lambda values: tuple(_spliced([fill(values) for fill in fills]))
    if isinstance(value, Math):
        return _compiled(value, slots)
    return lambda _values: value


def _parts(node: Math) -> list[Any]:
    return [getattr(node, name) for name in names_of_fields(type(node))]  # type: ignore[arg-type]


def _summed(terms: list[tuple[int, Math]]) -> Math:
    """The sum, its signs folded, an inner sum after a plus spliced."""
    found: list[tuple[Any, Math]] = []
    for sign, term in terms:
        match term:
            case Sum(inner) if sign == 1:
                found += inner
            case Number(value) if value < 0:
                found.append((-sign, Number(-value)))
            case Minus(inside):
                found.append((-sign, inside))
            case Sum():
                found.append((sign, Group(term)))
            case _:
                found.append((sign, term))
    return Sum(tuple(found))


def _negated(term: Math) -> Math:
    match term:
        case Number(value):
            return Number(-value)
        case Minus(inside):
            return inside
        case Sum():
            return Minus(Group(term))
    return Minus(term)


def _multiplied(factors: list[Math], dot: bool) -> Math:
    """The product: a leading sign goes before it, a leading 1 is dropped before a letter.

    Factors that cannot stand side by side get a dot.
    """
    first, *others = factors
    if isinstance(first, Minus) or (isinstance(first, Number) and first.value < 0):
        return Minus(_multiplied([_negated(first), *others], dot))
    if not dot and first == Number(1) and layout.part_clearly(first, others[0]):
        factors = others
    dot = dot or not all(map(layout.part_clearly, factors, factors[1:]))
    flat = [f for factor in factors for f in _factors_within(factor, dot)]
    return Product(tuple(flat), dot) if len(flat) > 1 else flat[0]


def _factors_within(factor: Math, dot: bool) -> tuple[Math, ...]:
    """What a factor adds to a product that is joined as it is itself: its own factors."""
    if isinstance(factor, Product) and factor.dot == dot:
        return factor.factors
    return (factor,)


def _chained(sides: list[Math], signs: tuple[str, ...]) -> Math:
    """A chain of relations; one that stands for a side becomes a part of it."""
    if not any(type(side) is Relation for side in sides):
        return Relation(tuple(sides), signs)
    found: list[Math] = []
    all_signs: list[str] = []
    for i, side in enumerate(sides):
        if i:
            all_signs.append(signs[i - 1])
        if isinstance(side, Relation):
            found += side.sides
            all_signs += side.signs
        else:
            found.append(side)
    return Relation(tuple(found), tuple(all_signs))


def _spliced(items: list[Any]) -> Iterator[Any]:
    for item in items:
        if isinstance(item, Listing):
            yield from item.items
        else:
            yield item
