"""The way to the one pair that solves two congruences, as questions ask about it.

One unknown is eliminated, the other found, and put back.  Notation: D the determinant,
E = c1 b2 - c2 b1, so Dx = E; F = c1 - a1 x, so b1 y = F.
"""

from collections.abc import Iterator, Sequence
from math import gcd

from itembank.kinds.derivation import SpareLine, StepLine, Wrong, beside, told
from itembank.kinds.linear.guidance import FROM_OPPOSITE, LARGEST, inverted, wrong_inverse
from itembank.kinds.linear_pair.solve import determinant, reduced, right_sides
from itembank.kinds.linear_pair.steps import Rows
from itembank.languages import Said, say
from itembank.notation.building import congruence, polynomial
from itembank.notation.tree import Letter, Math, Number


def outline(rows: Rows, m: int, letters: tuple[str, str]) -> tuple[StepLine, ...]:
    """Eliminate, find one unknown, put it back, find the other; () for another way."""
    D, (_a, b, _c) = determinant(rows) % m, rows[0]
    numbers = [n for row in rows for n in row[:2]]
    if m > LARGEST or rows != reduced(rows, m) or not all(numbers):
        return ()
    if gcd(D, m) > 1 or gcd(b, m) > 1:
        return ()
    return told(_outlined(rows, m, letters))


def _outlined(rows: Rows, m: int, letters: tuple[str, str]) -> Iterator[tuple[str, Said]]:
    (a1, b1, c1), (_a2, b2, _c2) = rows
    x, y = letters
    D, E = determinant(rows) % m, right_sides(rows)[0] % m
    yield (
        "eliminate",
        say(
            "Eliminate ${y}$: multiply the first congruence by {b2} and the second by {b1}, and "
            "subtract: ${left}$.",
            y=Letter(y),
            b2=b2,
            b1=b1,
            left=_multiple(D, x, E, m),
        ),
    )
    found = E * pow(D, -1, m) % m
    if D > 1:
        yield "invert", inverted(D, pow(D, -1, m), m)
        yield "find first", _found_first(x, found, m)
    F = (c1 - a1 * found) % m
    yield (
        "put",
        say(
            "Put ${x}$ into the first congruence: ${left}$.",
            x=Letter(x),
            left=_multiple(b1, y, F, m),
        ),
    )
    if b1 > 1:
        yield "find second", _found_second(b1, y, F * pow(b1, -1, m) % m, m)
    yield "check", say("Substitute the solutions modulo ${m}$ to check them.", m=m)


def _found_first(x: str, value: int, m: int) -> Said:
    return say(
        "Multiply by the inverse to find ${unknown}$: ${value}$.",
        unknown=Letter(x),
        value=_multiple(1, x, value, m),
    )


def _found_second(b1: int, y: str, value: int, m: int) -> Said:
    return say(
        "Multiply by {inverse}, the inverse of {b1}, to find ${unknown}$: ${value}$.",
        inverse=pow(b1, -1, m),
        b1=b1,
        unknown=Letter(y),
        value=_multiple(1, y, value, m),
    )


def spares(
    rows: Rows, m: int, letters: tuple[str, str], lines: Sequence[StepLine]
) -> tuple[SpareLine, ...]:
    """The opposite of the inverse, and the unknowns that opposites lead to."""
    return beside(lines, _gone_wrong(rows, m, letters))


def _gone_wrong(rows: Rows, m: int, letters: tuple[str, str]) -> Iterator[Wrong]:
    (a1, b1, c1), (x, y) = rows[0], letters
    D, E = determinant(rows) % m, right_sides(rows)[0] % m
    first = E * pow(D, -1, m) % m
    second = (c1 - a1 * first) * pow(b1, -1, m) % m
    yield from wrong_inverse(D, m)
    if 2 * first % m:
        yield "find first", "opposite-for-inverse", _found_first(x, -first % m, m), FROM_OPPOSITE
    if 2 * second % m:
        text = _found_second(b1, y, -second % m, m)
        yield "find second", "right-side-sign", text, say("Put it in: which sign does it need?")


def _multiple(a: int, letter: str, b: int, m: int) -> Math:
    """a times the unknown, congruent to b."""
    return congruence(polynomial((0, a), letter), Number(b), m)
