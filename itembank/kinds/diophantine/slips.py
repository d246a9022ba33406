"""Student errors in a linear equation over the integers; common practice of the trade."""

from collections.abc import Callable
from math import gcd

from itembank.kinds.diophantine.method import Row, counted
from itembank.kinds.mistakes import SetFound, ValueFound
from itembank.languages import say

Work = tuple[Row, int]
"""ax + by = c with a, b positive, and the least value of both unknowns."""


def _divisor_overlooked(row: Row) -> SetFound:
    a, b, c = row
    g = gcd(a, b)
    if c % g == 0:
        return None
    return (0,), say(
        "{g} divides {a} and {b}, so it divides the left side for all integers; it does not divide "
        "{c}.",
        g=g,
        a=abs(a),
        b=abs(b),
        c=abs(c),
    )


def _common_divisor_prevents(row: Row) -> SetFound:
    a, b, c = row
    g = gcd(a, b)
    if g == 1 or c % g:
        return None
    return (), say(
        "A common divisor of the coefficients prevents solutions only if it does not divide the "
        "right side. Here {g} divides {c}.",
        g=g,
        c=abs(c),
    )


def _one_coefficient_must_divide(row: Row) -> SetFound:
    a, b, c = row
    if c % gcd(a, b) or c % a == 0 or c % b == 0:
        return None
    return (), say(
        "Neither {a} nor {b} has to divide {c}: what counts is their greatest common divisor.",
        a=abs(a),
        b=abs(b),
        c=abs(c),
    )


def _right_side_forgotten(row: Row) -> SetFound:
    """A solution of ax + by = gcd(a, b) left as it is."""
    a, b, c = row
    g, n = gcd(a, b), abs(b)
    if c % g or c in (g, -g):
        return None
    return (x for x in range(n) if (a * x - g) % n == 0), say(
        "If you found a sum that makes {g}: multiply it by ${c}/{g}$, so that it makes {c}.",
        g=g,
        c=c,
    )


def _second_for_first(row: Row) -> SetFound:
    a, b, c = row
    n = abs(b)
    if c % gcd(a, b) or abs(a) == n:
        return None
    return {y % n for y in range(abs(a)) if (b * y - c) % a == 0}, say(
        "Which unknown is which? The number that was given may go with {b}, and not with {a}.",
        a=a,
        b=b,
    )


def _sign_lost(row: Row) -> SetFound:
    a, b, c = row
    n = abs(b)
    if c % gcd(a, b):
        return None
    return (x for x in range(n) if (a * x + c) % n == 0), say(
        "Check the sign: with this number the left side can make ${c}$, not {d}.", c=-c, d=c
    )


EQUATION: dict[str, Callable[[Row], SetFound]] = {
    "divisor-overlooked": _divisor_overlooked,
    "common-divisor-prevents": _common_divisor_prevents,
    "one-coefficient-must-divide": _one_coefficient_must_divide,
    "right-side-forgotten": _right_side_forgotten,
    "second-for-first": _second_for_first,
    "sign-lost": _sign_lost,
}
"""In the order of the method."""


def _zero_decided_otherwise(w: Work) -> ValueFound:
    row, least = w
    other = counted(row, 1 - least).answer.value
    if least:
        return other, say("Both numbers have to be positive: are pairs with a 0 in them left out?")
    return other, say("0 is allowed for both numbers: are the pairs with a 0 in them counted?")


def _ends_not_counted(w: Work) -> ValueFound:
    row, least = w
    n = counted(row, least).answer.value
    return (n - 1, say("From the first to the last both are counted: one more.")) if n > 1 else None


def _steps_not_divided(w: Work) -> ValueFound:
    row, least = w
    a, b, c = row
    g = gcd(a, b)
    if g == 1 or c % g:
        return None
    n = counted(row, least).answer.value
    return (n + g - 1) // g, say(
        "Check the steps from solution to solution: {b} and {a} are divided by {g}, so "
        "the steps are smaller.",
        a=a,
        b=b,
        g=g,
    )


def _second_unknown_forgotten(w: Work) -> ValueFound:
    (a, _b, c), least = w
    return c // a + 1 - least, say(
        "For each value of the first unknown check the second: it has to be an integer too."
    )


def _none_seen(w: Work) -> ValueFound:
    row = w[0]
    if row[2] % gcd(row[0], row[1]):
        return 1, say("There is none: the common divisor does not divide the right side.")
    return None


COUNT: dict[str, Callable[[Work], ValueFound]] = {
    "divisor-overlooked": _none_seen,
    "zero-decided-otherwise": _zero_decided_otherwise,
    "ends-not-counted": _ends_not_counted,
    "steps-not-divided": _steps_not_divided,
    "second-unknown-forgotten": _second_unknown_forgotten,
}
"""In the order of the method."""
