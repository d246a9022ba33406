"""Binomial coefficients modulo primes: published values, Pascal's triangle, the integers."""

from math import comb

import pytest

from itembank.kinds.base import Kind
from itembank.kinds.binomial.kind import KINDS
from itembank.kinds.statement import problem_from
from itembank.second_way.table import decide
from itembank.values.errors import StatementError
from tests.kinds.recorded import read_as_its_kind, samples

PUBLISHED = [
    (44, 14, 3, 2),  # an example of Lucas' theorem on a site of questions
    (1000, 326, 13, 0),  # another
    (234, 44, 11, 1),  # the parts of a coefficient modulo 142857
    (234, 44, 37, 16),
    (8, 5, 13, 4),  # SymPy 1.14.0, test_binomial_Mod_slow
]

A095140 = [1, 1, 1, 1, 2, 1, 1, 3, 3, 1, 1, 4, 1, 4, 1, 1, 0, 0, 0, 0, 1, 1, 1, 0, 0, 0, 1, 1]
"""OEIS A095140: Pascal's triangle modulo 5, row by row."""


def value(n: int, k: int, p: int) -> int:
    return problem_from([f"binomial({n}, {k}) mod {p}"]).solve().answer.value


def test_published_values() -> None:
    assert [value(n, k, p) for n, k, p, _value in PUBLISHED] == [v for *_q, v in PUBLISHED]
    assert [value(n, k, 5) for n in range(7) for k in range(n + 1)] == A095140


@pytest.mark.parametrize("p", [2, 3, 5, 7, 11])
def test_every_small_coefficient(p: int) -> None:
    for n in range(30):
        for k in range(n + 1):
            assert value(n, k, p) == comb(n, k) % p


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_the_second_way_agrees_and_refuses_the_next_number(kind: Kind, statement: str) -> None:
    read_as_its_kind(kind, statement)
    problem = problem_from([statement])
    found = problem.solve().answer.value

    assert decide(problem.statement, "the value", found).status == "agreed"
    assert decide(problem.statement, "the value", found + 1).status == "disagreed"


def test_a_composite_modulus_is_refused() -> None:
    with pytest.raises(StatementError, match="a prime below 10000, got 27"):
        problem_from(["binomial(234, 44) mod 27"])
