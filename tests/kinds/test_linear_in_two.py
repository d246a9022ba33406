"""One linear congruence in two unknowns: every row and small modulus, all pairs tried."""

from itertools import product
from random import Random

import pytest

from itembank.kinds.base import worked_for
from itembank.kinds.linear_in_two.method import solve
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.second_way.table import decide
from itembank.values.errors import StatementError
from tests.kinds.messages import text
from tests.kinds.telling import rendered


def tried(a: int, b: int, c: int, m: int) -> tuple[tuple[int, int], ...]:
    return tuple((x, y) for x in range(m) for y in range(m) if (a * x + b * y - c) % m == 0)


@pytest.mark.parametrize("m", range(1, 13))
def test_the_pairs_are_those_that_trial_finds(m: int) -> None:
    for a, b, c in product(range(m), repeat=3):
        assert solve((a, b, c), m).answer.pairs == tried(a, b, c, m), (a, b, c)


def test_larger_moduli_and_signs() -> None:
    chance = Random("two unknowns")
    for _ in range(300):
        m = chance.randrange(2, 60)
        a, b, c = (chance.randrange(-99, 100) or 1 for _ in range(3))
        problem = problem_from([f"{a}x + {b}y = {c} mod {m}"])
        found = problem.solve().answer.pairs

        assert found == tried(a, b, c, m), (a, b, c, m)
        assert problem_from(problem.statement) == problem
        assert decide(problem.statement, "all solutions", found).status == "agreed"
        assert decide(problem.statement, "how many", len(found) + 1).status == "disagreed"


def test_both_sides_may_hold_both_unknowns() -> None:
    assert problem_from(["3y + 5 = 2z + y mod 9"]).statement == ("2y - 2z = -5 mod 9",)


def test_what_the_working_says() -> None:
    problem = problem_from(["4u + 6v = 2 mod 12"])
    text = " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())

    assert "gcd(4, 6, 12) = 2 divides 2, so there are solutions." in text
    assert "There it is 2v ≡ 2 (mod 4), which says v ≡ 1 (mod 2)." in text
    assert "x" not in text.replace("next", "")


def test_too_many_pairs_are_counted_and_refused() -> None:
    with pytest.raises(StatementError, match="there are 10007 pairs, and at most 10000 are listed"):
        problem_from(["2x + 3y = 5 mod 10007"]).solve()


def test_how_many_there_are_is_told_without_listing_them():
    problem = problem_from(["12x + 8y = 6 mod 18"])
    solution = problem.solve()

    assert text(worked_for(problem, solution, "how many")) == (
        "Greatest common divisor. gcd(12, 8, 18) = 2 divides 6, so there are solutions. Count. "
        "There are 18² pairs of residues. For them 12x + 8y takes the 18/2 = 9 multiples of 2 "
        "modulo 18, each equally often: adding a fixed pair to (x, y) leads from one value to the "
        "next. So each is taken for 18²/9 = 36 pairs. Answer. The congruence has 36 solutions "
        "modulo 18."
    )
    assert text(worked_for(problem, solution, "whether any")).endswith(
        "Answer. The congruence has solutions."
    )
    assert "36 solutions" in text(worked_for(problem, solution, "all solutions"))
