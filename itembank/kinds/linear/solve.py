"""Solving ax = b (mod m), with the steps taught.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers,
5th ed., section 2.2, Theorem 2.17.
"""

from math import gcd

from itembank.kinds.base import Solution, Step
from itembank.kinds.linear.steps import (
    Collect,
    CommonDivisor,
    Divide,
    Invert,
    Multiply,
    Spread,
    Substitute,
    Vanish,
)
from itembank.kinds.wording import WRITTEN_OUT
from itembank.maths.remainders import euclid_steps
from itembank.values.answer import ResidueSet


def solve(a: int, b: int, m: int, collected: bool = True) -> Solution[ResidueSet]:
    """The complete solution; `collected` if the congruence was given as ax = b already.

    Requires m >= 1 and a, b in [0, m).
    """
    if a == 0:
        return Solution(ResidueSet.of(m, ((0, 1),) if b == 0 else ()), (Vanish(b, m),))
    steps: list[Step] = [] if collected else [Collect(a, b, m)]
    d = gcd(a, m)
    if a > 1:
        steps.append(CommonDivisor(a, b, m, d))
    if b % d:
        return Solution(ResidueSet.of(m, ()), tuple(steps))
    a1, b1, m1 = a // d, b // d, m // d
    if d > 1:
        steps.append(Divide(d, a1, b1, m1))
    inverse = pow(a1, -1, m1)
    if a1 > 1:
        steps.append(Invert(a1, m1, inverse, euclid_steps(a1, m1)))
    x0 = inverse * b1 % m1
    steps.append(Multiply(inverse, b1, m1, x0))
    if d > 1:
        steps.append(Spread(x0, m1, m))
    answer = ResidueSet.of(m, ((x0, m1),))
    if d <= WRITTEN_OUT:
        steps.append(Substitute(a, b, m, answer.residues()))
    return Solution(answer, tuple(steps))
