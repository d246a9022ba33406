"""What a reviewer can check by hand of a lifting step: each lift, put into both sides."""

from collections.abc import Iterator
from typing import Any

from itembank.languages import Told, grid, lead, say
from itembank.languages.saying import Cell
from itembank.maths.polynomials import value
from itembank.notation.building import dotted, equal, polynomial
from itembank.notation.tree import Letter
from itembank.values.answer import ResidueSet, TooMany

_LEGIBLE = 10**15
"""Values beyond this are told by the number of their digits."""

_SUBSTITUTED = 12
"""At most this many lifts are substituted."""


def substituted(problem: Any, answer: ResidueSet) -> Iterator[Told]:
    """Nothing where there is no lift, or too many to list."""
    try:
        lifts = answer.residues()
    except TooMany:
        return
    if not lifts:
        return
    m, letter = problem.modulus, problem.letter
    yield lead("Substituted.")
    yield say("Left and right side at each solution; their difference is a multiple of ${m}$.", m=m)
    yield grid(
        (
            Letter(letter),
            polynomial(problem.left, letter),
            polynomial(problem.right, letter),
            say("difference"),
        ),
        [_row(x, value(problem.left, x), value(problem.right, x), m) for x in lifts[:_SUBSTITUTED]],
        row_heads=True,
    )
    if len(lifts) > _SUBSTITUTED:
        yield say(
            "The first {n} of {all} solutions are shown; the second way tried them all.",
            n=_SUBSTITUTED,
            all=len(lifts),
        )


def _row(x: int, left: int, right: int, m: int) -> tuple[Cell, ...]:
    return x, _legible(left), _legible(right), _multiple(left - right, m)


def _legible(n: int) -> Cell:
    return n if abs(n) < _LEGIBLE else say("a number of {n} digits", n=len(str(abs(n))))


def _multiple(difference: int, m: int) -> Cell:
    """585 = 5 · 117, as it is found: a difference that is no multiple would be seen."""
    remainder = difference % m
    if remainder or abs(difference) >= _LEGIBLE:
        return say("${r}$ modulo ${m}$", r=remainder, m=m)
    return equal(difference, dotted((difference // m, m)))
