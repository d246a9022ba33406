"""From mistakes in solving for an unknown to slips, told in its letter.

The mistakes are written in the unknown x, one function each; its name is that of the slip.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from itembank.kinds.base import Slip, slip
from itembank.kinds.mistakes import MOST, SetFound, made
from itembank.languages.lettering import UNKNOWN, in_letter

W = TypeVar("W")
Mistake = TypeVar("Mistake", bound=Callable[..., Any])


def by_name(*mistakes: Mistake) -> dict[str, Mistake]:
    """The mistakes by what specs and packages call their slips: `not_lifted` is not-lifted."""
    return {mistake.__name__.strip("_").replace("_", "-"): mistake for mistake in mistakes}


def wrong_solutions(
    mistakes: Mapping[str, Callable[[W], SetFound]], work: W, m: int, letter: str
) -> Iterator[Slip]:
    """The slips that give at most MOST residues modulo m, in the order of the table."""
    for name, wrong, feedback in made(mistakes, work):
        residues = {x % m for x in wrong}
        if len(residues) <= MOST:
            yield from in_unknown([slip(name, residues, feedback)], letter)


def in_unknown(slips: Iterable[Slip], letter: str) -> Iterator[Slip]:
    """The slips with their feedback in another unknown than x."""
    if letter == UNKNOWN:
        yield from slips
        return
    for found in slips:
        yield replace(found, feedback=in_letter(found.feedback, letter))
