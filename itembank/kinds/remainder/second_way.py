"""The second way for the remainder of an expression: its exact value, a fraction of integers.

Nothing is reduced on the way: the expression is worked out as a fraction, however long, and
only then divided by the modulus. What is too long for that is undecided.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from math import factorial, gcd

from itembank.second_way import units
from itembank.second_way.kind import Kind
from itembank.second_way.verdict import Undecided, Verdict, agreed, disagreed, done
from itembank.values.errors import StatementError

_BITS = 400_000
"""The longest number that is worked out."""

_LARGEST_FACTORIAL = 20_000

_TOKEN = re.compile(r"\s*(?:([0-9]+)|([⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)|(\*\*|[-−+*·⋅×/^!()]))")
_RAISED = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")
_SAME = {"**": "^", "−": "-", "·": "*", "⋅": "*", "×": "*"}


@dataclass(frozen=True)
class Expression:
    """The expression as it is written, without blanks and brackets round an exponent."""

    text: str
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


def read(statement: str) -> Expression | None:
    """The question of "2*7^222 + 3 mod 11"; None for another form."""
    parts = units.split(statement)
    if parts is None or not re.fullmatch(r"[0-9⁻⁰¹²³⁴⁵⁶⁷⁸⁹\s+\-−*×·⋅/^!()]+", parts[0]):
        return None
    found = list(_tokens(parts[0], statement))
    if _is_one_power(found):
        return None
    text = re.sub(r"\^\(([0-9]+)\)", r"^\1", "".join(found))
    return Expression(text, units.modulus(parts[1], statement), units.hints(parts[1]))


def _is_one_power(found: list[str]) -> bool:
    """Whether it is a power or a factorial alone, which other readers know: (-3)^5, 2^(3^4), 10!"""
    depth, alone, before = 0, False, ""
    for i, sign in enumerate(found):
        depth -= sign == ")"
        if depth == 0:
            if sign in "+-*/" and before != "^":
                return False
            if sign == "(" and i and before not in "^":
                return False
            alone = alone or sign in "^!"
        depth += sign == "("
        before = sign
    return alone


def _tokens(text: str, statement: str) -> Iterator[str]:
    """Numbers and signs; a raised number is ^(number)."""
    at = 0
    text = text.strip()
    while at < len(text):
        match = _TOKEN.match(text, at)
        if match is None:
            raise StatementError(f"statement '{statement[:60]}': expected numbers and signs")
        if match[2]:
            yield from ("^", "(", *re.findall(r"[0-9]+|-", match[2].translate(_RAISED)), ")")
        else:
            sign = str(match[0]).strip()
            yield _SAME.get(sign, sign)
        at = match.end()


class _Exact:
    """Recursive descent over the text of an expression, in fractions."""

    def __init__(self, text: str) -> None:
        self.tokens: list[str] = [*re.findall(r"[0-9]+|.", text), ""]
        self.at = 0

    def take(self, *signs: str) -> str:
        token = self.tokens[self.at]
        if token and token in signs:
            self.at += 1
            return token
        return ""

    def value(self) -> Fraction:
        found = self.sum()
        if self.tokens[self.at]:
            raise Undecided(f"an expression with {self.tokens[self.at]!r} in it")
        return found

    def sum(self) -> Fraction:
        total = self.product()
        while sign := self.take("+", "-"):
            term = self.product()
            total = total - term if sign == "-" else total + term
        return total

    def product(self) -> Fraction:
        sign = 1
        while found := self.take("+", "-"):
            sign = -sign if found == "-" else sign
        value = self.power()
        while True:
            if self.take("*"):
                value = value * self.signed_power()
            elif self.take("/"):
                value = _quotient(value, self.signed_power())
            elif self.tokens[self.at] == "(":
                value = value * self.power()
            else:
                return sign * _short(value)

    def signed_power(self) -> Fraction:
        return -self.power() if self.take("-") else self.power()

    def power(self) -> Fraction:
        base = self.atom()
        if self.take("!"):
            base = _of_factorial(base)
        if not self.take("^"):
            return base
        sign = -1 if self.take("-") else 1
        exponent = sign * self.power()  # a tower is worked from the top
        return _raised(base, exponent)

    def atom(self) -> Fraction:
        if self.take("("):
            inside = self.sum()
            if not self.take(")"):
                raise Undecided("an expression with a bracket that is not closed")
            return inside
        token = self.tokens[self.at]
        if not token.isdecimal():
            raise Undecided(f"an expression with {token!r} where a number is expected")
        self.at += 1
        return Fraction(int(token))


def _short(value: Fraction) -> Fraction:
    if max(value.numerator.bit_length(), value.denominator.bit_length()) > _BITS:
        raise Undecided(f"a number of more than {_BITS} binary digits")
    return value


def _quotient(a: Fraction, b: Fraction) -> Fraction:
    if b == 0:
        raise Undecided("a quotient by 0")
    return a / b


def _of_factorial(n: Fraction) -> Fraction:
    if n.denominator != 1 or not 0 <= n <= _LARGEST_FACTORIAL:
        raise Undecided(f"the factorial of {n}")
    return Fraction(factorial(int(n)))


def _raised(base: Fraction, exponent: Fraction) -> Fraction:
    if exponent.denominator != 1 or (base == 0 and exponent < 0):
        raise Undecided(f"the exponent {exponent}")
    size = max(abs(base.numerator), base.denominator).bit_length()
    if size > 1 and abs(exponent) * size > _BITS:
        raise Undecided(f"a power of more than {_BITS} binary digits")
    return Fraction(base ** int(exponent))


def _value_verdict(question: Expression, claim: int | None) -> Verdict:
    """Whether the exact value, divided by the modulus, leaves what is claimed."""
    m = question.modulus
    found = _Exact(question.text).value()
    method = done("the expression was worked out exactly, and then divided by the modulus")
    if gcd(found.denominator, m) > 1:
        if claim is None:
            return agreed(method)
        return disagreed(method, f"expected no value: the denominator {found.denominator}")
    if claim is None:
        return disagreed(method, "expected a residue, the answer says that there is none")
    if (found.denominator * claim - found.numerator) % m == 0:
        return agreed(method)
    return disagreed(method, f"expected another residue than {claim}")


KIND = Kind(checks={"the value": _value_verdict}, solutions=lambda question: None)
