"""Solving ax = b (mod m), with the steps taught.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers,
5th ed., section 2.2, Theorem 2.17.
"""

from math import gcd

from itembank.kinds.base import Solution, Step
from itembank.kinds.linear.isolating import isolating
from itembank.kinds.linear.steps import (
    Collect,
    CommonDivisor,
    Decide,
    Divide,
    Isolate,
    Spread,
    Substitute,
    Vanish,
)
from itembank.values.answer import ResidueSet


def solve(a: int, b: int, m: int, collect: str = "", inverse: str = "") -> Solution[ResidueSet]:
    """The complete solution; `inverse` is how a course finds inverses.

    `collect` is "reduce" if other representatives of a and b were given, "move" if other sides.

    Requires m >= 1 and a, b in [0, m).
    """
    if a == 0:
        return Solution(ResidueSet.of(m, ((0, 1),) if b == 0 else ()), (Vanish(b, m),))
    steps: list[Step] = [Collect(a, b, m, collect == "move")] if collect else []
    d = gcd(a, m)
    if a > 1:
        steps.append(CommonDivisor(a, b, m, d))
    if b % d:
        return Solution(ResidueSet.of(m, ()), tuple(steps))
    a1, b1, m1 = a // d, b // d, m // d
    if d > 1:
        steps.append(Divide(d, a1, b1, m1))
    way = isolating(a1, b1, m1, inverse)
    if a1 > 1:
        steps.append(Isolate(way))
    if d > 1:
        steps.append(Spread(way.x, m1, m))
    answer = ResidueSet.of(m, ((way.x, m1),))
    steps.append(Substitute(a, b, m, way.x, m1))
    return Solution(answer, tuple(steps))


def decided(solution: Solution[ResidueSet]) -> Solution[ResidueSet]:
    """The solution as far as it takes to say whether there are solutions, and how many."""
    asked = (Collect, Vanish, CommonDivisor)
    steps = tuple(step for step in solution.steps if isinstance(step, asked))
    answer = solution.answer
    return Solution(answer, (*steps, Decide(answer.modulus, answer.count)))
