"""Texts with places for numbers: what is read of markup once for all its numbers.

What is read of it with a mark in the place of each number says where each number comes out.
"""

import re
from collections.abc import Sequence
from typing import NamedTuple

MARK = b"4815162342"
"""What a mark begins with; the number of its place follows, in five digits."""
_MARKED = re.compile(MARK.decode() + "([0-9]{5})")


class Filled(NamedTuple):
    """Texts with places in them, one after another, and which number stands in each place."""

    texts: bytes
    places: tuple[int, ...]

    def with_numbers(self, numbers: Sequence[bytes]) -> list[str]:
        """The texts with these numbers, of which each place takes its own."""
        taken = tuple([numbers[place] for place in self.places])
        return (self.texts % taken).decode().split("\0")


def marks(n: int) -> list[bytes]:
    """So many marks, each a run of digits."""
    return [b"%s%05d" % (MARK, place) for place in range(n)]


def place_of(text: str) -> int | None:
    """The place whose mark a text is; None for any other."""
    found = _MARKED.fullmatch(text)
    return int(found[1]) if found else None


def form(*marked: str) -> Filled:
    """Texts with marks, none of them with a NUL, as texts with places."""
    text = "\0".join(marked)
    found = tuple(int(mark[1]) for mark in _MARKED.finditer(text))
    return Filled(_MARKED.sub("%s", text.replace("%", "%%")).encode(), found)
