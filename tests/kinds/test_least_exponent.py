"""Least exponents for bases that are not coprime to the modulus: every small one, by powers."""

from math import gcd

import pytest

from itembank.kinds.least_exponent.kind import LeastExponent
from itembank.kinds.least_exponent.method import Found, Powers
from itembank.kinds.statement import problem_from
from itembank.second_way.table import decide
from itembank.values.answer import Value
from itembank.values.errors import StatementError


@pytest.mark.parametrize("m", range(2, 31))
def test_the_exponents_are_those_that_powers_show(m: int) -> None:
    """0^0 is 1; the exponents told are all up to 60."""
    for b in (b for b in range(m) if gcd(b, m) > 1):
        for c in range(m):
            problem = problem_from([f"3 * {b}^x = {c} mod {m}"])
            assert isinstance(problem, LeastExponent)
            solution = problem.solve()
            expected = {x for x in range(60) if 3 * b**x % m == c}
            found = next(step for step in solution.steps if isinstance(step, Found))
            told = {x + i * found.period for x in found.repeated for i in range(60)}

            assert {x for x in (*found.alone, *told) if x < 60} == expected, (b, c, m)
            assert solution.answer == Value(min(expected)) if expected else not told


def test_the_tail_is_no_longer_than_it_has_to_be() -> None:
    """Modulo p^k m' the powers of a multiple of p repeat at the latest from k on."""
    for m, b, tail, period in ((8, 2, 3, 1), (12, 2, 2, 2), (72, 6, 3, 1), (28, 6, 2, 2)):
        solution = problem_from([f"{b}^x = 0 mod {m}"]).solve()
        powers = next(step for step in solution.steps if isinstance(step, Powers))

        assert (powers.tail, powers.period) == (tail, period)


def test_the_second_way_follows_the_powers_too() -> None:
    for x, claim in ((2, "agreed"), (4, "disagreed"), (0, "disagreed"), (None, "disagreed")):
        assert decide("2^x = 4 mod 6", "the value", x).status == claim
    assert decide("2^x = 3 mod 6", "the value", None).status == "agreed"


def test_a_coprime_base_belongs_to_the_kind_of_indices() -> None:
    assert problem_from(["3^x = 5 mod 17"]).kind == "exponential"
    given = {"factor": 1, "base": 3, "value": 5, "modulus": 17}
    with pytest.raises(StatementError, match="expected a base that shares a factor with 17, got 3"):
        LeastExponent.from_given(given)


def test_powers_that_do_not_repeat_soon_are_refused() -> None:
    with pytest.raises(StatementError, match="the powers do not repeat within 1000000"):
        problem_from(["2^x = 3 mod 2*(10^15 + 37)"]).solve()
