"""Messages: whole sentences with slots for numbers and formulas, in no language yet.

    say("$gcd({a}, {m}) = {d}$, and {d} divides every power of {a}.", a=6, m=21, d=3)

is a frozen value. The English template is its name in the catalogues. A formula stands between
dollar signs in plain notation, words of weight between double asterisks, a slot in braces
(`{{` and `}}` are braces themselves). What fills a slot:

- an integer: a number in a formula, digits in a sentence;
- a formula (`notation.tree`): spliced into the formula around it, signs and factors folded;
- `each(...)`, `either(...)`: formulas that the language joins, "7, 20 and 88", "x = 1 or x = 4";
- `spelled(n)`: a small number in words, "four";
- a fraction of halves: "1½", or with the decimal mark of the language, "1,5";
- a line of prose: what was said before and is quoted, such as an option of the question;
- a string: a name that no language changes (a file, an identifier).

A template is a whole sentence, or the whole text of a heading or of a cell: no message is ever
part of another, since no two languages build their sentences alike.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from numbers import Rational
from typing import TYPE_CHECKING

from itembank.notation.tree import Block, Inlines, Math, Number

if TYPE_CHECKING:
    from fractions import Fraction


@dataclass(frozen=True)
class Each:
    """Formulas that all hold, joined by the language: a, b and c."""

    items: tuple[Math, ...]


@dataclass(frozen=True)
class Either:
    """Formulas of which one holds, joined by the language: a, b or c."""

    items: tuple[Math, ...]


@dataclass(frozen=True)
class Spelled:
    """A number that the language writes in words while it is small: four."""

    n: int


Slot = int | Rational | str | Math | Each | Either | Spelled | Inlines


@dataclass(frozen=True)
class Said:
    """A message: its template, what fills the slots, and the plural template where n decides.

    `letters` are exchanged in its formulas, all at once (see `lettering`).
    """

    template: str
    slots: tuple[tuple[str, Slot], ...] = ()
    plural: str = ""
    n: "int | Fraction" = 1
    letters: tuple[tuple[str, str], ...] = ()

    @cached_property
    def values(self) -> dict[str, Slot]:
        return dict(self.slots)


@dataclass(frozen=True)
class Lead:
    """A run-in heading, which begins a paragraph: **Split the modulus.**"""

    said: Said


BREAK = Lead(Said(""))
"""The end of a paragraph, where no heading begins the next."""

Cell = Said | Math | int | str
"""What stands in a cell of a table: a message, a formula, a number; "" for nothing."""


@dataclass(frozen=True)
class Grid:
    """A table: one header row, then rows; `row_heads` if each row begins with a heading cell."""

    head: tuple[Cell, ...]
    rows: tuple[tuple[Cell, ...], ...]
    row_heads: bool = False


@dataclass(frozen=True)
class Shown:
    """Lines of their own, each a formula or a message of formulas with words between them."""

    rows: tuple[Said | Math, ...]


@dataclass(frozen=True)
class Authored:
    """A paragraph that an author wrote, by language; "" for whatever language it is said in."""

    by_language: tuple[tuple[str, str], ...]

    def text(self, language: str) -> str:
        """The text for a language, or for that of its region; KeyError where there is none."""
        texts = dict(self.by_language)
        for tag in (language, language.partition("-")[0], ""):
            if tag in texts:
                return " ".join(texts[tag].split())
        raise KeyError(language)


Told = Said | Lead | Grid | Shown | Authored | Block
"""A sentence, which goes on with the paragraph; a heading; a table; lines of their own.

A block of the notation stands as it is: what its author wrote is not translated.
"""

Telling = Iterable[Told]


def say(template: str, /, **slots: Slot) -> Said:
    """A message.

    >>> say("{d} divides {n}.", d=3, n=12).values
    {'d': 3, 'n': 12}
    """
    return Said(template, tuple(slots.items())) if slots else _unfilled(template)


_UNFILLED = 2048
"""Messages without slots that are kept: there are not many more."""


@lru_cache(maxsize=_UNFILLED)
def _unfilled(template: str) -> Said:
    return Said(template)


def counted(one: str, many: str, n: "int | Fraction", /, **slots: Slot) -> Said:
    """A message whose words depend on a count: `one` for n = 1 in English, `many` otherwise.

    The count fills the slot {n}, unless another value is given for it.
    """
    return Said(one, tuple({"n": n, **slots}.items()), many, n)


def lead(template: str, /, **slots: Slot) -> Lead:
    """A run-in heading; its formulas are set as plain text."""
    return Lead(say(template, **slots)) if slots else _unfilled_lead(template)


@lru_cache(maxsize=_UNFILLED)
def _unfilled_lead(template: str) -> Lead:
    return Lead(_unfilled(template))


def each(items: Iterable[Math | int]) -> Each:
    """a, b and c.  At least one."""
    return Each(tuple(_formulas(items)))


def either(items: Iterable[Math | int]) -> Either:
    """a, b or c.  At least one."""
    return Either(tuple(_formulas(items)))


def spelled(n: int) -> Spelled:
    """n in words where the language has a short one."""
    return Spelled(n)


def grid(head: Sequence[Cell], rows: Iterable[Sequence[Cell]], row_heads: bool = False) -> Grid:
    """A table.  Raises ValueError if a row is not as long as the head."""
    cells = tuple(map(tuple, rows))
    for row in cells:
        if len(row) != len(head):
            raise ValueError(f"a row of {len(row)} cells under a head of {len(head)}")
    return Grid(tuple(head), cells, row_heads)


def shown(*rows: Said | Math) -> Shown:
    """Formulas on lines of their own, aligned at their first relation sign."""
    return Shown(rows)


def _formulas(items: Iterable[Math | int]) -> Iterator[Math]:
    return (Number(item) if isinstance(item, int) else item for item in items)
