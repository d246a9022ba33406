"""Numbers with a given value of phi: published tables, and every small value by counting."""

from math import gcd

import pytest

from itembank.kinds.base import Kind
from itembank.kinds.phi_inverse.kind import KINDS, bound, with_phi
from itembank.kinds.statement import problem_from
from itembank.second_way.table import decide
from itembank.values.answer import Absent, Value
from tests.kinds.recorded import certificate, read_as_its_kind, samples

PUBLISHED = {
    1: (1, 2),
    2: (3, 4, 6),
    4: (5, 8, 10, 12),
    8: (15, 16, 20, 24, 30),
    10: (11, 22),
    12: (13, 21, 26, 28, 36, 42),
    16: (17, 32, 34, 40, 48, 60),
    20: (25, 33, 44, 50, 66),
    24: (35, 39, 45, 52, 56, 70, 72, 78, 84, 90),
}
"""OEIS A032447, rows of the table; 24: an answer on a site of questions."""

NONTOTIENTS = (14, 26, 34, 38, 50, 62, 68, 74, 76, 86, 90, 94, 98)
"""OEIS A005277."""


def test_published_rows() -> None:
    assert {n: with_phi(n) for n in PUBLISHED} == PUBLISHED
    assert tuple(n for n in range(2, 100, 2) if not with_phi(n)) == NONTOTIENTS
    assert all(with_phi(n) == () for n in range(3, 100, 2))


def test_exactly_the_numbers_whose_coprime_ones_are_so_many() -> None:
    counted = {x: sum(gcd(a, x) == 1 for a in range(1, x + 1)) for x in range(1, 300)}
    for n in range(1, 60):
        assert with_phi(n) == tuple(x for x, count in counted.items() if count == n)


def test_the_second_way_sieves() -> None:
    for n in range(1, 80):
        count, largest = (
            problem_from([f"{words} of phi(x) = {n}"])
            for words in ("number of solutions", "largest solution")
        )
        value = largest.solve().answer
        claim = None if isinstance(value, Absent) else value.value
        assert count.solve().answer == Value(len(with_phi(n)))
        assert decide(count.statement, "the value", len(with_phi(n))).status == "agreed"
        assert decide(count.statement, "the value", len(with_phi(n)) + 1).status == "disagreed"
        assert decide(largest.statement, "the value", claim).status == "agreed"
        assert decide(largest.statement, "the value", n + 100).status == "disagreed"


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_sample_is_of_its_kind_and_certified(kind: Kind, statement: str) -> None:
    read_as_its_kind(kind, statement)
    certificate(kind, statement)


@pytest.mark.parametrize("n", [*PUBLISHED, *NONTOTIENTS])
def test_all_of_them_are_the_published_row_and_agreed(n: int) -> None:
    problem = problem_from([f"which x have phi(x) = {n}"])
    found = problem.solve().answer
    assert found.residues() == PUBLISHED.get(n, ())
    assert decide(
        problem.statement, "all solutions", [(found.modulus, found.classes())]
    ).status == ("agreed")
    assert decide(
        problem.statement, "all solutions", [(found.modulus, [(3, found.modulus)])]
    ).status == ("agreed" if found.residues() == (3,) else "disagreed")


def test_no_number_reaches_the_bound() -> None:
    for n in range(1, 200):
        assert max(with_phi(n), default=0) <= bound(n)
