"""The second way for units and zero divisors modulo m: products are formed until 1 or 0 comes.

A unit has a product 1 with some residue, a zero divisor, not 0, a product 0 with some
residue that is not 0. For larger m the greatest common divisor decides.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import gcd
from typing import Literal

from itembank.second_way import listed, units
from itembank.second_way.kind import Kind
from itembank.second_way.verdict import Method, Undecided, Verdict, agreed, disagreed, done

_MULTIPLIED = 300
"""The largest modulus all of whose products are formed."""

_LISTED = 200_000
"""The largest modulus whose residues are gone through."""

About = Literal["units", "zero divisors", "number of zero divisors"]


@dataclass(frozen=True)
class Classes:
    """What is asked about the residues modulo `modulus`."""

    about: About
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


@dataclass(frozen=True)
class InverseTable:
    """The pairs (a, b) of residues modulo `modulus` whose product is 1."""

    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


_FORMS: dict[str, About] = {
    r"(?:all |the )*units": "units",
    r"(?:all |the )*zero divisors": "zero divisors",
    r"(?:the )?number of zero divisors": "number of zero divisors",
}
_INVERSES = r"(?:the )?(?:table of |all )?inverses"


def read(statement: str) -> Classes | InverseTable | None:
    """The question of "units mod 12" and the like; None for another form."""
    parts = units.split(statement)
    if parts is None:
        return None
    for form, about in _FORMS.items():
        if re.fullmatch(form, parts[0], re.I):
            return Classes(about, units.modulus(parts[1], statement), units.hints(parts[1]))
    if re.fullmatch(_INVERSES, parts[0], re.I):
        return InverseTable(units.modulus(parts[1], statement), units.hints(parts[1]))
    return None


# ------------------------------------------------------------ facts


@lru_cache(maxsize=128)
def _all_units(m: int) -> tuple[int, ...]:
    if m > _MULTIPLIED:
        return tuple(a for a in range(m) if gcd(a, m) == 1)
    return tuple(a for a in range(m) if any(a * b % m == 1 % m for b in range(m)))


@lru_cache(maxsize=128)
def _all_zero_divisors(m: int) -> tuple[int, ...]:
    if m > _MULTIPLIED:
        return tuple(a for a in range(1, m) if gcd(a, m) > 1)
    return tuple(a for a in range(1, m) if any(a * b % m == 0 for b in range(1, m)))


def _method_for(m: int) -> Method:
    if m <= _MULTIPLIED:
        return done("all products of two residues modulo {m} were formed", m=m)
    return done("the greatest common divisor of every residue with {m} was found", m=m)


def _members(question: Classes) -> tuple[tuple[int, ...], Method]:
    m = question.modulus
    if question.about == "number of zero divisors":
        raise Undecided("a number where a set is claimed")
    if m > _LISTED:
        raise Undecided(f"the residues modulo {m} are too many to go through")
    found = _all_units(m) if question.about == "units" else _all_zero_divisors(m)
    return found, _method_for(m)


# ------------------------------------------------------------ verdicts


def _value_verdict(question: Classes, claim: int) -> Verdict:
    """How many zero divisors there are."""
    m = question.modulus
    if question.about != "number of zero divisors":
        raise Undecided("a set where a number is claimed")
    if m <= _LISTED:
        found, method = len(_all_zero_divisors(m)), _method_for(m)
    else:
        found = m - 1 - units.units_counted(m, question.hints)
        method = done("the residues that are 0 or coprime to {m} were taken away", m=m)
    if claim == found:
        return agreed(method)
    return disagreed(method, f"expected {found}, the answer says {claim}")


def _pairs_verdict(question: InverseTable, claim: Sequence[tuple[int, int]]) -> Verdict:
    """Whether the claim holds every unit once, each with an inverse."""
    m = question.modulus
    if m > _LISTED:
        raise Undecided(f"the residues modulo {m} are too many to go through")
    method = done("every pair was multiplied, and the units were counted")
    for a, b in claim:
        if not (0 <= a < m and 0 <= b < m) or a * b % m != 1 % m:
            return disagreed(method, f"{a} times {b} is not 1 modulo {m}")
    firsts = {a for a, _b in claim}
    if len(firsts) != len(claim) or firsts != set(_all_units(m)):
        return disagreed(method, f"expected each of {len(_all_units(m))} units once")
    return agreed(method)


def _solutions(question: Classes) -> tuple[int, ...] | None:
    try:
        return _members(question)[0]
    except Undecided:
        return None


KIND = Kind(checks={**listed.checks(_members), "the value": _value_verdict}, solutions=_solutions)
INVERSE_TABLE = Kind(checks={"all solutions": _pairs_verdict}, solutions=lambda question: None)
