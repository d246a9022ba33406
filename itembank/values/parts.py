"""The names of parts: a family in parts, `rsa`, has `rsa.a`, `rsa.b`, ... in this order."""

from collections.abc import Callable, Iterable
from typing import TypeVar

Thing = TypeVar("Thing")

FIRST = "a"


def whole_of(family: str) -> str:
    """The id of a family, without the letter of a part.

    >>> whole_of("rsa.b"), whole_of("rsa")
    ('rsa', 'rsa')
    """
    return family.partition(".")[0]


def letter_of(family: str) -> str:
    """The letter of a part; "" for a family that is none.

    >>> letter_of("rsa.b"), letter_of("rsa")
    ('b', '')
    """
    return family.partition(".")[2]


def is_first(family: str) -> bool:
    """Whether this is no part, or the first one: of a variant in parts one item is counted."""
    return letter_of(family) in ("", FIRST)


def follows(family: str, before: str) -> bool:
    """Whether this is the next part of the same family."""
    letter, last = letter_of(family), letter_of(before)
    if not letter or not last or whole_of(family) != whole_of(before):
        return False
    return ord(letter) == ord(last) + 1


def side_by_side(things: Iterable[Thing], family_of: Callable[[Thing], str]) -> list[list[Thing]]:
    """The things in their order, those of the parts of one family together."""
    found: list[list[Thing]] = []
    for thing in things:
        if found and follows(family_of(thing), family_of(found[-1][-1])):
            found[-1].append(thing)
        else:
            found.append([thing])
    return found
