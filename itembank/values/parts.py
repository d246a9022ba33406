"""The names of parts: a family in parts, `rsa`, has `rsa.a`, `rsa.b`, ... in this order."""

from collections.abc import Callable, Iterable, Sequence
from hashlib import sha256
from typing import TypeVar

Thing = TypeVar("Thing")

_FIRST = "a"


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
    return letter_of(family) in ("", _FIRST)


def _follows(family: str, before: str) -> bool:
    """Whether this is the next part of the same family."""
    letter, last = letter_of(family), letter_of(before)
    if not letter or not last or whole_of(family) != whole_of(before):
        return False
    return ord(letter) == ord(last) + 1


def side_by_side(things: Iterable[Thing], family_of: Callable[[Thing], str]) -> list[list[Thing]]:
    """The things in their order, those of the parts of one family together."""
    found: list[list[Thing]] = []
    for thing in things:
        if found and _follows(family_of(thing), family_of(found[-1][-1])):
            found[-1].append(thing)
        else:
            found.append([thing])
    return found


_ITEM = len("item-") + 16
"""The length of an item's name, without the language of an edition behind it."""


def name_of_all(identifiers: Sequence[str]) -> str:
    """The identifier of the one item that all parts of a variant are written as, by theirs.

    Another than that of each part, so that no score of all is taken for one of a part.  In an
    edition of a pool the language ends it, as it ends theirs.

    >>> parts = ["item-0123456789abcdef", "item-fedcba9876543210"]
    >>> name_of_all(parts)
    'parts-abe545e5081f3335'
    >>> name_of_all([f"{part}-de" for part in parts]) == name_of_all(parts) + "-de"
    True
    """
    names = "\n".join(identifier[:_ITEM] for identifier in identifiers)
    return f"parts-{sha256(names.encode()).hexdigest()[:16]}{identifiers[0][_ITEM:]}"


def name_of_part(whole: str, letter: str) -> str:
    """What results of one part are told under, where one item holds all parts.

    >>> name_of_part("parts-abe545e5081f3335", "b")
    'parts-abe545e5081f3335.b'
    """
    return f"{whole}.{letter}"
