"""Accidental gifts: variants that are settled by a way much shorter than the method.

A student who tries 0, 1, 2, ... until a number fits, reads the answer off the question, or sees
the root of a perfect power, shows nothing of what the family asks for. Such variants are passed
over unless the family says `shortcuts: allowed`; so are coefficients that are no residues, unless
it says `coefficients: any`.
"""

import re
from fractions import Fraction
from typing import Any

from itembank.kinds.base import Problem, Solution
from itembank.maths.primes import is_prime
from itembank.values.answer import ResidueSet, Value

_HONEST = Fraction(3, 5)
"""The least share of the steps of the method that the shortest way may take."""

_TRIED = 10_000
"""The largest modulus modulo which anybody tries all residues."""

_TRIED_OUT = "a shorter way: numbers are tried until one fits"

_ONE = ("the solution", "the least")
"""What is asked where the first number that fits is the answer."""


def shortcut(
    ask: str, problem: Problem, solution: Solution[Any], integers: tuple[int, ...] | None = None
) -> str:
    """Why a variant is too easily settled; "" if it is not.

    integers: those of a range that answer, where the family asks for such.
    """
    answer = solution.answer
    if isinstance(answer, Value) and problem.kind == "inverse" and ask == "the value":
        return _TRIED_OUT if answer.value + 1 < _HONEST * solution.effort else ""
    if not isinstance(answer, ResidueSet):
        return ""
    trials = trials_needed(ask, problem, answer)
    if trials is not None and trials < _HONEST * solution.effort:
        return _TRIED_OUT
    one = integers[0] if integers and len(integers) == 1 else answer.least()
    if ask in _ONE and answer.count == 1 and one in _printed(problem):
        return "a shorter way: the answer stands in the question"
    if _root_in_plain_sight(problem):
        return "a shorter way: the right side is a perfect power"
    return ""


def trials_needed(ask: str, problem: Problem, answer: ResidueSet) -> int | None:
    """How many numbers are tried until the question is settled; None where nobody would."""
    m, least = answer.modulus, answer.least()
    if m > _TRIED:
        return None
    if ask in _ONE:
        return m if least is None else least + 1
    if ask != "all solutions":
        return None
    together = getattr(problem, "symmetry", lambda: None)()
    if together is None:
        return m
    if is_prime(m) and least is not None and together(least) == set(answer.residues()):
        return least + 2  # the first that fits, and its partner
    return -(-m // len(together(1)))


def _printed(problem: Problem) -> set[int]:
    """The numbers that stand in the congruences, but for the moduli."""
    sides = (line.rpartition(" mod ")[0] for line in problem.statement)
    return {int(n) for side in sides for n in re.findall(r"\d+", side)}


def _root_in_plain_sight(problem: Problem) -> bool:
    """Whether x^k = a has a root among the integers."""
    k, a = getattr(problem, "exponent", None), getattr(problem, "power", None)
    if not isinstance(k, int) or not isinstance(a, int) or a < 0:
        return False
    root = 0
    while root**k < a:
        root += 1
    return bool(root**k == a)


def beyond_the_modulus(problem: Problem) -> bool:
    """Whether a coefficient of a polynomial congruence is no residue, nor minus one."""
    m = problem.modulus
    sides = getattr(problem, "left", ()), getattr(problem, "right", ())
    if m is None or not all(isinstance(side, tuple) for side in sides):
        return False
    return any(abs(c) >= m for side in sides for c in side)
