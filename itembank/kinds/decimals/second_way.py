"""The second way for decimal fractions: long division, until a remainder comes again."""

from dataclasses import dataclass, field
from typing import ClassVar

from itembank.second_way import in_words
from itembank.second_way.verdict import Undecided, done

_DIVIDED = 1_000_000
"""The most digits that are worked out."""


@dataclass(frozen=True)
class Fraction:
    """a/b: the length of its period, or how many digits stand before it."""

    wanted: str
    a: int
    b: int
    modulus: ClassVar[None] = None
    hints: tuple[int, ...] = field(default=(), compare=False)


def read(statement: str) -> Fraction | None:
    """The question of "period of 1/7"; None for another form."""
    for words in ("digits before the period of #/#", "period of #/#"):
        found = in_words.numbers(words, statement)
        if found:
            a, b = found
            in_words.refuse(0 < a < b, "a fraction between 0 and 1", statement)
            return Fraction(words.split(" of ")[0], a, b)
    return None


def _divided(question: Fraction) -> int | None:
    """None for the period of a fraction that ends."""
    seen: dict[int, int] = {}
    remainder = question.a
    while remainder not in seen:
        if len(seen) == _DIVIDED:
            raise Undecided(f"more than {_DIVIDED} digits")
        seen[remainder] = len(seen)
        remainder = remainder * 10 % question.b
    if question.wanted != "period":
        return seen[remainder]
    return len(seen) - seen[remainder] if remainder else None


KIND = in_words.number_kind(
    _divided, done("the division was carried on until a remainder came again")
)
