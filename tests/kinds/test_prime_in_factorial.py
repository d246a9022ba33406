"""Primes in factorials: published exponents, and every small factorial divided."""

from math import factorial

import pytest

from itembank.kinds.base import Kind
from itembank.kinds.prime_in_factorial.kind import KINDS
from itembank.kinds.statement import problem_from
from itembank.second_way.table import decide
from itembank.values.errors import StatementError
from tests.kinds.recorded import certificate, read_as_its_kind, samples

ZEROS = {100: 24, 1000: 249, 10000: 2499, 10**6: 249998, 10**7: 2499999, 10**9: 249999998}
"""OEIS A027868, examples."""

THREES = {100: 48, 1000: 498, 10000: 4996, 10**6: 499993}
"""OEIS A054861, examples."""


def value(statement: str) -> int:
    return problem_from([statement]).solve().answer.value


def test_published_exponents() -> None:
    assert {n: value(f"zeros at the end of {n}!") for n in ZEROS} == ZEROS
    assert {n: value(f"exponent of 3 in {n}!") for n in THREES} == THREES


@pytest.mark.parametrize("n", [1, 2, 5, 9, 10, 24, 25, 26, 80, 125, 130])
def test_the_power_divides_and_the_next_does_not(n: int) -> None:
    for p in (2, 3, 5, 7, 11):
        k = value(f"exponent of {p} in {n}!")
        assert factorial(n) % p**k == 0
        assert factorial(n) % p ** (k + 1)
    assert len(str(factorial(n))) - len(str(factorial(n)).rstrip("0")) == value(
        f"zeros at the end of {n}!"
    )


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_the_second_way_agrees_and_refuses_the_next_number(kind: Kind, statement: str) -> None:
    read_as_its_kind(kind, statement)
    certificate(kind, statement)
    problem = problem_from([statement])
    found = problem.solve().answer.value

    assert decide(problem.statement, "the value", found).status == "agreed"
    assert decide(problem.statement, "the value", found + 1).status == "disagreed"


def test_a_composite_number_is_refused() -> None:
    with pytest.raises(StatementError, match="a prime below 1000000000000, got 6"):
        problem_from(["exponent of 6 in 10!"])
    assert problem_from(["10! mod 11"]).kind == "factorial"
