"""Claims that name residues, or integers of the range that a stem names, judged as a whole."""

from collections.abc import Iterable
from itertools import chain

from itembank.audit.question import Asked, modulus_of
from itembank.audit.unsupported import Unsupported
from itembank.second_way.table import Question, check_set, solutions
from itembank.second_way.verdict import Verdict, done
from itembank.values.worded import worded

LONGEST_RANGE = 2_000
"""The most numbers of a range that are judged one by one."""


def listing(values: Iterable[object]) -> str:
    return ", ".join(map(str, values)) or "no solutions"


def whole(question: Question, residues: tuple[int, ...]) -> Verdict:
    """The verdict on a set of residues given one by one."""
    m = modulus_of(question)
    return check_set(question, [(m, [(x, m) for x in residues])])


def all_of_them(stem: Asked, claim: tuple[int, ...]) -> Verdict:
    """The verdict on a set: of residues, or of the integers of the range that the stem names."""
    if stem.low is None and stem.high is None:
        return whole(stem.question, claim)
    right = _in_the_range(stem)
    if claim == right:
        return Verdict("agreed", _HOW_ALL)
    return Verdict("disagreed", _HOW_ALL, f"expected {listing(right)}, got {listing(claim)}")


def _in_the_range(stem: Asked) -> tuple[int, ...]:
    """All integers of the range that solve: the solutions, moved there by periods."""
    low, high, m = stem.low, stem.high, modulus_of(stem.question)
    found = solutions(stem.question)
    if low is None or high is None or found is None:
        raise Unsupported(worded("integers of a range where the solutions cannot be listed"))
    if len(found) * ((high - low) // m + 1) > LONGEST_RANGE:
        raise Unsupported(worded("a range from {low} to {high}", low=low, high=high))
    moved = (range(low + (r - low) % m, high + 1, m) for r in found)
    return tuple(sorted(chain.from_iterable(moved)))


_HOW_ALL = done("all solutions were listed, and moved into the range by periods")


def beyond_residues(claim: int, stem: Asked) -> Verdict:
    """Whether a claim is the least, or the largest, integer of the range that solves.

    A period from the bound on holds every residue once, so the first that solves lies in it.
    """
    low, high, m = stem.low, stem.high, modulus_of(stem.question)
    found = solutions(stem.question)
    if found is None:
        raise Unsupported(worded("an integer of a range where the solutions cannot be listed"))
    if stem.ask == "the least" and low is not None:
        inside = [low + (r - low) % m for r in found]
        right = min((n for n in inside if high is None or n <= high), default=None)
    elif stem.ask == "the largest" and high is not None:
        inside = [high - (high - r) % m for r in found]
        right = max((n for n in inside if low is None or n >= low), default=None)
    else:
        raise Unsupported(worded("an end of a range that has none"))
    if claim == right:
        return Verdict("agreed", _HOW_ENDS)
    got = f"got {claim}"
    return Verdict("disagreed", _HOW_ENDS, f"expected {'none' if right is None else right}, {got}")


_HOW_ENDS = done("all solutions were listed, and moved to the bound of the range")
