"""For which c it is solvable: every residue put in, the criterion, and published numbers."""

from math import gcd

import pytest

from itembank.kinds.right_sides.kind import read
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.second_way.table import decide
from itembank.values.errors import StatementError
from tests.kinds.telling import rendered


def sides(a: int, k: int, m: int) -> list[int]:
    return sorted({a * x**k % m for x in range(m)})


CASES = [(a, 1, m) for m in range(2, 25) for a in range(m)] + [
    (a, k, p) for p in (3, 5, 7, 11, 13) for k in (2, 3, 4, 6) for a in (1, 2, p - 1)
]


def test_the_set_and_its_number_are_those_of_exhaustion() -> None:
    for a, k, m in CASES:
        text = f"c for which {a}x^{k} = c mod {m} is solvable"
        every, number = problem_from([text]), problem_from([f"number of {text}"])
        expected = sides(a, k, m)
        found = every.solve().answer
        assert list(found.residues()) == expected, text
        assert number.solve().answer.value == len(expected), text
        claim = [(m, found.classes())]
        assert decide(every.statement, "all solutions", claim).status == "agreed"
        assert decide(number.statement, "the value", len(expected)).status == "agreed"
        assert decide(number.statement, "the value", len(expected) + 1).status == "disagreed"


def test_each_right_side_of_a_linear_congruence_has_as_many_solutions() -> None:
    """m residues are shared out over the right sides, gcd(a, m) to each."""
    for a, m in ((6, 15), (84, 360), (7, 10)):
        n = problem_from([f"number of c for which {a}x = c mod {m} is solvable"]).solve().answer
        assert n.value * gcd(a, m) == m


def test_wrong_sets_are_none_of_the_right_one() -> None:
    for a, k, m in CASES:
        problem = problem_from([f"c for which {a}x^{k} = c mod {m} is solvable"])
        for slip in problem.slips(problem.solve()):
            assert list(slip.answer) != sides(a, k, m)


def test_the_other_letter_is_the_unknown() -> None:
    problem = read(["c for which 3t^2 = c mod 11 is solvable"])
    told = plain.blocks(rendered(problem.worked(problem.solve())))

    assert "t²" in told and "x" not in told.replace("exactly", "")


@pytest.mark.parametrize(
    ("statement", "expected"),
    [
        ("c for which x^2 = c mod 15 is solvable", "an odd prime modulus"),
        ("c for which 7x^2 = c mod 7 is solvable", "does not divide the coefficient"),
        ("c for which 3c = c mod 7 is solvable", "another unknown than c"),
        ("c for which x^101 = c mod 7 is solvable", "an exponent of 1 to 100"),
        ("c for which 3x = c mod 10007 is solvable", "at most 10000"),
    ],
)
def test_what_the_method_does_not_cover_is_refused(statement: str, expected: str) -> None:
    with pytest.raises(StatementError, match=expected):
        problem_from([statement])


def test_those_without_a_solution_are_all_the_others() -> None:
    for a, k, m in CASES:
        problem = problem_from([f"c for which {a}x^{k} = c mod {m} is not solvable"])
        found = problem.solve().answer
        assert sorted({*found.residues(), *sides(a, k, m)}) == list(range(m))
        assert not {*found.residues()} & {*sides(a, k, m)}
        claim = [(m, found.classes())]
        assert decide(problem.statement, "all solutions", claim).status == "agreed"
        for slip in problem.slips(problem.solve()):
            assert slip.answer != found.residues()
