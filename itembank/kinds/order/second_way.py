"""The second way for the order of a modulo m: multiply by a until 1 comes out."""

import re
from dataclasses import dataclass, field
from math import gcd

from itembank.second_way import units
from itembank.second_way.kind import Kind
from itembank.second_way.verdict import Verdict, agreed, disagreed, done


@dataclass(frozen=True)
class OrderOf:
    """The least t >= 1 with number^t = 1 (mod modulus)."""

    number: int
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


def read(statement: str) -> OrderOf | None:
    """The question of "order of 7 mod 48"; None for another form."""
    parts = units.split(statement)
    match = parts and re.fullmatch(r"(?:the )?(?:multiplicative )?order of (.+)", parts[0], re.I)
    if not parts or not match:
        return None
    m = units.modulus(parts[1], statement)
    return OrderOf(units.integer(match[1], statement) % m, m, units.hints(parts[1]))


def _value_verdict(question: OrderOf, claim: int | None) -> Verdict:
    a, m = question.number, question.modulus
    if claim is None:
        return _whether_any_verdict(question, False)
    found = units.order_by_multiplying(a, m)
    if found is not None:
        method = done("multiplied by {a} until 1 came out", a=a)
        if found and claim == found:
            return agreed(method)
        return disagreed(method, f"expected {found or 'no order'}, the answer says {claim}")
    method = done("the power is 1, and not 1 when the exponent is divided by any of its primes")
    if units.is_order(a, claim, m):
        return agreed(method)
    return disagreed(method, f"{claim} is not the least exponent with the power 1")


def _whether_any_verdict(question: OrderOf, claim: bool) -> Verdict:
    a, m = question.number, question.modulus
    method = done("the greatest common divisor was found")
    found = gcd(a, m) == 1
    if claim == found:
        return agreed(method)
    return disagreed(method, f"expected {found}, the answer says {claim}")


KIND = Kind(
    checks={"the value": _value_verdict, "whether any": _whether_any_verdict},
    solutions=lambda question: None,
)
