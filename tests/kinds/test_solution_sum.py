"""The sum of the solutions: exhaustion, what Vieta says, and the number itself among its slips."""

from random import Random

import pytest

from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.second_way.table import decide
from itembank.values.errors import StatementError
from tests.kinds.congruence_samples import statements
from tests.kinds.telling import feedback_of, rendered


def solved(congruence: str):
    problem = problem_from([f"sum of the solutions of {congruence}"])
    return problem, problem.solve()


def test_the_sum_is_that_of_exhaustion() -> None:
    chance = Random("sums")
    for _ in range(300):
        m, b, c = chance.randrange(2, 200), chance.randrange(1, 50), chance.randrange(50)
        text = f"x^2 + {b}x + {c} = 0 mod {m}"
        expected = sum(x for x in range(m) if (x * x + b * x + c) % m == 0)
        assert solved(text)[1].answer.value == expected, text


def test_both_ways_agree_and_refuse_the_next_number() -> None:
    for (line,) in statements("solution_count", 150):
        congruence = line.removeprefix("number of solutions of ")
        problem, solution = solved(congruence)
        total = solution.answer.value
        assert decide(problem.statement, "the value", total).status == "agreed", congruence
        assert decide(problem.statement, "the value", total + 1).status == "disagreed"


@pytest.mark.parametrize(
    ("congruence", "total"),
    [
        ("x^2 + 9x + 5 = 0 mod 117", 7 + 20 + 88 + 101),
        ("x^2 = 1 mod 8", 1 + 3 + 5 + 7),
        ("6x = 9 mod 15", 4 + 9 + 14),
        ("4x = 3 mod 10", 0),
    ],
)
def test_sums_by_hand(congruence: str, total: int) -> None:
    problem, solution = solved(congruence)

    assert solution.answer.value == total
    assert str(total) in plain.blocks(rendered(problem.worked(solution)))


def test_the_coefficient_tells_the_sum_of_two_roots_modulo_m_only() -> None:
    problem, solution = solved("x^2 + x + 1 = 0 mod 91")
    by_name = {name: s for s in problem.slips(solution) for name in s.names}

    assert by_name["coefficient-read-off"].answer == (-1 % 91,)
    assert by_name["sum-reduced"].answer == (180 % 91,)


def test_no_feedback_speaks_of_residues_where_a_sum_was_given() -> None:
    for congruence in ("4x = 3 mod 10", "6x = 9 mod 15", "14x = 5 mod 21"):
        problem, solution = solved(congruence)
        for slip in problem.slips(solution):
            said = plain.blocks(feedback_of(slip))
            assert "these residues" not in said and "This residue" not in said


def test_too_many_solutions_are_refused() -> None:
    with pytest.raises(StatementError, match="more than 200"):
        solved("0x = 0 mod 1000")
