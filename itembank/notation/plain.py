"""Two plain texts of a tree: Unicode for readers, ASCII that the reader reads back.

`math` gives `x² + 9x + 5 ≡ 0 (mod 117)`, with U+2212 for minus and raised digits
where an exponent is an integer.  `typed` gives `x^2 + 9x + 5 = 0 mod 117`: of a
tree that `reading.formula` made, `formula(typed(tree))` is the same tree.
`blocks` sets prose for a terminal.
"""

import re
from collections.abc import Callable, Sequence
from itertools import pairwise, zip_longest
from textwrap import TextWrapper
from typing import ClassVar

from itembank.notation import layout
from itembank.notation.reading import can_stand_side_by_side, split
from itembank.notation.signs import as_equality, relations_of
from itembank.notation.tree import (
    Block,
    Blocks,
    Call,
    Display,
    Dots,
    Factorial,
    Formula,
    Group,
    Inlines,
    Letter,
    Listing,
    Math,
    Minus,
    Modulo,
    Number,
    Paragraph,
    PlusMinus,
    Power,
    Product,
    Quotient,
    Relation,
    SetOf,
    Strong,
    Subscript,
    Sum,
    Symbol,
    Table,
    Words,
)
from itembank.values.errors import StatementError

WIDTH = 88
_SHORT = 29
"""The longest formula that is never broken over two lines of a paragraph."""
BESIDE = 12
"""The longest left side that stays beside its relation sign."""
_LONG = 40
"""A longer side is broken too: after the commas of a list, before the signs of a sum."""
_LONG_LIST = 60
"""The longest list that is never broken between its items, in a cell."""
_MANY_ITEMS = 6
"""A cell with so many commas holds a list."""
_INDENT = " " * 4
MINUS = "\N{MINUS SIGN}"
_RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
_LOWERED = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
NBSP = "\N{NO-BREAK SPACE}"
PUNCTUATION = frozenset(",.;:?!")


class _Unicode:
    """The formula as a reader meets it."""

    minus_sign = MINUS
    plus_minus_sign = "±"
    prime = "\N{PRIME}"
    dots_sign = "…"
    empty_set = "∅"

    def __init__(self) -> None:
        self.text_of: dict[type, Callable[..., str]] = {
            Number: self.number,
            Letter: self.letter,
            Sum: self.sum,
            Minus: self.minus,
            PlusMinus: self.plus_minus,
            Product: self.product,
            Quotient: self.quotient,
            Power: self.power,
            Subscript: self.subscript,
            Factorial: self.factorial,
            Group: self.group,
            Call: self.call,
            Symbol: self.symbol,
            Listing: self.listing,
            Dots: self.dots,
            SetOf: self.set_of,
            Relation: self.relation,
            Modulo: self.modulo,
            Words: self.words,
        }

    def math(self, node: Math) -> str:
        return self.text_of[type(node)](node)

    def commas(self, nodes: Sequence[Math]) -> str:
        return ", ".join(map(self.math, nodes))

    # ---------------------------------------------------------- atoms

    def number(self, node: Number) -> str:
        return str(node.value) if node.value >= 0 else f"{self.minus_sign}{-node.value}"

    def letter(self, node: Letter) -> str:
        return node.name + self.prime * node.primes

    def subscript(self, node: Subscript) -> str:
        base, index = self.math(layout.closed(node.base)), node.index
        if type(index) is Number and index.value >= 0:
            return base + str(index.value).translate(_LOWERED)
        return f"{base}_{self.small(index)}"

    def small(self, node: Math) -> str:
        """An exponent or index that has no raised or lowered digits."""
        return self.math(node) if type(node) is Letter else f"({self.math(node)})"

    def group(self, node: Group) -> str:
        return f"({self.math(node.inside)})"

    def call(self, node: Call) -> str:
        return f"{self.math(node.function)}({self.commas(node.arguments)})"

    def symbol(self, node: Symbol) -> str:
        bottom = layout.denominator(Quotient(node.top, node.bottom))
        return f"({self.math(layout.top(node))}/{self.math(bottom)})"

    def dots(self, node: Dots) -> str:
        return self.dots_sign

    def set_of(self, node: SetOf) -> str:
        return f"{{{self.commas(node.items)}}}" if node.items else self.empty_set

    # ---------------------------------------------------------- sums and products

    def sum(self, node: Sum) -> str:
        (sign, first), *rest = layout.terms(node)
        text = self.math(first) if sign == 1 else self.minus_sign + self.math(first)
        for sign, term in rest:
            if type(term) is PlusMinus:
                text += f" {self.plus_minus_sign} {self.math(layout.bare(term.term))}"
            else:
                text += f" {'+' if sign == 1 else self.minus_sign} {self.math(term)}"
        return text

    def minus(self, node: Minus) -> str:
        return self.minus_sign + self.math(layout.bare(node.term))

    def plus_minus(self, node: PlusMinus) -> str:
        return self.plus_minus_sign + self.math(layout.bare(node.term))

    def product(self, node: Product) -> str:
        factors, dot = layout.factors(node)
        texts = list(map(self.math, factors))
        if dot:
            return self.dotted(factors, texts)
        if any(map(layout.named, factors)):
            return " ".join(texts)
        return self.side_by_side(texts)

    def dotted(self, factors: Sequence[Math], texts: Sequence[str]) -> str:
        return " · ".join(texts)

    def side_by_side(self, texts: Sequence[str]) -> str:
        return "".join(texts)

    def quotient(self, node: Quotient) -> str:
        num, den = layout.numerator(node), layout.denominator(node)
        return f"{self.math(num)}/{self.math(den)}"

    def power(self, node: Power) -> str:
        base, exponent = self.math(layout.base(node)), node.exponent
        if type(exponent) is Number:
            return base + str(exponent.value).translate(_RAISED)
        return f"{base}^{self.small(exponent)}"

    def factorial(self, node: Factorial) -> str:
        return self.math(layout.closed(node.term)) + "!"

    # ---------------------------------------------------------- relations

    def listing(self, node: Listing) -> str:
        return self.commas(node.items)

    def relation(self, node: Relation) -> str:
        text = self.math(node.sides[0])
        for sign, side in zip(node.signs, node.sides[1:], strict=True):
            text += f" {self.sign(sign)} {self.math(side)}"
        return text.lstrip()

    def sign(self, sign: str) -> str:
        return sign

    def modulo(self, node: Modulo) -> str:
        return f"{self.math(node.inside)} (mod {self.math(node.modulus)})"

    def words(self, node: Words) -> str:
        return spaced([p if isinstance(p, str) else self.math(p) for p in node.parts])


class _Ascii(_Unicode):
    """The formula as it is typed, where that differs."""

    minus_sign = "-"
    plus_minus_sign = "+/-"
    prime = "'"
    dots_sign = "..."
    empty_set = "{}"
    letters: ClassVar[dict[str, str]] = {"φ": "phi", "λ": "lambda"}
    signs: ClassVar[dict[str, str]] = {
        "≠": "!=", "≡": "==", "≢": "!==", "≤": "<=", "≥": ">=", "∣": "|", "∤": "!|", "∈": "in",
    }  # fmt: skip

    def letter(self, node: Letter) -> str:
        return self.letters.get(node.name, node.name) + "'" * node.primes

    def subscript(self, node: Subscript) -> str:
        index = node.index
        plain = type(index) is Number and index.value >= 0
        return f"{self.math(node.base)}_{self.math(index) if plain else self.small(index)}"

    def symbol(self, node: Symbol) -> str:
        return f"symbol({self.commas((node.top, node.bottom))})"

    def dotted(self, factors: Sequence[Math], texts: Sequence[str]) -> str:
        vanishes = all(can_stand_side_by_side(*pair) for pair in pairwise(factors))
        return (" *. " if vanishes else " * ").join(texts)

    def side_by_side(self, texts: Sequence[str]) -> str:
        letters_meet = any(a[-1].isalpha() and b[0].isalpha() for a, b in pairwise(texts))
        return (" " if letters_meet and not _reads_apart(texts) else "").join(texts)

    def power(self, node: Power) -> str:
        base, exponent = self.math(layout.base(node)), node.exponent
        small = self.math(exponent) if type(exponent) is Number else self.small(exponent)
        return f"{base}^{small}"

    def sign(self, sign: str) -> str:
        return self.signs.get(sign, sign)

    def modulo(self, node: Modulo) -> str:
        """`=` for ≡ where no other sign stands, as the reader takes it."""
        signs = {sign for relation in relations_of(node.inside) for sign in relation.signs}
        inside = as_equality(node.inside) if signs <= {"≡", "≢"} else node.inside
        return f"{self.math(inside)} mod {self.math(node.modulus)}"

    def words(self, node: Words) -> str:
        return " ".join(self.word(p) if isinstance(p, str) else self.math(p) for p in node.parts)

    def word(self, text: str) -> str:
        return text if text in {"or", "and"} else f'"{text}"'


def _reads_apart(texts: Sequence[str]) -> bool:
    """Whether factors written side by side are the factors that the reader finds."""
    try:
        return split("".join(texts)) == [token for text in texts for token in split(text)]
    except StatementError:
        return False


def spaced(parts: Sequence[str]) -> str:
    """Parts with a space between them, but none before a mark of punctuation."""
    text = ""
    for part in parts:
        text += (" " if text and part[:1] not in PUNCTUATION else "") + part
    return text


UNICODE, ASCII = _Unicode(), _Ascii()


def math(node: Math) -> str:
    """The formula in Unicode.

    >>> math(Power(Letter("x"), Number(12)))
    'x¹²'
    """
    return UNICODE.math(node)


def typed(node: Math) -> str:
    """The formula in typed notation, which is ASCII.

    >>> typed(Power(Letter("x"), Number(12)))
    'x^12'
    """
    return ASCII.math(node)


# -------------------------------------------------------------- prose


def inlines(content: Inlines) -> str:
    """A line of prose as text."""
    return "".join(
        math(part.math)
        if isinstance(part, Formula)
        else part.text
        if isinstance(part, Strong)
        else part
        for part in content
    )


def blocks(blocks: Blocks) -> str:
    """Prose for a terminal: WIDTH columns, displays indented, tables ruled; ends in a newline."""
    return "\n\n".join(map(block, blocks)) + "\n" if blocks else ""


def block(block: Block) -> str:
    match block:
        case Paragraph():
            return _paragraph(block)
        case Display(rows):
            return "\n".join(_INDENT + row for row in _aligned(rows))
        case Table():
            return _table(block)


def _paragraph(block: Paragraph) -> str:
    """Wrapped between words and, in long formulas, before relation signs; never within (mod m)."""
    text = "".join(
        _unbroken(math(part.math)) if isinstance(part, Formula) else inlines((part,))
        for part in block.content
    )
    text = _PARTED_MODULUS.sub(NBSP, text)
    lead = f"{block.lead} " if block.lead else ""
    return _WRAPPER.fill(lead + text).replace(NBSP, " ")


_WRAPPER = TextWrapper(width=WIDTH, break_long_words=False, break_on_hyphens=False)
_BEFORE_A_SIGN = re.compile(" (?=[=≠≡≢<≤>≥∣∤∈] )")
_WITHIN_A_SIDE = (re.compile(f" (?=[+{MINUS}] )"), re.compile(" (?=·)"))
"""Where a sum, a product is broken; a list is broken between its items."""
_PARTED_MODULUS = re.compile(r"(?<=\(mod) (?=\d)")


def _unbroken(formula: str) -> str:
    """The formula with hard spaces, but where a line may break.

    A short left side stays beside its relation; a long list or sum breaks between its parts,
    a list of relations between these.
    """
    if len(formula) <= _SHORT:
        return formula.replace(" ", NBSP)
    items = _between_items(formula).split("\n")
    if len(items) > 1 and all(map(_BEFORE_A_SIGN.search, items)):
        return " ".join(map(_unbroken, items))
    first, *others = _BEFORE_A_SIGN.split(formula)
    if others and len(first) <= BESIDE:
        first, *others = f"{first} {others[0]}", *others[1:]
    return " ".join(map(_side, (first, *others)))


def _side(text: str) -> str:
    """A side of a relation with its sign: broken only if it is long."""
    if len(text) <= _LONG:
        return text.replace(" ", NBSP)
    parted = _between_items(text)
    if "\n" not in parted:
        parted = next(
            (t for t in map(_text_parted, (text, text), _WITHIN_A_SIDE) if t != text), text
        )
    return parted.replace(" ", NBSP).replace("\n", " ")


def _text_parted(text: str, place: re.Pattern[str]) -> str:
    """The text with line ends for the spaces of a place that stand in no bracket.

    >>> _text_parted("60 · (1 − 1/2) · (1 − 1/3)", _WITHIN_A_SIDE[0])
    '60 · (1 − 1/2) · (1 − 1/3)'
    """
    return place.sub(lambda found: " " if _within_brackets(text, found.start()) else "\n", text)


def _within_brackets(text: str, at: int) -> bool:
    return text.count("(", 0, at) > text.count(")", 0, at)


def _between_items(formula: str) -> str:
    """A list with line ends for the spaces between its items, which stand in no round bracket.

    >>> _between_items("(1, 2), (3, 4), …")
    '(1, 2),\\n(3, 4), …'
    """
    depth, text = 0, ""
    for at, sign in enumerate(formula):
        depth += (sign == "(") - (sign == ")")
        between = sign == " " and text.endswith(",") and not depth
        text += "\n" if between and not formula.startswith("…", at + 1) else sign
    return text


def _aligned(rows: Sequence[Math]) -> list[str]:
    """The rows with their first relation signs under one another."""
    halves = [layout.halves(row) for row in rows]
    lefts = [math(left) for left, _rest in halves]
    width = max((len(left) for left, half in zip(lefts, halves, strict=True) if half[1]), default=0)
    return [
        f"{left:>{width}} {math(rest)}" if rest else left
        for left, (_left, rest) in zip(lefts, halves, strict=True)
    ]


def _table(block: Table) -> str:
    """Columns two spaces apart, integers to the right, under a ruled head; long lists wrapped."""
    rows = [[_cell_lines(cell) for cell in row] for row in (block.head, *block.rows)]
    columns = range(len(block.head))
    widths = [max(len(line) for row in rows for line in row[i]) for i in columns]
    right = [is_numeric([row[i] for row in block.rows]) for i in columns]
    head, *others = [
        "  ".join(
            cell.rjust(width) if to_right else cell.ljust(width)
            for cell, width, to_right in zip(line, widths, right, strict=True)
        ).rstrip()
        for row in rows
        for line in zip_longest(*row, fillvalue="")
    ]
    rule = "  ".join("─" * width for width in widths)
    return "\n".join(_INDENT + line for line in (head, rule, *others))


def _cell_lines(cell: Inlines) -> list[str]:
    """The text of a cell, a list too long for a line between its items over several."""
    text = inlines(cell)
    if len(text) <= _LONG_LIST or text.count(", ") < _MANY_ITEMS:
        return [text]
    parted = _between_items(text)
    wrapped = _CELL.fill(parted.replace(" ", NBSP).replace("\n", " "))
    return wrapped.replace(NBSP, " ").split("\n")


_CELL = TextWrapper(width=_LONG_LIST, break_long_words=False, break_on_hyphens=False)


def is_numeric(cells: Sequence[Inlines]) -> bool:
    """Whether every cell of a column is an integer, so that the column is set to the right."""
    return all(inlines(cell).removeprefix(MINUS).isdecimal() for cell in cells)
