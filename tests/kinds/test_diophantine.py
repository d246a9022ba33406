"""Linear equations over the integers: against trial over a square of pairs, and sympy."""

from itertools import product
from math import gcd
from random import Random
from typing import Any

import pytest
from sympy import symbols
from sympy.solvers.diophantine.diophantine import diop_linear

from itembank.kinds.diophantine.method import counted, solve
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.second_way.table import decide
from itembank.values.errors import StatementError
from tests.kinds.telling import rendered

NOT_0 = [n for n in range(-6, 7) if n]


@pytest.mark.parametrize("a", NOT_0)
def test_the_line_holds_every_solution_in_a_square(a: int) -> None:
    for b, c in product(NOT_0, range(-9, 10)):
        problem: Any = problem_from([f"{a}x + {b}y = {c}"])
        solution = problem.solve()
        line = problem.line(solution)
        found = {(x, y) for x in range(-20, 21) for y in range(-20, 21) if a * x + b * y == c}
        if line is None:
            assert not found and not solution.answer and c % gcd(a, b)
            continue
        (x, y), (dx, dy) = line
        told = {(x + dx * t, y + dy * t) for t in range(-60, 61)}
        assert found == {(x, y) for x, y in told if abs(x) <= 20 and abs(y) <= 20}, (a, b, c)
        assert set(solution.answer.residues()) == {x for x in range(abs(b)) if (c - a * x) % b == 0}


def test_sympy_finds_solutions_for_the_same_equations() -> None:
    chance = Random("equations")
    x, y = symbols("x y", integer=True)
    for _ in range(60):
        a, b, c = (chance.randrange(-400, 400) or 1 for _ in range(3))
        theirs = diop_linear(a * x + b * y - c)
        assert bool(solve((a, b, c)).answer) == (theirs[0] is not None), (a, b, c)


def test_the_number_of_solutions_is_that_of_trial() -> None:
    for a, b, c, least in product(range(1, 8), range(1, 8), range(-3, 50), (0, 1)):
        expected = sum(a * x + b * y == c for x in range(least, 51) for y in range(least, 51))
        assert counted((a, b, c), least).answer.value == expected, (a, b, c, least)


def test_the_second_way_agrees_and_disagrees() -> None:
    chance = Random("claims")
    for _ in range(200):
        a, b, c = (chance.randrange(1, 40), chance.randrange(1, 40), chance.randrange(1, 300))
        problem = problem_from([f"number of positive solutions of {a}x + {b}y = {c}"])
        n = problem.solve().answer.value

        assert decide(problem.statement, "the value", n).status == "agreed"
        assert decide(problem.statement, "the value", n + 1).status == "disagreed"
        solvable = c % gcd(a, b) == 0
        assert decide(f"{a}x + {b}y = {c}", "whether any", solvable).status == "agreed"
        assert decide(f"{a}x + {b}y = {c}", "whether any", not solvable).status == "disagreed"


def test_letters_may_be_any_and_t_makes_way() -> None:
    problem = problem_from(["3t + 5u = 1"])
    text = " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())

    assert "t = 2 + 5s" in text and "u = −1 − 3s" in text


@pytest.mark.parametrize(
    ("statement", "message"),
    [
        ("0x + 3y = 2", "expected two coefficients other than 0"),
        ("number of positive solutions of 3x - 5y = 1", "infinitely many positive solutions"),
        (
            "number of positive solutions of x^2 + y = 3",
            "expected a linear equation in two unknowns",
        ),
        (f"{10**40}x + 3y = 2", "expected numbers of at most 40 digits"),
    ],
)
def test_what_is_refused(statement: str, message: str) -> None:
    with pytest.raises(StatementError, match=message):
        problem_from([statement])


def test_a_wrong_first_unknown_belongs_to_no_solution() -> None:
    """12x + 30y = 18: x = 4 and 9, 14, ... do; -4 does for -18, 3 is from 12x + 30y = 6."""
    problem = problem_from(["12x + 30y = 18"])
    solution = problem.solve()
    right = {x for x in range(30) if (18 - 12 * x) % 30 == 0}
    assert set(solution.answer.residues()) == right
    slips = {name: set(slip.answer) for slip in problem.slips(solution) for name in slip.names}
    assert slips["right-side-forgotten"] == {x for x in range(30) if (12 * x - 6) % 30 == 0}
    assert slips["sign-lost"] == {-x % 30 for x in right}
    assert not slips["sign-lost"] & right
