"""The second way for the least exponent: one power after the other, from its definition."""

from dataclasses import dataclass, field
from math import gcd

from itembank.second_way import units
from itembank.second_way.exponential import EXPONENTIAL
from itembank.second_way.kind import Kind
from itembank.second_way.verdict import Undecided, Verdict, agreed, disagreed, done

_FOLLOWED = 200_000
"""The most powers that are worked out."""


@dataclass(frozen=True)
class Least:
    """The least x >= 0 with factor * base^x = value, all residues modulo `modulus`."""

    factor: int
    base: int
    value: int
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


def read(statement: str) -> Least | None:
    """The question of "2^x = 4 mod 6"; None for a base that is coprime to the modulus."""
    parts = units.split(statement)
    match = parts and EXPONENTIAL.fullmatch(parts[0].strip())
    if not parts or not match:
        return None
    m = units.modulus(parts[1], statement)
    a, b, c = (
        units.integer((match[name] or "1").strip("() "), statement) % m
        for name in ("factor", "base", "value")
    )
    return None if gcd(b, m) == 1 else Least(a, b, c, m, units.hints(parts[1]))


def _value_verdict(question: Least, claim: int | None) -> Verdict:
    m, value = question.modulus, question.factor
    seen: set[int] = set()
    found = None
    for x in range(_FOLLOWED):
        if value == question.value:
            found = x
            break
        if value in seen:
            break
        seen.add(value)
        value = value * question.base % m
    else:
        raise Undecided(f"more than {_FOLLOWED} powers modulo {m}")
    method = done("the powers were followed until one repeats")
    if claim == found:
        return agreed(method)
    return disagreed(method, f"expected {found}, the answer says {claim}")


KIND = Kind(checks={"the value": _value_verdict}, solutions=lambda question: None)
