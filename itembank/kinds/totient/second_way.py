"""The second way for phi(n) and lambda(n): the numbers are counted, the orders found.

phi(n): the numbers from 1 to n coprime to n, one by one. lambda(n): the least exponent for
all of them, the least common multiple of their orders. Beyond that: sympy.
"""

import re
from dataclasses import dataclass, field
from functools import lru_cache
from math import gcd, lcm, prod
from typing import Literal

from itembank.second_way import units
from itembank.second_way.kind import Kind
from itembank.second_way.primes import prime_powers
from itembank.second_way.verdict import Method, Verdict, agreed, disagreed, done
from itembank.values.errors import StatementError

_COUNTED = 100_000
"""The largest n whose numbers are counted one by one."""

_MULTIPLIED = 1_000
"""The largest n whose units are all multiplied until 1 comes."""


@dataclass(frozen=True)
class OfNumber:
    """phi or lambda of `number`."""

    function: Literal["phi", "lambda"]
    number: int
    hints: tuple[int, ...] = field(default=(), compare=False)

    @property
    def modulus(self) -> int:
        return self.number


_FUNCTIONS: dict[str, Literal["phi", "lambda"]] = {
    "phi": "phi",
    "φ": "phi",
    "ϕ": "phi",
    "totient": "phi",
    "lambda": "lambda",
    "λ": "lambda",
}
_FORM = re.compile(
    r"(?:euler(?:'s)? |carmichael(?:'s)? )?(phi|φ|ϕ|totient|lambda|λ)(?: of)? ?(\(.+\)|\d.*)", re.I
)


def read(statement: str) -> OfNumber | None:
    """The question of "phi(36)" or "lambda(561)"; None for another form."""
    text = " ".join(statement.split())
    match = _FORM.fullmatch(text)
    if match:
        function, inside = _FUNCTIONS[match[1].lower()], match[2]
    elif match := re.fullmatch(r"(?:the )?number of units,? (\(?)mod(?:ulo)? (.+)", text, re.I):
        function, inside = "phi", match[2].removesuffix(")") if match[1] else match[2]
    else:
        return None
    n = units.integer(inside, statement)
    if n < 1:
        raise StatementError(
            f"statement '{statement[:60]}': expected a number of at least 1, got {n}"
        )
    return OfNumber(function, n, units.hints(inside))


@lru_cache(maxsize=256)
def _counted(n: int) -> int:
    return sum(gcd(a, n) == 1 for a in range(1, n + 1))


@lru_cache(maxsize=256)
def _exponent(n: int) -> int:
    orders = (units.order_by_multiplying(a, n) for a in range(n) if gcd(a, n) == 1)
    return lcm(*(t for t in orders if t))


def _value(question: OfNumber) -> tuple[int, Method]:
    n = question.number
    if question.function == "phi" and n <= _COUNTED:
        return _counted(n), done("the numbers from 1 to {n} coprime to {n} were counted", n=n)
    if question.function == "lambda" and n <= _MULTIPLIED:
        return _exponent(n), done("the order of every unit modulo {n} was found", n=n)
    from sympy import reduced_totient, totient

    # sympy is given one prime power at a time: of n itself it would look for the primes anew
    powers = [p**k for p, k in prime_powers(n, question.hints)]
    if question.function == "phi":
        found = prod(int(totient(q)) for q in powers)
    else:
        found = lcm(*(int(reduced_totient(q)) for q in powers))
    return found, done("computed by an independent library")


def _value_verdict(question: OfNumber, claim: int) -> Verdict:
    found, method = _value(question)
    if claim == found:
        return agreed(method)
    return disagreed(method, f"expected {found}, the answer says {claim}")


KIND = Kind(checks={"the value": _value_verdict}, solutions=lambda question: None)
