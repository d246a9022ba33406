"""The second way for the inverse of a modulo m: multiply, and see whether 1 comes out."""

import re
from dataclasses import dataclass, field
from math import gcd

from itembank.second_way import units
from itembank.second_way.kind import Kind
from itembank.second_way.verdict import Method, Verdict, agreed, disagreed, done

_TRIED = 100_000
"""The largest modulus all of whose residues are tried."""


@dataclass(frozen=True)
class Inverse:
    """The y with number * y = 1 (mod modulus)."""

    number: int
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


def read(statement: str) -> Inverse | None:
    """The question of "inverse of 7 mod 26"; None for another form."""
    parts = units.split(statement)
    match = parts and re.fullmatch(r"(?:the )?inverse of (.+)", parts[0], re.I)
    if not parts or not match:
        return None
    m = units.modulus(parts[1], statement)
    return Inverse(units.integer(match[1], statement), m)


def _tried(question: Inverse) -> int | None:
    """The least residue that is an inverse, by trial."""
    a, m = question.number, question.modulus
    return next((y for y in range(m) if a * y % m == 1 % m), None)


def _value_verdict(question: Inverse, claim: int | None) -> Verdict:
    """Whether the claim is an inverse; None: there is none."""
    a, m = question.number, question.modulus
    if claim is not None:
        method = done("{a} was multiplied by the answer", a=a)
        if a * claim % m == 1 % m:
            return agreed(method)
        return disagreed(method, f"{a} times {claim} leaves {a * claim % m} modulo {m}")
    found, method = _exists(question)
    if not found:
        return agreed(method)
    return disagreed(method, "expected an inverse, the answer says that there is none")


def _exists(question: Inverse) -> tuple[bool, Method]:
    a, m = question.number, question.modulus
    if m <= _TRIED:
        return _tried(question) is not None, done("all {m} residues were tried", m=m)
    return gcd(a, m) == 1, done("the greatest common divisor was found")


def _whether_any_verdict(question: Inverse, claim: bool) -> Verdict:
    found, method = _exists(question)
    if claim == found:
        return agreed(method)
    return disagreed(method, f"expected {found}, the answer says {claim}")


KIND = Kind(
    checks={"the value": _value_verdict, "whether any": _whether_any_verdict},
    solutions=lambda question: None,
)
