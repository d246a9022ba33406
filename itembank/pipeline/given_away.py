"""Whether one part of a question tells what answers another.

Each part is shown with the others. One gives another away where its question, or its options, print
every number of the other's key, and the other's own stem does not print them anyway.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import permutations

from itembank.forms import form_of
from itembank.notation import plain
from itembank.notation.tree import Blocks
from itembank.values.item import (
    IntegerEntry,
    Item,
    ListEntry,
    Response,
    SelectAll,
    SelectOne,
    SetEntry,
)
from itembank.values.worded import worded

_NUMBER = re.compile(r"\d+")


@dataclass(frozen=True)
class Told:
    """What a part shows: its question, without how to answer; the item with its options and key.

    may_be_told: whether its author allows its key to stand in another part.
    """

    letter: str
    question: Blocks
    item: Item
    may_be_told: bool


def given_away(parts: Sequence[Told]) -> str:
    """Which part prints the key of which other, the first that does; "" where none does."""
    for one, other in permutations(parts, 2):
        if one.may_be_told:
            continue
        key = _numbers_of_key(one.item.response) - _numbers(plain.blocks(one.item.stem))
        if key and key <= _shown(other):
            return worded(
                "part ({other}) prints the key of part ({one}): ask part ({other}) so that it "
                "does not, or say `given away: allowed` there",
                other=other.letter,
                one=one.letter,
            )
    return ""


def _numbers(text: str) -> frozenset[str]:
    return frozenset(_NUMBER.findall(text))


def _shown(part: Told) -> frozenset[str]:
    """The numbers that a part prints."""
    labels = (
        plain.inlines(o.label) for o in form_of(part.item.response).options(part.item.response)
    )
    return _numbers("\n".join((plain.blocks(part.question), *labels)))


def _numbers_of_key(response: Response) -> frozenset[str]:
    """The numbers that a right answer says; none of an answer that is a word."""
    match response:
        case IntegerEntry(value=value):
            return _digits((value,))
        case ListEntry(values=values) | SetEntry(values=values):
            return _digits(values)
        case SelectAll(options=options) | SelectOne(options=options):
            return _numbers("\n".join(plain.inlines(o.label) for o in options if o.correct))
    return frozenset()


def _digits(values: Iterable[int]) -> frozenset[str]:
    return frozenset(str(abs(value)) for value in values)
