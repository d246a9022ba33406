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
from itembank.kinds.power_root.kind import PowerRoot
from itembank.maths.polynomials import Poly
from itembank.notation.building import plain_polynomial

OneUnknown = LinearCongruence | PolynomialCongruence | PowerRoot


def read(statements: Sequence[str]) -> OneUnknown | None:
    """The congruence stated; None for several statements; StatementError if it is none.

    >>> read(["x^2 = 2 mod 7"]).kind, read(["x^2 - 2 = 0 mod 7"]).kind
    ('power_root', 'polynomial')
    """
    return power_root.read(statements) or linear.read(statements) or polynomial.read(statements)


def of_sides(left: Poly, right: Poly, modulus: int, letter: str) -> OneUnknown:
    """The congruence of two sides, as the kind that its form asks for."""
    found = read(
        [f"{plain_polynomial(left, letter)} = {plain_polynomial(right, letter)} mod {modulus}"]
    )
    assert found is not None
    return found
