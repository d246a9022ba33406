"""The second way for n! modulo m: the factors multiplied, or what is missing of (m - 1)!."""

import re
from dataclasses import dataclass, field

from itembank.second_way import units
from itembank.second_way.kind import Kind
from itembank.second_way.primes import prime_powers, valuation
from itembank.second_way.verdict import Method, Undecided, Verdict, agreed, disagreed, done
from itembank.values.errors import StatementError

_MULTIPLIED = 1_100_000
"""The most factors that are multiplied."""


@dataclass(frozen=True)
class FactorialOf:
    """number! modulo `modulus`."""

    number: int
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


def read(statement: str) -> FactorialOf | None:
    """The question of "10! mod 11"; None for another form."""
    parts = units.split(statement)
    match = parts and re.fullmatch(r"(?:\((.+)\)|(\d+))\s*!", parts[0])
    if not parts or not match:
        return None
    n = units.integer(match[1] or match[2], statement)
    if n < 0:
        raise StatementError(f"statement '{statement[:60]}': expected a number of at least 0")
    return FactorialOf(n, units.modulus(parts[1], statement), units.hints(parts[1]))


def _value_verdict(question: FactorialOf, claim: int | None) -> Verdict:
    n, m = question.number, question.modulus
    if claim is None:
        return disagreed(
            done("the claim itself"), "expected a residue, the answer says that there is none"
        )
    if n <= _MULTIPLIED:
        method = done("the factorial was multiplied out, factor by factor")
        found = _product(1, n, m)
        if (claim - found) % m == 0:
            return agreed(method)
        return disagreed(method, f"expected {found}, the answer says {claim}")
    if n >= m:
        return _compared(claim, 0, m, done("the modulus is one of the factors"))
    if m - 1 - n <= _MULTIPLIED:
        return _completed_verdict(question, claim)
    if all(_multiples(n, p) >= k for p, k in prime_powers(m, question.hints)):
        return _compared(
            claim, 0, m, done("the multiples of each prime of the modulus were counted")
        )
    raise Undecided(f"{n}! has too many factors to multiply")


def _compared(claim: int, found: int, m: int, method: Method) -> Verdict:
    if (claim - found) % m == 0:
        return agreed(method)
    return disagreed(method, f"expected {found}, the answer says {claim}")


def _product(first: int, last: int, m: int) -> int:
    value = 1 % m
    for factor in range(first, last + 1):
        value = value * factor % m
    return value


def _completed_verdict(question: FactorialOf, claim: int) -> Verdict:
    """The claim times the missing factors is (m - 1)!: -1 for a prime, else 0 beyond 4 (Wilson)."""
    from sympy import isprime

    n, m = question.number, question.modulus
    if not isprime(m):
        raise Undecided(f"{n}! modulo the composite {m} has too many factors to multiply")
    method = done("the answer was multiplied by the factors that are missing of {n}!", n=m - 1)
    left = claim * _product(n + 1, m - 1, m) % m
    if left == m - 1:
        return agreed(method)
    return disagreed(method, f"expected -1 for the whole product, got {left} modulo {m}")


def _multiples(n: int, p: int) -> int:
    """How often p divides n!: the multiples of p up to n, each as often as p divides it."""
    if n <= _MULTIPLIED:
        return sum(valuation(i, p) for i in range(p, n + 1, p))
    found, power = 0, p
    while power <= n:
        found, power = found + n // power, power * p
    return found


KIND = Kind(checks={"the value": _value_verdict}, solutions=lambda question: None)
