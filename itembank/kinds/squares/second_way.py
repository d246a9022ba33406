"""The second way for squares modulo m: every residue is squared.

Which residues are squares, how many, and whether one is: from the list of all squares.
Beyond that: whether a is one, from the number of solutions of x^2 = a; the number of
squares, from the number of square roots of 1 modulo prime powers, since squaring sends as
many units to each square as send to 1.
"""

import re
from dataclasses import dataclass, field
from functools import lru_cache
from math import gcd, prod
from typing import Literal

from itembank.second_way import budget, listed, units
from itembank.second_way.budget import Work
from itembank.second_way.congruence import count_of_solutions
from itembank.second_way.kind import Kind
from itembank.second_way.primes import prime_powers
from itembank.second_way.reading import Congruence
from itembank.second_way.verdict import Method, Undecided, Verdict, agreed, disagreed, done

_SQUARED = 200_000
"""The largest modulus all of whose residues are squared."""


@dataclass(frozen=True)
class Squares:
    """The squares modulo `modulus`: all, those coprime to it (`units`), or the number of them."""

    about: Literal["all", "number"]
    units: bool
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


@dataclass(frozen=True)
class IsSquare:
    """Whether `_number` is a square modulo `modulus`."""

    number: int
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


_FORMS: dict[str, tuple[Literal["all", "number"], bool]] = {
    r"(?:all |the )*squares": ("all", False),
    r"(?:all |the )*quadratic residues": ("all", True),
    r"(?:the )?number of squares": ("number", False),
    r"(?:the )?number of quadratic residues": ("number", True),
}


def read(statement: str) -> Squares | IsSquare | None:
    """The question of "squares mod 13", "is 2 a square mod 15" and the like; None otherwise."""
    parts = units.split(statement.rstrip("? "))
    if parts is None:
        return None
    words, text = parts
    for form, (about, coprime) in _FORMS.items():
        if re.fullmatch(form, words, re.I):
            return Squares(about, coprime, units.modulus(text, statement), units.hints(text))
    if match := re.fullmatch(r"is (.+?) an? (?:perfect )?square", words, re.I):
        m = units.modulus(text, statement)
        return IsSquare(units.integer(match[1], statement) % m, m, units.hints(text))
    return None


# ------------------------------------------------------------ facts


@lru_cache(maxsize=128)
def _squared(m: int, coprime: bool) -> tuple[int, ...]:
    """The squares of all residues, or of those coprime to m, increasing."""
    return tuple(sorted({x * x % m for x in range(m) if not coprime or gcd(x, m) == 1}))


def _members(question: Squares) -> tuple[tuple[int, ...], Method]:
    if question.about != "all":
        raise Undecided("a number where a set is claimed")
    if question.modulus > _SQUARED:
        raise Undecided(f"the residues modulo {question.modulus} are too many to square")
    method = done("all {m} residues were squared", m=question.modulus)
    return _squared(question.modulus, question.units), method


def _number(question: Squares) -> tuple[int, Method]:
    m = question.modulus
    if m <= _SQUARED:
        method = done("all {m} residues were squared", m=m)
        return len(_squared(m, question.units)), method
    powers = prime_powers(m, question.hints)
    work = Work("counting the square roots of 1 modulo each prime power")
    for p, k in powers:
        for j in range(0, 1 if question.units else k, 2):
            work.spend(min(3 * p ** (k - j), 50 * (k - j) * budget.size(p ** (k - j))))
    found = prod(
        _coprime_squares(p, k) if question.units else _all_squares(p, k) for p, k in powers
    )
    return found, done("the square roots of 1 were counted modulo each prime power")


def _coprime_squares(p: int, k: int) -> int:
    """How many squares modulo p^k are coprime to p."""
    q = p**k
    roots_of_one, _how = count_of_solutions(Congruence((q - 1, 0, 1), q, (p,)))
    return (q - q // p) // roots_of_one if q > 2 else 1


def _all_squares(p: int, k: int) -> int:
    """How many squares there are modulo p^k: 0, and u p^j with j even and u a coprime square."""
    return 1 + sum(_coprime_squares(p, k - j) for j in range(0, k, 2))


# ------------------------------------------------------------ verdicts


def _value_verdict(question: Squares, claim: int) -> Verdict:
    if question.about != "number":
        raise Undecided("a set where a number is claimed")
    found, method = _number(question)
    if claim == found:
        return agreed(method)
    return disagreed(method, f"expected {found}, the answer says {claim}")


def _solutions(question: Squares) -> tuple[int, ...] | None:
    if question.about != "all" or question.modulus > _SQUARED:
        return None
    return _squared(question.modulus, question.units)


def _is_square_verdict(question: IsSquare, claim: bool) -> Verdict:
    a, m = question.number, question.modulus
    if m <= _SQUARED:
        found = any((x * x - a) % m == 0 for x in range(m // 2 + 1))
        method = done("all {m} residues were squared", m=m)
    else:
        roots, method = count_of_solutions(Congruence((-a % m, 0, 1), m, question.hints))
        found = roots > 0
    if claim == found:
        return agreed(method)
    return disagreed(method, f"expected {found}, the answer says {claim}")


SQUARES = Kind(
    checks={**listed.checks(_members), "the value": _value_verdict}, solutions=_solutions
)
IS_SQUARE = Kind(checks={"whether any": _is_square_verdict}, solutions=lambda question: None)
