"""Student errors in the remainder of an expression: the expression altered, and worked out.

One function a mistake: what it makes of a node of the expression, or None where it leaves it.
The catalogue is common practice of the trade.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from itembank.kinds.base import Remark, Slip, slip
from itembank.kinds.remainder.method import remainder_found
from itembank.kinds.typed import walk
from itembank.languages import say
from itembank.notation.building import dotted, number
from itembank.notation.tree import Group, Math, Minus, Number, Power, Product, Quotient, Sum
from itembank.values.answer import Value
from itembank.values.errors import StatementError

_LARGEST = 10**6
"""Slips are computed modulo at most this."""

_Change = Callable[[Math], Math | None]


@dataclass(frozen=True)
class Work:
    """An expression and the modulus."""

    expression: Math
    m: int


def _altered(node: Math, change: _Change) -> Math:
    """The expression with what the change makes of its nodes, the outermost first."""
    new = change(node)
    if new is not None:
        return new
    match node:
        case Sum(terms):
            return Sum(tuple((sign, _altered(term, change)) for sign, term in terms))
        case Product(factors, dot):
            return Product(tuple(_altered(factor, change) for factor in factors), dot)
        case Minus(term):
            return Minus(_altered(term, change))
        case Group(inside):
            return Group(_altered(inside, change))
        case Quotient(top, bottom):
            return replace(node, num=_altered(top, change), den=_altered(bottom, change))
    return node


def _plain_power(node: Math) -> tuple[Math, int] | None:
    """Base and exponent of a power with an exponent of at least 2; None for other nodes."""
    match node:
        case Power(base, Number(e)) if e >= 2:
            return base, e
    return None


def _exponents_reduced(w: Work) -> Math:
    def change(node: Math) -> Math | None:
        found = _plain_power(node)
        return Power(found[0], Number(found[1] % w.m)) if found else None

    return _altered(w.expression, change)


def _powers_multiplied(w: Work) -> Math:
    def change(node: Math) -> Math | None:
        found = _plain_power(node)
        return Group(dotted((found[0], found[1]))) if found else None

    return _altered(w.expression, change)


def _coefficients_raised(w: Work) -> Math:
    def change(node: Math) -> Math | None:
        match node:
            case Product((Number(c), Power(Number(b), Number(e)))) if e >= 2:
                return Power(number(c * b), Number(e))
        return None

    return _altered(w.expression, change)


def _signs_lost(w: Work) -> Math:
    def change(node: Math) -> Math | None:
        match node:
            case Sum(terms) if any(sign < 0 for sign, _term in terms):
                return Sum(tuple((1, term) for _sign, term in terms))
            case Minus(term):
                return term
            case Number(n) if n < 0:
                return Number(-n)
        return None

    return _altered(w.expression, change)


def _last_term_left_out(w: Work) -> Math:
    match w.expression:
        case Sum(terms) if len(terms) > 2:
            return Sum(terms[:-1])
        case Sum(((1, first), _last)):
            return first
    return w.expression


def _said_of_exponents(w: Work) -> Remark:
    return say(
        "If you reduced an exponent modulo {m}: exponents repeat with the order of the "
        "base, not with the modulus.",
        m=w.m,
    )


def _said_of_powers(w: Work) -> Remark:
    return say("If you multiplied a base by its exponent: a power is a product of equal factors.")


def _said_of_coefficients(w: Work) -> Remark:
    return say("Check what the exponent belongs to: the base alone, not the factor in front of it.")


def _said_of_signs(w: Work) -> Remark:
    return say("Check the sign of each term.")


def _said_of_the_last_term(w: Work) -> Remark:
    return say("Check that every term is there, the last one too.")


MISTAKES: dict[str, tuple[Callable[[Work], Math], Callable[[Work], Remark]]] = {
    "exponent-reduced-modulo-m": (_exponents_reduced, _said_of_exponents),
    "base-times-exponent": (_powers_multiplied, _said_of_powers),
    "factor-raised": (_coefficients_raised, _said_of_coefficients),
    "sign-lost": (_signs_lost, _said_of_signs),
    "last-term-left-out": (_last_term_left_out, _said_of_the_last_term),
}
"""In the order of the method."""


def slips_of(w: Work) -> Iterator[Slip]:
    """The slips that can be made here."""
    if not 3 <= w.m <= _LARGEST:
        return
    if sum(1 for _node in walk(w.expression)) > 200:
        return
    for name, (alter, said) in MISTAKES.items():
        wrong = alter(w)
        value = None if wrong == w.expression else _worked_out(wrong, w.m)
        if value is not None:
            yield slip(name, (value,), said(w))


def _worked_out(expression: Math, m: int) -> int | None:
    try:
        answer = remainder_found(expression, m, (), "").answer
    except StatementError:
        return None
    return answer.value if isinstance(answer, Value) else None
