"""A reader of worked solutions about units, who recomputes every relation between numbers.

It knows no step and no solver. Of every formula whose sides hold numbers alone it checks
each link: = exactly, ≡ and ≢ modulo the modulus that stands there or, in tables and short
chains where none does, modulo one that the solution names. Wrong is an AssertionError.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from math import factorial, gcd, lcm
from typing import Any

from itembank.notation import plain
from itembank.notation.layout import NOTHING
from itembank.notation.tree import (
    Blocks,
    Call,
    Display,
    Factorial,
    Formula,
    Group,
    Listing,
    Math,
    Minus,
    Modulo,
    Number,
    Paragraph,
    Power,
    Product,
    Quotient,
    Relation,
    Sum,
    Symbol,
    Table,
)

LARGEST_POWER = 10_000
"""Bits of the largest power that is computed exactly."""


class Unknown(Exception):
    """A side with letters, or too large to be computed exactly."""


def totient(n: int) -> int:
    return sum(gcd(a, n) == 1 for a in range(n)) if n < 10**5 else totient_by_sympy(n)


def totient_by_sympy(n: int) -> int:
    from sympy import totient as known

    return int(known(n))


def exponent_of_units(n: int) -> int:
    """Carmichael's lambda, by sympy."""
    from sympy import reduced_totient

    return int(reduced_totient(n))


def symbol(a: int, n: int) -> int:
    """Kronecker's symbol, by PARI."""
    from cypari import pari

    return int(pari.kronecker(a, n))


def value(node: Math, m: int | None = None) -> Any:
    """The value of a side, exact or modulo m; a fraction only where it is exact."""
    match node:
        case Number(n):
            found: Any = n
        case Group(inside):
            found = value(inside, m)
        case Minus(term):
            found = -value(term, m)
        case Sum(terms):
            found = sum(sign * value(term, m) for sign, term in terms)
        case Product(factors):
            found = 1
            for factor in factors:
                found *= value(factor, m)
        case Power(base, exponent):
            found = power(value(base, m), value(exponent), m)
        case Factorial(term):
            found = factorial_of(value(term), m)
        case Quotient(num, den):
            found = Fraction(value(num), value(den))
            assert m is None or found.denominator == 1, f"{plain.math(node)} is no whole number"
        case Call(function, arguments) if function.name == "gcd":
            found = gcd(*map(value, arguments))
        case Call(function, arguments) if function.name == "lcm":
            found = lcm(*map(value, arguments))
        case Call(function, (argument,)) if function.name == "φ":
            found = totient(value(argument))
        case Call(function, (argument,)) if function.name == "λ":
            found = exponent_of_units(value(argument))
        case Symbol(top, bottom):
            found = symbol(value(top), value(bottom))
        case _:
            raise Unknown
    return found if m is None else found % m


def power(a: int, e: int, m: int | None) -> int:
    if m is not None:
        return pow(a, e, m)
    if e < 0 or abs(a).bit_length() * e > LARGEST_POWER:
        raise Unknown
    return int(a**e)


def factorial_of(n: int, m: int | None) -> int:
    if m is None:
        if n > 1000:
            raise Unknown
        return factorial(n)
    if n > 10**6:
        raise Unknown
    found = 1
    for i in range(2, n + 1):
        found = found * i % m
    return found


@dataclass
class Sums:
    """The moduli that a solution names, and how many links were checked."""

    moduli: set[int]
    checked: dict[str, int] = field(default_factory=lambda: {"=": 0, "≡": 0, "≢": 0})

    def relation(self, node: Relation, m: int | None) -> None:
        for left, sign, right in zip(node.sides, node.signs, node.sides[1:], strict=False):
            if left == NOTHING or Listing in {type(left), type(right)}:
                continue
            try:
                holds = self.holds(left, sign, right, m)
            except Unknown:
                continue
            if holds is not None:
                assert holds, f"{plain.math(left)} {sign} {plain.math(right)}, modulus {m}"
                self.checked[sign] += 1

    def holds(self, left: Math, sign: str, right: Math, m: int | None) -> bool | None:
        """Whether one link is true; None for a sign that is no statement about residues."""
        if sign == "=":
            return value(left) == value(right)
        if sign not in ("≡", "≢"):
            return None
        candidates = self.moduli if m is None else {m}
        equal = any(value(left, n) == value(right, n) for n in candidates)
        return equal if sign == "≡" else not equal

    def math(self, node: object, m: int | None = None) -> None:
        match node:
            case Relation():
                self.relation(node, m)
            case Modulo(inside, modulus):
                try:
                    self.math(inside, value(modulus))
                except Unknown:
                    return
            case _:
                for part in parts_of(node):
                    self.math(part, m)


def parts_of(node: object) -> Iterator[object]:
    if isinstance(node, tuple):
        yield from node
    elif hasattr(node, "__dataclass_fields__"):
        yield from (getattr(node, name) for name in node.__dataclass_fields__)


def formulas(blocks: Blocks) -> Iterator[Math]:
    """Every formula, in order; rows of a display that go on are joined to the row before."""
    for block in blocks:
        match block:
            case Paragraph(content):
                yield from (part.math for part in content if isinstance(part, Formula))
            case Display(rows):
                yield from joined(rows)
            case Table(head, rows):
                for row in (head, *rows):
                    for cell in row:
                        yield from (part.math for part in cell if isinstance(part, Formula))


def joined(rows: tuple[Math, ...]) -> Iterator[Math]:
    whole: Relation | None = None
    for row in rows:
        if isinstance(row, Relation) and row.sides[0] == NOTHING and whole is not None:
            whole = Relation((*whole.sides, *row.sides[1:]), (*whole.signs, *row.signs))
            continue
        if whole is not None:
            yield whole
        whole = row if isinstance(row, Relation) else None
        if whole is None:
            yield row
    if whole is not None:
        yield whole


def moduli_in(node: object) -> Iterator[int]:
    if isinstance(node, Modulo):
        try:
            yield value(node.modulus)
        except Unknown:
            return
    for part in parts_of(node):
        yield from moduli_in(part)


def read_sums(blocks: Blocks, *moduli: int) -> dict[str, int]:
    """How many links of each sign were checked; `moduli` are those of the problem."""
    found = list(formulas(blocks))
    named = {m for formula in found for m in moduli_in(formula)}
    sums = Sums(named | set(moduli))
    for formula in found:
        sums.math(formula)
    return sums.checked
