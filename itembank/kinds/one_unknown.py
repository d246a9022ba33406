"""A congruence in one unknown, read as the kind that its form asks for.

A pure power beside a number is a root; both sides of degree at most 1 are linear; every
other congruence is polynomial.
"""

from collections.abc import Sequence

from itembank.kinds.linear import kind as linear
from itembank.kinds.linear.kind import LinearCongruence
from itembank.kinds.polynomial import kind as polynomial
from itembank.kinds.polynomial.kind import PolynomialCongruence
from itembank.kinds.power_root import kind as power_root
from itembank.kinds.power_root.kind import PowerRoot, is_pure_power
from itembank.maths.polynomials import Poly
from itembank.values.errors import StatementError
from itembank.values.worded import worded

OneUnknown = LinearCongruence | PolynomialCongruence | PowerRoot


def read(statements: Sequence[str]) -> OneUnknown | None:
    """The congruence stated; None for several statements; StatementError if it is none.

    >>> read(["x^2 = 2 mod 7"]).kind, read(["x^2 - 2 = 0 mod 7"]).kind
    ('power_root', 'polynomial')
    """
    return power_root.read(statements) or linear.read(statements) or polynomial.read(statements)


def of_sides(left: Poly, right: Poly, modulus: int, letter: str) -> OneUnknown:
    """The congruence of two sides, as the kind that its form asks for.

    StatementError for sides that are both numbers, and for a modulus below 1.
    """
    if max(len(left), len(right)) <= 1:
        raise StatementError(
            worded("given.congruence: expected an unknown such as x, found only numbers")
        )
    if modulus < 1:
        raise StatementError(
            worded(
                "given.modulus: expected a modulus of at least 1, got {modulus}", modulus=modulus
            )
        )
    for power, number in ((left, right), (right, left)):
        if is_pure_power(power) and len(number) <= 1:
            return PowerRoot(
                exponent=len(power) - 1, power=sum(number), modulus=modulus, letter=letter
            )
    kind = LinearCongruence if max(len(left), len(right)) <= 2 else PolynomialCongruence
    return kind(left=left, right=right, modulus=modulus, letter=letter)
