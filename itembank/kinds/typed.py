"""What is typed, from the tree of its notation to integers and polynomials.

`itembank.notation.reading` reads the notation; here a tree becomes the polynomials, the
modulus and the letters of a statement, or a StatementError that quotes it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, fields

from itembank.maths.polynomials import Poly, product, scaled, sum_of, trimmed
from itembank.notation import plain
from itembank.notation.reading import formula
from itembank.notation.tree import (
    Call,
    Group,
    Letter,
    Math,
    Minus,
    Modulo,
    Number,
    Power,
    Product,
    Relation,
    Sum,
)
from itembank.values.errors import StatementError
from itembank.values.worded import worded

_HIGHEST_DEGREE = 2000
"""The highest degree that is read."""

_LONGEST_NUMBER = 4096
"""The longest coefficient or modulus, in bits."""


@dataclass(frozen=True, kw_only=True)
class TypedCongruence:
    """left = right (mod modulus) in one letter, with the modulus as typed and its factors."""

    left: Poly
    right: Poly
    modulus: int
    letter: str
    typed_modulus: str
    known_factors: tuple[int, ...]


def congruence(text: str) -> TypedCongruence:
    """A congruence in one unknown; StatementError if it is none."""
    tree = formula(text)
    if not isinstance(tree, Modulo):
        raise StatementError(
            worded(
                "{text}: expected a congruence with a modulus, such as x^2 = 2 mod 7",
                text=repr(text),
            )
        )
    relation = tree.inside
    if not isinstance(relation, Relation) or relation.signs != ("≡",):
        raise StatementError(
            worded(
                "{text}: expected one ≡ or = between two sides, such as x^2 = 2 mod 7",
                text=repr(text),
            )
        )
    letter = _unknown(relation, text)
    left, right = (_polynomial(side, letter, text) for side in relation.sides)
    return TypedCongruence(
        left=left,
        right=right,
        modulus=modulus(tree.modulus, text),
        letter=letter,
        typed_modulus=modulus_typed(tree.modulus, text),
        known_factors=tuple(sorted(set(integers(tree.modulus)) - {0, 1})),
    )


def modulus(node: Math, text: str) -> int:
    """A modulus, at least 1: a negative one has the multiples of its absolute value."""
    m = integer(node, text)
    if m == 0:
        raise StatementError(
            worded(
                "{text}: expected a modulus other than 0; modulo 0 only equal numbers are "
                "congruent",
                text=repr(text),
            )
        )
    return abs(m)


def modulus_typed(node: Math, text: str) -> str:
    """The modulus as its author wrote it; "" where it is negative, and shown in digits."""
    return plain.typed(node) if integer(node, text) > 0 else ""


def _unknown(tree: Math, text: str) -> str:
    """The one letter of a statement."""
    letters = {node.name for node in walk(tree) if isinstance(node, Letter)}
    if not letters:
        raise StatementError(
            worded("{text}: expected an unknown such as x, found only numbers", text=repr(text))
        )
    if len(letters) > 1:
        raise StatementError(
            worded(
                "{text}: expected one unknown, found {letters}; write numbers for the others",
                text=repr(text),
                letters=", ".join(sorted(letters)),
            )
        )
    return letters.pop()


def walk(node: object) -> Iterator[Math]:
    """The node and all nodes below it."""
    pending = [node]
    while pending:
        current = pending.pop()
        if isinstance(current, tuple):
            pending += current
        elif isinstance(current, Call):  # its name is no unknown
            yield current
            pending += current.arguments
        elif isinstance(current, Math):
            yield current
            pending += [getattr(current, field.name) for field in fields(current)]


def integers(node: Math) -> Iterator[int]:
    """The numbers written in a modulus, and what its brackets hold: they help to factor it."""
    for part in walk(node):
        if isinstance(part, Number):
            yield part.value
        elif isinstance(part, Group):
            yield integer(part, plain.typed(part))


def integer(node: Math, text: str) -> int:
    """The value of a tree without letters."""
    if any(isinstance(part, Letter) for part in walk(node)):
        raise StatementError(
            worded(
                "{text}: expected a number, found {math}", text=repr(text), math=plain.math(node)
            )
        )
    value = _polynomial(node, "", text)
    return value[0] if value else 0


def _polynomial(node: Math, letter: str, text: str) -> Poly:
    """The polynomial that a tree writes, expanded; StatementError for anything else."""
    match node:
        case Number(value):
            f: Poly = (value,)
        case Letter(name, 0) if name == letter:
            f = (0, 1)
        case Minus(term):
            f = scaled(_polynomial(term, letter, text), -1)
        case Group(inside):
            f = _polynomial(inside, letter, text)
        case Sum(terms):
            f = ()
            for sign, term in terms:
                f = sum_of(f, scaled(_polynomial(term, letter, text), sign))
        case Product(factors):
            f = (1,)
            for factor in factors:
                f = _bounded(product(f, _polynomial(factor, letter, text)), text)
        case Power(base, exponent):
            f = _to_the_power(_polynomial(base, letter, text), integer(exponent, text), text)
        case _:
            raise StatementError(
                worded(
                    "{text}: expected a polynomial with whole coefficients, found {math}",
                    text=repr(text),
                    math=plain.math(node),
                )
            )
    return _bounded(trimmed(f), text)


def _to_the_power(f: Poly, n: int, text: str) -> Poly:
    """f^n by squaring, refused before it grows too large."""
    if n < 0:
        raise StatementError(
            worded("{text}: expected an exponent of at least 0, got {n}", text=repr(text), n=n)
        )
    largest = max(map(abs, f), default=0)
    if (len(f) - 1) * n > _HIGHEST_DEGREE or (
        largest > 1 and largest.bit_length() * n > 2 * _LONGEST_NUMBER
    ):
        raise StatementError(
            worded(
                "{text}: the exponent {n} is too large; degrees go up to {highest_degree} and "
                "numbers up to {longest_number} bits",
                text=repr(text),
                n=n,
                highest_degree=_HIGHEST_DEGREE,
                longest_number=_LONGEST_NUMBER,
            )
        )
    result: Poly = (1,)
    while n:
        if n % 2:
            result = product(result, f)
        f, n = product(f, f) if n > 1 else f, n // 2
    return result


def _bounded(f: Poly, text: str) -> Poly:
    if len(f) - 1 > _HIGHEST_DEGREE:
        raise StatementError(
            worded(
                "{text}: the degree {n} is above {highest_degree}",
                text=repr(text),
                n=len(f) - 1,
                highest_degree=_HIGHEST_DEGREE,
            )
        )
    if any(c.bit_length() > _LONGEST_NUMBER for c in f):
        raise StatementError(
            worded(
                "{text}: a number is longer than {longest_number} bits",
                text=repr(text),
                longest_number=_LONGEST_NUMBER,
            )
        )
    return f
