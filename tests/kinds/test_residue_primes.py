"""Reciprocity in reverse: published classes and primes, and the squares modulo many primes."""

from math import gcd

import pytest
from sympy import primerange

from itembank.kinds.base import Kind
from itembank.kinds.residue_primes.kind import KINDS
from itembank.kinds.statement import problem_from
from itembank.second_way.table import decide
from itembank.values.errors import StatementError
from tests.kinds.recorded import read_as_its_kind, samples

CLASSES = [
    (10, 40, (1, 3, 9, 13, 27, 31, 37, 39)),  # an answer on a site of questions
    (3, 12, (1, 11)),  # OEIS A038874
    (5, 5, (1, 4)),  # OEIS A038872
    (2, 8, (1, 7)),
    (-1, 4, (1,)),  # C. F. Gauss, Disquisitiones Arithmeticae, 108 to 120
    (-2, 8, (1, 3)),
    (-3, 3, (1,)),
    (-5, 20, (1, 3, 7, 9)),  # D. A. Cox, Primes of the form x^2 + ny^2, section 1
    (6, 24, (1, 5, 19, 23)),  # Niven, Zuckerman & Montgomery, 3.2
]

PRIMES = {
    3: [11, 13, 23, 37, 47, 59, 61, 71, 73, 83, 97, 107, 109],  # OEIS A038874
    5: [11, 19, 29, 31, 41, 59, 61, 71, 79, 89, 101, 109],  # OEIS A038872
    10: [3, 13, 31, 37, 41, 43, 53, 67, 71, 79, 83, 89, 107],  # OEIS A038879
}
"""The primes up to 109 that do not divide the number."""


def residues(a: int) -> tuple[int, ...]:
    found = problem_from([f"primes modulo which {a} is a quadratic residue"]).solve().answer
    return found.residues()


@pytest.mark.parametrize(("a", "modulus", "published"), CLASSES)
def test_published_classes(a: int, modulus: int, published: tuple[int, ...]) -> None:
    m = 4 * abs(a)
    expected = [r for r in range(m) if gcd(r, m) == 1 and r % modulus in published]
    assert list(residues(a)) == expected


@pytest.mark.parametrize("a", PRIMES)
def test_published_primes(a: int) -> None:
    found = residues(a)
    assert [p for p in primerange(3, 110) if p % (4 * a) in found] == PRIMES[a]


@pytest.mark.parametrize("a", [-15, -14, -11, -7, -6, 7, 13, 14, 15, 21, 22, 30])
def test_the_classes_are_those_of_the_primes_that_have_it_as_a_square(a: int) -> None:
    found = residues(a)
    for p in primerange(3, 600):
        if a % p:
            assert (p % (4 * abs(a)) in found) == (a % p in {x * x % p for x in range(p)})


def test_the_second_way_lists_squares() -> None:
    for a in (-6, 5, 21):
        statement = f"primes modulo which {a} is a quadratic residue"
        m, found = 4 * abs(a), residues(a)
        for claim, status in ((found, "agreed"), (found[1:], "disagreed")):
            classes = [(m, [(r, m) for r in claim])]
            assert decide(statement, "all solutions", classes).status == status
        assert decide(statement, "the largest", found[-1]).status == "agreed"
        assert decide(statement, "the largest", found[0]).status == "disagreed"


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_sample_is_of_its_kind(kind: Kind, statement: str) -> None:
    read_as_its_kind(kind, statement)


def test_numbers_with_a_square_factor_are_refused() -> None:
    with pytest.raises(StatementError, match="a number without square factors"):
        problem_from(["primes modulo which 12 is a quadratic residue"])
