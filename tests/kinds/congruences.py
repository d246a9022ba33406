"""Statements read as the two general kinds, whatever narrower kind their form belongs to."""

from itembank.kinds.linear.kind import LinearCongruence
from itembank.kinds.polynomial.kind import PolynomialCongruence
from itembank.kinds.typed import congruence


def general(statement: str) -> LinearCongruence | PolynomialCongruence:
    """Linear if both sides have degree at most 1, else polynomial; x^2 = 2 mod 7 too."""
    typed = congruence(statement)
    if max(len(typed.left), len(typed.right)) <= 2:
        return LinearCongruence(**vars(typed))
    return PolynomialCongruence(**vars(typed))
