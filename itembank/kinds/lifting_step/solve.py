"""Lifting one root r of f from p^k to p^(k+1).

Notation as in `steps`.  Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory
of Numbers, 5th ed., section 2.6, Theorem 2.23.
"""

from itembank.kinds.base import Solution
from itembank.kinds.lifting_step.steps import Lifts, Root, Slope, SolveForT
from itembank.maths.polynomials import Poly, derivative, value
from itembank.values.answer import ResidueSet


def solve(f: Poly, r: int, p: int, k: int, moved: bool) -> Solution[ResidueSet]:
    """The roots of f modulo p^(k+1) above r; `moved` if f is not the left side as stated.

    Requires a prime p, k >= 1, 0 <= r < p^k and f(r) = 0 (mod p^k): unchecked.
    """
    q = p**k
    at_root, slope = value(f, r), value(derivative(f), r)
    quotient = at_root // q % p
    if slope % p:
        ts: tuple[int, ...] | None = (-quotient * pow(slope, -1, p) % p,)
    else:
        ts = () if quotient else None
    steps = (
        Root(f, r, p, k, at_root, moved),
        Slope(f, r, p, slope),
        SolveForT(r, p, k, at_root, quotient, slope % p, ts),
        Lifts(f, r, p, k, ts),
    )
    classes = ((r, q),) if ts is None else tuple((r + q * t, q * p) for t in ts)
    return Solution(ResidueSet.of(q * p, classes), steps)
