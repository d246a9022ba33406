"""The one small tree in which all mathematics and prose of an item is held.

Mathematics first: integers, letters, sums, products, powers, relations.  A
`Sum` holds signed terms and a `Product` says how its factors are joined, so
that no dialect has to repair "1x" or "+ -3"; the builders at the end of this
file make only well-formed trees.  Prose after it: paragraphs, displays, tables.

Every node is frozen and hashable.  A dialect (plain, html, tex, mathml,
spoken) is one file with one function per node; none of them computes.
"""

from dataclasses import dataclass
from typing import Literal

# ------------------------------------------------------------ mathematics


@dataclass(frozen=True)
class Number:
    """An integer; a negative one is set with a minus sign."""

    value: int


@dataclass(frozen=True)
class Letter:
    """An unknown, a function's name or a constant: 'x', 'f', 'φ'; primes (f') are counted."""

    name: str
    primes: int = 0


@dataclass(frozen=True)
class Sum:
    """Signed terms, at least two: ((1, a), (-1, b)) is a - b."""

    terms: tuple[tuple[Literal[1, -1], "Math"], ...]


@dataclass(frozen=True)
class Minus:
    """A single negated term: -x."""

    term: "Math"


@dataclass(frozen=True)
class PlusMinus:
    """The two values of ± term."""

    term: "Math"


@dataclass(frozen=True)
class Product:
    """Factors side by side (`2x`, `3(x + 1)`) or with a raised dot (`7 · 13`)."""

    factors: tuple["Math", ...]
    dot: bool = False


@dataclass(frozen=True)
class Quotient:
    """num over den, written on one line in text: f(r)/3."""

    num: "Math"
    den: "Math"


@dataclass(frozen=True)
class Power:
    base: "Math"
    exponent: "Math"


@dataclass(frozen=True)
class Subscript:
    base: "Math"
    index: "Math"


@dataclass(frozen=True)
class Factorial:
    term: "Math"


@dataclass(frozen=True)
class Group:
    """The inside in round brackets."""

    inside: "Math"


@dataclass(frozen=True)
class Call:
    """A function at its arguments: f(r), gcd(6, 15), φ(36)."""

    function: Letter
    arguments: tuple["Math", ...]


@dataclass(frozen=True)
class Symbol:
    """The Legendre or Jacobi symbol (top/bottom)."""

    top: "Math"
    bottom: "Math"


@dataclass(frozen=True)
class Listing:
    """Items separated by commas: 7, 20, 88; an Ellipsis node may stand among them."""

    items: tuple["Math", ...]


@dataclass(frozen=True)
class Dots:
    """An ellipsis: ..."""


@dataclass(frozen=True)
class SetOf:
    """Items in braces; without items, the empty set ∅."""

    items: tuple["Math", ...]


@dataclass(frozen=True)
class Relation:
    """A chain a = b ≡ c: one more side than signs.

    Signs: = ≠ ≡ ≢ < ≤ > ≥ ∣ ∤ ∈.
    """

    sides: tuple["Math", ...]
    signs: tuple[str, ...]


@dataclass(frozen=True)
class Modulo:
    """A relation with its modulus: inside (mod modulus)."""

    inside: "Math"
    modulus: "Math"


@dataclass(frozen=True)
class Words:
    """Words between formulas of one line: x ≡ 1 or x ≡ 2; `parts` are formulas and strings."""

    parts: tuple["Math | str", ...]


Math = (
    Number
    | Letter
    | Sum
    | Minus
    | PlusMinus
    | Product
    | Quotient
    | Power
    | Subscript
    | Factorial
    | Group
    | Call
    | Symbol
    | Listing
    | Dots
    | SetOf
    | Relation
    | Modulo
    | Words
)

# ------------------------------------------------------------ prose


@dataclass(frozen=True)
class Formula:
    """Mathematics within a line of prose."""

    math: Math


@dataclass(frozen=True)
class Strong:
    """Words that carry the weight of a sentence: *all* solutions."""

    text: str


Inline = str | Strong | Formula
Inlines = tuple[Inline, ...]


@dataclass(frozen=True)
class Paragraph:
    """Prose; `lead` is its run-in heading (Split the modulus.)."""

    content: Inlines
    lead: str = ""


@dataclass(frozen=True)
class Display:
    """Formulas on lines of their own; several rows are aligned at their first relation sign."""

    rows: tuple[Math, ...]


@dataclass(frozen=True)
class Table:
    """A table: one header row, then rows; `row_heads` if each row begins with a heading cell."""

    head: tuple[Inlines, ...]
    rows: tuple[tuple[Inlines, ...], ...]
    row_heads: bool = False


Block = Paragraph | Display | Table
Blocks = tuple[Block, ...]
