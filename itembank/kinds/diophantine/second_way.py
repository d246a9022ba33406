"""The second way for ax + by = c over the integers: one unknown after the other is tried."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from math import gcd

from itembank.second_way.congruence import Part
from itembank.second_way.kind import Kind
from itembank.second_way.listed import difference
from itembank.second_way.reading import congruence
from itembank.second_way.system import unknowns
from itembank.second_way.verdict import Undecided, Verdict, agreed, disagreed, done
from itembank.values.errors import StatementError

_TRIED = 200_000
"""The most values of the first unknown that are tried."""

_LARGER = 10**60
"""A modulus above every number of an equation, so that reading modulo it loses nothing."""

_COUNT = re.compile(r"(?:the )?number of (positive|non-negative) solutions of (.+)", re.I)


@dataclass(frozen=True)
class Equation:
    """ax + by = c; `least` 0 or 1 where solutions with both unknowns at least that are counted."""

    row: tuple[int, int, int]
    least: int | None = None
    modulus: None = None
    hints: tuple[int, ...] = field(default=(), compare=False)

    @property
    def span(self) -> int:
        """After how much the first unknowns of the solutions come again."""
        return abs(self.row[1])


def read(statement: str) -> Equation | None:
    """The question of one equation in two unknowns; None for another form."""
    text = " ".join(statement.split())
    match = _COUNT.fullmatch(text)
    line = match[2] if match else text
    letters = sorted(unknowns(line))
    if len(letters) != 2 or "=" not in line or re.search(r"\bmod|≡", line):
        return None
    row = _linear_form(line, *letters)
    return Equation(row, None if match is None else int(match[1].lower() == "positive"))


def _linear_form(line: str, x: str, y: str) -> tuple[int, int, int]:
    """(a, b, c) with ax + by = c: the difference of the sides at a few points."""
    c = _value_at(line, {x: 0, y: 0})
    a, b = _value_at(line, {x: 1, y: 0}) - c, _value_at(line, {x: 0, y: 1}) - c
    if _value_at(line, {x: 2, y: 3}) != 2 * a + 3 * b + c or not a or not b:
        raise StatementError(f"statement '{line[:60]}': expected a linear equation in {x} and {y}")
    return a, b, -c


def _value_at(line: str, point: dict[str, int]) -> int:
    """The left side minus the right side, the unknowns replaced by numbers."""
    for letter, n in point.items():
        line = re.sub(rf"(?<![A-Za-z]){letter}(?![A-Za-z])", f"({n})", line)
    f = congruence(f"0z + {line} mod {_LARGER}").coefficients
    value = f[0] if f else 0
    return value - _LARGER if value > _LARGER // 2 else value


def _solvable_at(question: Equation, x: int) -> bool:
    """Whether an integer y belongs to x."""
    a, b, c = question.row
    return (c - a * x) % b == 0


def _set_verdict(question: Equation, parts: Sequence[Part]) -> Verdict:
    """Whether the parts hold exactly the x, modulo |b|, that belong to a solution."""
    n = question.span
    method = done("all {n} values of the first unknown were tried", n=n)
    found = _first_unknowns(question)
    fault = difference(found, n, parts)
    return disagreed(method, fault) if fault else agreed(method)


def _first_unknowns(question: Equation) -> tuple[int, ...]:
    """The x from 0 to |b| - 1 that belong to a solution."""
    n = question.span
    if n > _TRIED:
        raise Undecided(f"{n} values of the first unknown are too many to try")
    return tuple(x for x in range(n) if _solvable_at(question, x))


def _any_verdict(question: Equation, claim: bool) -> Verdict:
    """Whether there is a solution: by trial, or by the divisor that ax + by always has."""
    a, b, c = question.row
    n = abs(b)
    if n <= _TRIED:
        found = any(_solvable_at(question, x) for x in range(n))
        method = done("all {n} values of the first unknown were tried", n=n)
    else:
        found = c % gcd(a, b) == 0
        method = done("the values ax + by are the multiples of gcd(a, b)")
    return agreed(method) if claim == found else disagreed(method, f"expected {found}")


def _count_verdict(question: Equation, claim: int | None) -> Verdict:
    """How many pairs there are, each value of the first unknown tried."""
    a, b, c = question.row
    least = question.least
    if least is None or a < 0 or b < 0:
        raise Undecided("the number of solutions of this equation")
    if (c // a) - least > _TRIED:
        raise Undecided(f"more than {_TRIED} values of the first unknown")
    method = done("every value of the first unknown was tried")
    found = sum(
        (c - a * x) % b == 0 and (c - a * x) // b >= least for x in range(least, c // a + 1)
    )
    if claim == found:
        return agreed(method)
    return disagreed(method, f"expected {found} pairs, the answer says {claim}")


KIND = Kind(
    checks={
        "all solutions": _set_verdict,
        "whether any": _any_verdict,
        "the value": _count_verdict,
    },
    solutions=lambda question: _first_unknowns(question) if question.least is None else None,
)
