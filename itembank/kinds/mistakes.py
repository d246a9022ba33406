"""From a table of mistakes to slips.

A mistake is a function named for what goes wrong: it takes the true work and returns the
wrong answer with its feedback, or None where it cannot be made. A table holds the mistakes
of one question by the names of their slips, in the order of the method.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import TypeVar

from itembank.kinds.base import Remark, Slip, slip

MOST = 64
"""A wrong set is left out when it is larger than this."""

WRITTEN_OUT = 12
"""The most lifts of roots that a student would write out as solutions."""

ValueFound = tuple[int, Remark] | None
"""What a mistake about a number returns: the wrong number and the feedback."""

SetFound = tuple[Iterable[int], Remark] | None
"""What a mistake about a set returns: the wrong residues and the feedback."""

W = TypeVar("W")
Wrong = TypeVar("Wrong")


def made(
    mistakes: Mapping[str, Callable[[W], tuple[Wrong, Remark] | None]], work: W
) -> Iterator[tuple[str, Wrong, Remark]]:
    """The mistakes that can be made here: name, wrong answer, feedback."""
    for name, mistake in mistakes.items():
        found = mistake(work)
        if found is not None:
            yield name, *found


def wrong_values(
    mistakes: Mapping[str, Callable[[W], ValueFound]], work: W, least: int = 0
) -> Iterator[Slip]:
    """The slips that give a number; one below `least` is left out."""
    for name, wrong, feedback in made(mistakes, work):
        if wrong >= least:
            yield slip(name, (int(wrong),), feedback)


def wrong_sets(mistakes: Mapping[str, Callable[[W], SetFound]], work: W) -> Iterator[Slip]:
    """The slips that give a set of at most MOST residues."""
    for name, wrong, feedback in made(mistakes, work):
        residues = set(wrong)
        if len(residues) <= MOST:
            yield slip(name, residues, feedback)
