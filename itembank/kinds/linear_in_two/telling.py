"""How each step of one linear congruence in two unknowns is told, in the unknowns x and y."""

from collections.abc import Iterator
from typing import Any

from itembank.kinds.base import Solution
from itembank.kinds.chains import calculated_or_congruent, sum_of
from itembank.kinds.linear_in_two.method import (
    Check,
    Conclude,
    Condition,
    Decide,
    Divisor,
    Express,
    LeastResidues,
    Row,
)
from itembank.kinds.wording import WRITTEN_OUT, Tellers, told
from itembank.languages import Telling, Told, counted, each, grid, lead, say, shown, spelled
from itembank.languages.lettering import relettered
from itembank.notation.building import congruence, dotted, listed, number, polynomial
from itembank.notation.tree import Group, Letter, Math

_ROWS = 24
"""At most this many values of one unknown are written in a table."""


def worked(solution: Solution[Any], letters: tuple[str, str]) -> Telling:
    """The steps in these unknowns."""
    said = tuple(told(solution.steps, _TOLD))
    x, y = letters
    return relettered(said, {"x": x, "y": y}) if letters != ("x", "y") else said


def _left(row: Row, x: str = "x", y: str = "y") -> Math:
    terms = [polynomial((0, n), letter) for n, letter in zip(row, (x, y), strict=False) if n]
    return sum_of(*terms) if terms else number(0)


def _least_residues(step: LeastResidues) -> Iterator[Told]:
    yield say("With least residues modulo {m}:", m=step.m)
    yield shown(congruence(_left(step.row), number(step.row[2]), step.m))


def _divisor(step: Divisor) -> Iterator[Told]:
    (a, b, c), m, g = step.row, step.m, step.g
    yield lead("Greatest common divisor.")
    if not step.solvable:
        yield say(
            "$gcd({a}, {b}, {m}) = {g}$ divides the left side and the modulus, and does not divide "
            "{c}.",
            a=a,
            b=b,
            m=m,
            g=g,
            c=c,
        )
        yield lead("Answer.")
        yield say("The congruence has no solutions.")
    elif g == 1:
        yield say("$gcd({a}, {b}, {m}) = 1$, so there are solutions.", a=a, b=b, m=m)
    else:
        yield say(
            "$gcd({a}, {b}, {m}) = {g}$ divides {c}, so there are solutions.",
            a=a,
            b=b,
            m=m,
            g=g,
            c=c,
        )


def _unknowns(swapped: bool) -> tuple[str, str]:
    return ("y", "x") if swapped else ("x", "y")


def _condition(step: Condition) -> Iterator[Told]:
    a, b, c = step.row
    yield lead("A condition on one unknown.")
    yield say(
        "{d} divides {b} and {m}, so modulo {d} only one unknown is left.", d=step.d, b=b, m=step.m
    )
    x = _unknowns(step.swapped)[0]
    left = congruence(polynomial((0, a % step.d), x), number(c % step.d), step.d)
    if step.e == 1:
        yield say("There the congruence holds for every value of ${x}$.", x=Letter(x))
    else:
        solved = congruence(Letter(x), number(step.r), step.e)
        if solved == left:
            yield say("There it is ${left}$.", left=left)
        else:
            yield say("There it is ${left}$, which says ${solved}$.", left=left, solved=solved)


def _express(step: Express) -> Iterator[Told]:
    a, b, c = step.row
    x, y = _unknowns(step.swapped)
    n = step.m // step.d
    yield lead("One value for each value of the other unknown.")
    isolated = congruence(
        polynomial((0, b), y), sum_of(number(c), polynomial((0, -a), x)) if a else number(c), step.m
    )
    yield say("${isolated}$.", isolated=isolated)
    if n == 1:
        yield say("For each ${x}$ that is allowed every ${y}$ fits.", x=Letter(x), y=Letter(y))
        return
    if step.d > 1:
        yield say("All of it, the modulus too, is divided by {d}.", d=step.d)
    if step.inverse > 1:
        yield say(
            "Multiplied by {inverse}, the inverse of {b} modulo {n}, it gives:",
            inverse=step.inverse,
            b=b // step.d,
            n=n,
        )
    rows = [(number(v), congruence(Letter(y), number(w), n)) for v, w in step.values[:_ROWS]]
    yield grid((Letter(x), Letter(y)), rows)
    if len(step.values) > _ROWS:
        yield say("And so on, for {n} values in all.", n=len(step.values))


def _conclude(step: Conclude) -> Iterator[Told]:
    yield lead("Answer.")
    if len(step.pairs) <= WRITTEN_OUT:
        yield counted(
            "The only solution is the pair {pairs}.",
            "The solutions are the {n} pairs {pairs}.",
            len(step.pairs),
            pairs=each(Group(listed(pair)) for pair in step.pairs),
        )
    else:
        yield say("There are {n} solutions modulo {m}.", n=len(step.pairs), m=step.m)


def _equally_often(step: Decide) -> Iterator[Told]:
    """Why there are m g pairs."""
    m, g = step.m, step.g
    yield lead("Count.")
    yield say(
        "There are ${m}^2$ pairs of residues. For them ${left}$ takes the ${m}/{g} = {values}$ "
        "multiples of {g} modulo {m}, each equally often: adding a fixed pair to $(x, y)$ leads "
        "from one value to the next. So each is taken for ${m}^2/{values} = {n}$ pairs.",
        m=m,
        left=_left(step.row),
        g=g,
        values=m // g,
        n=step.n,
    )


def _decide(step: Decide) -> Iterator[Told]:
    if not step.any:
        yield from _equally_often(step)
    yield lead("Answer.")
    if step.any:
        yield say("The congruence has solutions.")
    else:
        yield counted(
            "The congruence has {n} solution modulo ${m}$.",
            "The congruence has {n} solutions modulo ${m}$.",
            step.n,
            n=spelled(step.n),
            m=step.m,
        )


def _check(step: Check) -> Iterator[Told]:
    yield lead("Check.")
    (a, b, _c), m = step.row, step.m
    for x, y in step.pairs:
        terms = [dotted((n, v)) for n, v in ((a, x), (b, y)) if n]
        value = a * x + b * y
        yield say(
            "${pair}$: ${value}$ (mod {m}).",
            pair=Group(listed((x, y))),
            value=calculated_or_congruent(sum_of(*terms) if terms else number(0), value, m),
            m=m,
        )


_TOLD: Tellers = {
    LeastResidues: _least_residues,
    Divisor: _divisor,
    Condition: _condition,
    Express: _express,
    Conclude: _conclude,
    Decide: _decide,
    Check: _check,
}
"""How each step is told."""
