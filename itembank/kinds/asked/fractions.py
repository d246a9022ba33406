"""Fractions and negative powers in a congruence: 1/3 and 3^-1 are the inverse of 3.

A congruence has whole coefficients when it reaches its kind; what stood for each fraction is
told before the working.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from itertools import pairwise
from math import gcd
from typing import Any

from itembank.kinds.typed import integer, walk
from itembank.languages import Said, say
from itembank.notation import plain
from itembank.notation.reading import formula
from itembank.notation.tree import (
    Group,
    Letter,
    Math,
    Minus,
    Modulo,
    Number,
    Power,
    Product,
    Quotient,
)
from itembank.values.errors import StatementError
from itembank.values.worded import worded

_COEFFICIENT = re.compile(r"(?<![\w)^!/.])([0-9]+ ?/ ?[0-9]+) ?(?=[A-Za-z(])(?! ?(?:mod|and|or)\b)")
"""A fraction before a letter or a bracket: 1/3 x is (1/3)x."""


@dataclass(frozen=True)
class Fraction:
    """top/bottom = value (mod m), as it was typed."""

    typed: Math
    top: int
    bottom: int
    value: int
    modulus: int

    @property
    def told(self) -> Said:
        return say(
            "${typed} ≡ {value} (mod {m})$, since ${bottom} · {value} = {product} ≡ {top} "
            "(mod {m})$.",
            typed=self.typed,
            value=self.value,
            m=self.modulus,
            bottom=self.bottom,
            product=self.bottom * self.value,
            top=self.top,
        )


def _bracketed(line: str) -> str:
    """The line with brackets round a fraction that is a coefficient.

    >>> _bracketed("1/3 x = 2/5 mod 7")
    '(1/3)x = 2/5 mod 7'
    """
    return _COEFFICIENT.sub(r"(\1)", line)


def whole(line: str) -> tuple[str, tuple[Fraction, ...]]:
    """The line with whole coefficients, and what stood for each fraction.

    StatementError where a denominator has no inverse, or holds the unknown.
    """
    tree = formula(_bracketed(line))
    if not isinstance(tree, Modulo):
        return line, ()
    m = abs(integer(tree.modulus, line))
    if m == 0:
        return line, ()
    reader = _Whole(line, m)
    inside = reader.of(tree.inside)
    if not reader.found:
        return line, ()
    return plain.typed(Modulo(inside, tree.modulus)), tuple(reader.found)


class _Whole:
    """Replaces the fractions of one line, and keeps what it found."""

    def __init__(self, line: str, m: int) -> None:
        self.line = line
        self.m = m
        self.found: list[Fraction] = []

    def of(self, node: Math) -> Math:
        match node:
            case Quotient(top, bottom):
                return self.quotient(node, top, bottom)
            case Power(base, exponent) if (e := _negative(exponent)) is not None:
                return self.inverse_power(node, base, e)
            case Power(base, exponent):
                return Power(self.of(base), exponent)
            case Group(inside):
                replaced = self.of(inside)
                return replaced if isinstance(replaced, Number) else Group(replaced)
            case Product(factors, dot):
                return _product([self.of(factor) for factor in factors], dot)
        return replace(node, **dict(self.parts(node)))

    def parts(self, node: Math) -> Iterator[tuple[str, Any]]:
        for field in fields(node):
            yield field.name, self.part(getattr(node, field.name))

    def part(self, value: Any) -> Any:
        if isinstance(value, tuple):
            return tuple(map(self.part, value))
        return self.of(value) if isinstance(value, Math) else value

    def quotient(self, node: Math, top: Math, bottom: Math) -> Math:
        if _has_letters(bottom):
            raise StatementError(
                worded(
                    "{line}: expected a number under the fraction bar, found {math}; multiply both "
                    "sides by it first",
                    line=repr(self.line),
                    math=plain.math(bottom),
                )
            )
        b = integer(bottom, self.line)
        if not _has_letters(top):
            return Number(self.value(node, integer(top, self.line), b))
        value = self.value(Quotient(Number(1), bottom), 1, b)
        return _product([Number(value), Group(self.of(top))], False)

    def inverse_power(self, node: Math, base: Math, e: int) -> Math:
        if _has_letters(base):
            raise StatementError(
                worded(
                    "{line}: expected an exponent of at least 0 for the unknown, got {what}; "
                    "multiply both sides by {math}",
                    line=repr(self.line),
                    what=-e,
                    math=plain.math(Power(base, Number(e)) if e > 1 else base),
                )
            )
        return Number(self.value(node, 1, integer(Power(base, Number(e)), self.line)))

    def value(self, node: Math, top: int, bottom: int) -> int:
        """top/bottom modulo m."""
        if bottom == 0:
            raise StatementError(
                worded("{line}: expected a denominator other than 0", line=repr(self.line))
            )
        d = gcd(top, bottom)
        a, b = top // d, bottom // d
        if (shared := gcd(b, self.m)) > 1:
            raise StatementError(
                worded(
                    "{line}: expected a denominator coprime to {m}, got {bottom}, which shares "
                    "{shared} with it and has no inverse; write whole coefficients",
                    line=repr(self.line),
                    m=self.m,
                    bottom=bottom,
                    shared=shared,
                )
            )
        found = a * pow(b, -1, self.m) % self.m
        self.found.append(Fraction(node, a, b, found, self.m))
        return found


def _product(factors: list[Math], dot: bool) -> Math:
    """The factors side by side, with a dot where two numbers meet."""
    pairs = pairwise(factors)
    return Product(tuple(factors), dot or any(isinstance(b, Number) for _a, b in pairs))


def _negative(exponent: Math) -> int | None:
    """e of an exponent -e; None for any other."""
    match exponent:
        case Number(value) if value < 0:
            return -value
        case Minus(Number(value)) if value > 0:
            return value
    return None


def _has_letters(node: Math) -> bool:
    return any(isinstance(part, Letter) for part in walk(node))
