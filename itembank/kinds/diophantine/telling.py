"""How each step of a linear equation over the integers is told, in the unknowns x and y."""

from collections.abc import Iterator
from typing import Any

from itembank.kinds.base import Solution
from itembank.kinds.chains import calculated_or_congruent, shift, sum_of
from itembank.kinds.diophantine.method import (
    Check,
    Decide,
    Divisor,
    General,
    Particular,
    Range,
    Row,
)
from itembank.kinds.gcd.method import Euclid, Quotients
from itembank.kinds.gcd.telling import TELLING as OF_DIVISORS
from itembank.kinds.gcd.telling import of
from itembank.kinds.unit_multiple import unit_divided
from itembank.kinds.wording import FITS_ON_THE_BOARD, WRITTEN_OUT, Tellers, told
from itembank.languages import Telling, Told, counted, each, lead, say, shown
from itembank.languages.lettering import relettered
from itembank.notation.building import congruence, dotted, equal, listed, number, polynomial
from itembank.notation.tree import Group, Letter, Math, Relation

_SMALL = 30
"""With a number up to here the greatest common divisor is seen, without Euclid's algorithm."""


def worked(solution: Solution[Any], letters: tuple[str, str]) -> Telling:
    """The steps in these unknowns; the parameter is t, or s where an unknown is called t."""
    said = tuple(told(solution.steps, _TOLD))
    names = dict(zip("xy", letters, strict=True))
    if "t" in letters:
        names["t"] = "s"
    return relettered(said, names) if names != {"x": "x", "y": "y"} else said


def _equation(row: Row) -> Math:
    a, b, c = row
    terms = [polynomial((0, n), letter) for n, letter in ((a, "x"), (b, "y")) if n]
    return equal(sum_of(*terms), c)


def _divisor(step: Divisor) -> Iterator[Told]:
    c = step.row[2]
    yield lead("Solvable or not.")
    if not step.solvable:
        yield say(
            "{g} divides the left side for all integers $x$ and $y$, and does not divide {c}. So "
            "there is no solution.",
            g=step.g,
            c=number(c),
        )
    elif step.g == 1:
        yield say("The greatest common divisor is 1, so there are solutions.")
    elif step.decides:
        yield say("{g} divides {c}, so there are solutions.", g=step.g, c=number(c))
    else:
        yield say(
            "{g} divides {c}, so there are solutions. Both sides divided by {g}:",
            g=step.g,
            c=number(c),
        )
        yield shown(_equation(step.reduced))


def _particular(step: Particular) -> Iterator[Told]:
    a, b, c = step.row
    n = abs(b)
    yield lead("One solution.")
    if n == 1:
        yield say(
            "With ${zero}$ the equation gives ${y}$.",
            zero=equal(Letter("x"), 0),
            y=equal(Letter("y"), step.y),
        )
        return
    yield say(
        "Modulo {n} the equation says ${left}$.",
        n=n,
        left=congruence(polynomial((0, a % n), "x"), number(c % n), n),
    )
    if a % n != 1 and n <= FITS_ON_THE_BOARD:
        yield from unit_divided(a % n, c % n, n, Letter("x"))
    elif a % n != 1:
        yield say(
            "The inverse of {a} modulo {n} is {i}, since ${check} (mod {n})$.",
            a=a % n,
            n=n,
            i=step.inverse,
            check=calculated_or_congruent(dotted((a % n, step.inverse)), a % n * step.inverse, n),
        )
    yield say(
        "Take ${x}$: then ${by} = {rest}$, so ${y}$.",
        x=equal(Letter("x"), step.x),
        by=polynomial((0, b), "y"),
        rest=equal(sum_of(number(c), dotted((-a, step.x))), c - a * step.x),
        y=equal(Letter("y"), step.y),
    )


def _seen_divisor(step: Euclid) -> Iterator[Told]:
    """The greatest common divisor of two numbers, one of them small: both as multiples of it."""
    if min(step.a, step.b) > _SMALL:
        yield from OF_DIVISORS[Euclid](step)
        return
    yield lead("Greatest common divisor.")
    a, b, d = step.a, step.b, step.d
    if d == 1:
        yield say("${gcd} = 1$.", gcd=of("gcd", a, b))
    else:
        yield say(
            "${gcd} = {d}$: ${first}$ and ${second}$, and {p} and {q} have no common factor.",
            gcd=of("gcd", a, b),
            d=d,
            first=equal(a, dotted((a // d, d))),
            second=equal(b, dotted((b // d, d))),
            p=a // d,
            q=b // d,
        )


def _quotients_of_large(step: Quotients) -> Iterator[Told]:
    if min(map(abs, step.numbers)) > _SMALL:
        yield from OF_DIVISORS[Quotients](step)


def _decide(step: Decide) -> Iterator[Told]:
    yield lead("Answer.")
    if step.any:
        yield say("The equation has solutions in integers.")
    else:
        yield say("The equation has no solutions in integers.")


def _general(step: General) -> Iterator[Told]:
    (x, y), (dx, dy) = step.point, step.direction
    yield lead("All solutions.")
    yield say(
        "The difference of two solutions satisfies ${homogeneous}$, and the coefficients are "
        "coprime, so it is a multiple of ${direction}$. All solutions are, for every integer $t$:",
        homogeneous=_equation((*step.row[:2], 0)),
        direction=Group(listed((dx, dy))),
    )
    yield shown(
        Relation((Letter("x"), shift(x, dx, "t")), ("=",)),
        Relation((Letter("y"), shift(y, dy, "t")), ("=",)),
    )


def check(step: Check) -> Iterator[Told]:
    (a, b, c), (x, y), (dx, dy) = step.row, step.point, step.direction
    yield lead("Check.")
    yield say(
        "${point}$, and ${direction}$.",
        point=equal(sum_of(dotted((a, x)), dotted((b, y))), c),
        direction=equal(sum_of(dotted((a, dx)), dotted((b, dy))), 0),
    )


def _range_of_the_parameter(step: Range) -> Iterator[Told]:
    (x, y), (dx, dy) = step.point, step.direction
    yield lead("Range.")
    slots: dict[str, Math] = {
        "first": Relation((shift(x, dx, "t"), number(step.least)), ("≥",)),
        "second": Relation((shift(y, dy, "t"), number(step.least)), ("≥",)),
        "a": number(step.first),
        "b": number(step.last),
    }
    if step.count == 1:
        yield say("${first}$ and ${second}$ hold for $t = {a}$ alone.", **slots)
    elif step.count:
        yield say(
            "${first}$ and ${second}$ hold for the integers $t$ from ${a}$ to ${b}$.", **slots
        )
    else:
        yield say(
            "${first}$ holds from $t = {a}$ on and ${second}$ up to $t = {b}$, so there is no "
            "integer $t$ for both.",
            **slots,
        )
    if 0 < step.count <= WRITTEN_OUT:
        yield counted(
            "The pair is {pairs}.",
            "The pairs are {pairs}.",
            step.count,
            pairs=each(Group(listed(pair)) for pair in step.pairs(WRITTEN_OUT)),
        )


_TOLD: Tellers = {
    **OF_DIVISORS,
    Euclid: _seen_divisor,
    Quotients: _quotients_of_large,
    Decide: _decide,
    Divisor: _divisor,
    Particular: _particular,
    General: _general,
    Check: check,
    Range: _range_of_the_parameter,
}
"""How each step is told."""
