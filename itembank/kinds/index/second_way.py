"""The second way for indices and exponential congruences: the powers of the base followed.

A congruence "by indices" is the same congruence without indices: it is read as one, and
the residues are tried. What is too large to follow is substituted, and the order of the base
proved by its certificate.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import gcd

from itembank.second_way import budget, listed, units
from itembank.second_way.congruence import Part
from itembank.second_way.exponential import EXPONENTIAL
from itembank.second_way.kind import Kind
from itembank.second_way.reading import Congruence, congruence
from itembank.second_way.verdict import Method, Undecided, Verdict, agreed, disagreed, done
from itembank.values.errors import StatementError

_FOLLOWED = 200_000
"""The most powers that are followed; of long numbers fewer."""


@dataclass(frozen=True)
class IndexOf:
    """The least k >= 0 with base^k = number (mod modulus)."""

    number: int
    base: int
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


@dataclass(frozen=True)
class Exponential:
    """factor * base^x = value (mod m); x counts modulo `modulus`, the number of units."""

    factor: int
    base: int
    value: int
    m: int
    hints: tuple[int, ...] = field(default=(), compare=False)

    @property
    def modulus(self) -> int:
        return units.units_counted(self.m, self.hints)


def read(statement: str) -> IndexOf | Exponential | Congruence | None:
    """The question of "index of 5 base 3 mod 17", "2 * 3^x = 5 mod 17" or
    "7x^5 = 3 mod 17 by indices base 3"; None for another form."""
    if match := re.fullmatch(r"(.*\bmod(?:ulo)?\b.*?)\s+by indices(?:.*)", statement, re.I):
        return congruence(match[1])
    parts = units.split(statement)
    if parts is None:
        return None
    form = r"(?:the )?(?:index|discrete logarithm) of (.+?) (?:to the )?base (.+)"
    if match := re.fullmatch(form, parts[0], re.I):
        m = units.modulus(parts[1], statement)
        a, g = (units.integer(match[i], statement) % m for i in (1, 2))
        return IndexOf(a, _unit(g, m, statement), m, units.hints(parts[1]))
    return _exponential(parts[0], parts[1], statement)


def _exponential(text: str, modulus: str, statement: str) -> Exponential | None:
    match = EXPONENTIAL.fullmatch(text.strip())
    if match is None:
        return None
    m = units.modulus(modulus, statement)
    a, b, c = (
        units.integer((match[name] or "1").strip("() "), statement) % m
        for name in ("factor", "base", "value")
    )
    return Exponential(a, _unit(b, m, statement), c, m, units.hints(modulus))


def _unit(g: int, m: int, statement: str) -> int:
    if gcd(g, m) > 1:
        raise StatementError(f"statement '{statement[:60]}': expected a base coprime to {m}")
    return g


# ------------------------------------------------------------ one index


def _followed(question: IndexOf) -> tuple[int | None, bool]:
    """The first exponent whose power is the number, and whether it was decided."""
    a, g, m = question.number, question.base, question.modulus
    power = 1 % m
    for k in range(_FOLLOWED // budget.size(m)):
        if power == a % m:
            return k, True
        power = power * g % m
        if power == 1 % m:
            return None, True
    return None, False


def _value_verdict(question: IndexOf, claim: int | None) -> Verdict:
    found, decided = _followed(question)
    if decided:
        method = done("the powers of {a} were followed", a=question.base)
        if claim == found:
            return agreed(method)
        return disagreed(method, f"expected {found}, the answer says {claim}")
    a, g, m = question.number, question.base, question.modulus
    t = units.order_of(g, m, question.hints)
    method = done("the power was computed, and the order of {g} proved", g=g)
    if claim is None:
        if gcd(a, m) > 1 or pow(a, t, m) != 1 or units.is_no_power(a, g, m, question.hints):
            return agreed(method)
        raise Undecided(f"whether {a} is a power of {g} modulo {m}")
    if 0 <= claim < t and pow(g, claim, m) == a % m:
        return agreed(method)
    return disagreed(method, f"{claim} is not the least exponent whose power is {a}")


def _whether_any_verdict(question: IndexOf, claim: bool) -> Verdict:
    found, decided = _followed(question)
    if not decided:
        raise Undecided(f"the powers of {question.base} modulo {question.modulus} are too many")
    method = done("the powers of {a} were followed", a=question.base)
    if claim == (found is not None):
        return agreed(method)
    return disagreed(method, f"expected {found is not None}, the answer says {claim}")


INDEX = Kind(
    checks={"the value": _value_verdict, "whether any": _whether_any_verdict},
    solutions=lambda question: None,
)

# ------------------------------------------------------------ exponential congruences


@lru_cache(maxsize=256)
def _exponents_tried(question: Exponential) -> tuple[tuple[int, ...], Method]:
    """All x from 0 to phi(m) - 1 that solve it; Undecided if they are too many to try."""
    n, m = question.modulus, question.m
    if n > _FOLLOWED:
        raise Undecided(f"{n} exponents are too many to try")
    found = []
    value = question.factor % m
    for x in range(n):
        if value == question.value % m:
            found.append(x)
        value = value * question.base % m
    return tuple(found), done("all exponents from 0 to {n} were tried", n=n - 1)


def _set_verdict(question: Exponential, parts: Sequence[Part]) -> Verdict:
    """By trial; or one class (k, t) whose k solves it, t the order of the base modulo m/gcd."""
    n, m = question.modulus, question.m
    if n <= _FOLLOWED:
        return listed.checks(_exponents_tried)["all solutions"](question, parts)
    m1 = m // gcd(question.factor, m)
    t = units.order_of(question.base % m1, m1, question.hints)
    method = done("the exponent was substituted, and the order of the base proved")
    if len(parts) != 1 or parts[0][0] != n or len(parts[0][1]) > 1:
        raise Undecided("an answer of several classes")
    classes = tuple(parts[0][1])
    if not classes:
        if _unreachable(question, m1, t):
            return agreed(method)
        raise Undecided("whether the right side is reached by a power")
    ((k, d),) = classes
    if d != t or question.factor * pow(question.base, k, m) % m != question.value % m:
        return disagreed(
            method, f"expected a solution repeated every {t} exponents, got {k} modulo {d}"
        )
    return agreed(method)


def _unreachable(question: Exponential, m1: int, t: int) -> bool:
    """Whether the right side is seen to be no multiple of a power; False decides nothing."""
    a, c, m = question.factor, question.value, question.m
    d = gcd(a, m)
    if c % d:
        return True
    y = c // d * pow(a // d, -1, m1) % m1
    if gcd(y, m1) > 1 or pow(y, t, m1) != 1 % m1:
        return True
    return units.is_no_power(y, question.base, m1, question.hints)


def _listed_or_none(question: Exponential) -> tuple[int, ...] | None:
    return _exponents_tried(question)[0] if question.modulus <= _FOLLOWED else None


EXPONENTIAL_KIND = Kind(
    checks={**listed.checks(_exponents_tried), "all solutions": _set_verdict},
    solutions=_listed_or_none,
)
