"""A question whether there is a solution, or how many there are, is answered without solving on."""

import re
from itertools import product
from typing import Any

import pytest

from itembank.kinds.base import DECIDED, Problem, solution_to, worked_for
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from tests.kinds.board import read_board
from tests.kinds.congruences import general
from tests.kinds.sums import read_sums
from tests.kinds.telling import rendered
from tests.kinds.test_worked import statements

SAMPLES = [
    ("120x = 104 mod 136",),
    ("x^2 + 9x + 5 = 0 mod 117",),
    ("x^2 - 41 = 0 mod 256",),
    ("x^2 = 433 mod 1352",),
    ("x^3 = 8 mod 91",),
    ("x^65537 = 5 mod 61*53",),
    ("x = 7 mod 12", "x = 1 mod 18"),
    ("x = 2 mod 9", "x = 3 mod 13", "x = 4 mod 5"),
    ("x^2 = 1 mod 8", "x = 5 mod 12"),
    ("x^2 = 25 mod 600", "x = 1 mod 6"),
    ("x^2 = 4 mod 5", "x = 1 mod 6"),
    ("2x + 3y = 1 mod 12", "4x + 5y = 7 mod 12"),
    ("2x + 3y = 5 mod 26", "11x + 7y = 2 mod 26"),
    ("6x + 3y = 3 mod 12", "4x + 3y = 7 mod 12"),
    ("6x + 4y = 2 mod 8", "2x + 4y = 6 mod 8"),
]


def told(problem: Problem, ask: str) -> str:
    blocks = rendered(worked_for(problem, problem.solve(), ask))
    return " ".join(plain.blocks(blocks).split())


@pytest.mark.parametrize(("lines", "ask"), list(product(SAMPLES, sorted(DECIDED))))
def test_the_end_answers_what_is_asked_and_nothing_more(lines: tuple[str, ...], ask: str) -> None:
    problem = problem_from(list(lines))
    solution = problem.solve()
    way, text = solution_to(problem, ask, solution), told(problem, ask)

    assert way.answer == solution.answer
    assert way.effort <= solution.effort
    assert text.count("Answer.") == 1 and "Check." not in text
    assert len(text) <= len(told(problem, "all solutions"))
    if ask == "how many":
        n = len(tuple(residues(solution.answer)))
        said = text.partition("Answer.")[2]
        names = [
            "no",
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
        ]
        assert str(n) in re.findall(r"\d+", said) or (n < 13 and names[n] in said.split())


def residues(answer: Any) -> tuple[object, ...]:
    return getattr(answer, "pairs", None) or answer.residues()


def test_no_congruence_without_solutions_is_said_to_have_one() -> None:
    for lines in (("6x = 3 mod 10",), ("x^2 + 1 = 0 mod 21",), ("x = 1 mod 4", "x = 2 mod 6")):
        for ask in DECIDED:
            assert "no solution" in told(problem_from(list(lines)), ask)


def test_every_number_of_a_short_end_is_right() -> None:
    checked = 0
    for statement in statements(250):
        problem: Problem = general(statement)
        solution = problem.solve()
        for ask in DECIDED:
            blocks = rendered(worked_for(problem, solution, ask))
            try:
                checked += sum(read_board(problem, blocks).values())
            except AssertionError as e:
                raise AssertionError(f"{statement} ({ask}): {e}") from e
    for lines in SAMPLES:
        problem = problem_from(list(lines))
        for ask in DECIDED:
            blocks = rendered(worked_for(problem, problem.solve(), ask))
            checked += sum(read_sums(blocks, problem.modulus).values())
    assert checked > 2_000
