"""Pseudoprimes and Carmichael numbers: published lists, and sympy on every small number."""

import pytest
from sympy import isprime
from sympy.ntheory.primetest import mr

from itembank.kinds.base import Kind
from itembank.kinds.pseudoprimes.kind import (
    KINDS,
    CarmichaelTest,
    PseudoprimeTest,
    StrongPseudoprimeTest,
)
from itembank.kinds.statement import problem_from
from itembank.second_way.table import decide
from itembank.values.errors import StatementError
from tests.kinds.recorded import certificate, read_as_its_kind, samples

A001567 = [341, 561, 645, 1105, 1387, 1729, 1905, 2047, 2465, 2701, 2821, 3277, 4033, 4369, 4371]
"""OEIS A001567: pseudoprimes to the base 2, up to 4371."""

A005935 = [91, 121, 671, 703, 949, 1105, 1541, 1729, 1891, 2465, 2665, 2701, 2821, 3281, 3367]
"""OEIS A005935 without its even term: pseudoprimes to the base 3, up to 3367."""

STRONG_3 = [121, 703, 1891, 3281]
"""SymPy 1.14.0, test_prps: strong pseudoprimes to the base 3, up to 3281."""

A002997 = [561, 1105, 1729, 2465, 2821, 6601, 8911, 10585, 15841]
"""OEIS A002997: Carmichael numbers, up to 15841."""

SQUARED = [
    # the article on the test of Miller and Rabin in an encyclopedia, and for 341 its own numbers
    (221, 174, (47, 220), True),
    (221, 137, (188, 205), False),
    (341, 2, (32, 1), False),
]


def holds(statement: str) -> bool:
    return problem_from([statement]).solve().answer.holds


def test_published_lists() -> None:
    def passing(kind: type, numbers: range, **base: int) -> list[int]:
        return [n for n in numbers if kind(number=n, **base).solve().answer.holds]

    assert passing(PseudoprimeTest, range(3, 4400, 2), base=2) == A001567
    assert passing(PseudoprimeTest, range(5, 3370, 2), base=3) == A005935
    assert passing(StrongPseudoprimeTest, range(5, 3290, 2), base=3) == STRONG_3
    assert passing(CarmichaelTest, range(3, 15842, 2)) == A002997


@pytest.mark.parametrize(("n", "a", "values", "passes"), SQUARED)
def test_published_squarings(n: int, a: int, values: tuple[int, ...], passes: bool) -> None:
    problem = problem_from([f"is {n} a strong pseudoprime to the base {a}"])
    assert isinstance(problem, StrongPseudoprimeTest)
    assert tuple(v % n for v in problem.test.values) == values
    assert problem.passes is passes


@pytest.mark.parametrize("n", [9, 15, 21, 25, 49, 65, 85, 91, 105, 121, 133, 217, 341])
def test_the_strong_test_is_that_of_sympy_and_the_second_way_multiplies_out(n: int) -> None:
    for a in range(2, min(n - 1, 40)):
        statement = f"is {n} a strong pseudoprime to the base {a}"
        found = holds(statement)
        assert found == bool(mr(n, [a]))
        assert decide(statement, "whether any", found).status == "agreed"
        assert decide(statement, "whether any", not found).status == "disagreed"
        statement = f"is {n} a pseudoprime to the base {a}"
        assert decide(statement, "whether any", pow(a, n - 1, n) == 1).status == "agreed"
    assert decide(f"is {n} a carmichael number", "whether any", False).status == "agreed"


def test_primes_are_no_pseudoprimes() -> None:
    for n in (3, 5, 7, 97, 561 - 4):
        assert isprime(n)
        assert not holds(f"is {n} a carmichael number")
        assert not holds(f"is {n} a pseudoprime to the base 2")
        assert decide(f"is {n} a pseudoprime to the base 2", "whether any", True).status == (
            "disagreed"
        )


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_sample_is_of_its_kind_and_certified(kind: Kind, statement: str) -> None:
    read_as_its_kind(kind, statement)
    certificate(kind, statement)


def test_even_numbers_and_bases_beyond_are_refused() -> None:
    with pytest.raises(StatementError, match="an odd number from 3 to"):
        problem_from(["is 286 a pseudoprime to the base 3"])
    with pytest.raises(StatementError, match="a base from 2 to 8, got 9"):
        problem_from(["is 9 a strong pseudoprime to the base 9"])


A063994 = {9: 2, 15: 4, 21: 4, 25: 4, 33: 4, 35: 4, 39: 4, 45: 8, 49: 6, 65: 16, 91: 36, 341: 100}
"""OEIS A063994: the bases to which n is a pseudoprime, 1 and n - 1 among them; for a composite n
the product of gcd(n - 1, p - 1) over its primes."""


@pytest.mark.parametrize("n", A063994)
def test_the_bases_of_a_number(n: int) -> None:
    problem = problem_from([f"bases to which {n} is a pseudoprime"])
    found = problem.solve().answer
    assert list(found.residues()) == [a for a in range(2, n - 1) if pow(a, n - 1, n) == 1]
    assert found.count == A063994[n] - 2
    claim = [(n, found.classes())]
    assert decide(problem.statement, "all solutions", claim).status == "agreed"
    assert decide(problem.statement, "all solutions", [(n, [(2, n)])]).status == (
        "agreed" if found.residues() == (2,) else "disagreed"
    )


def test_a_prime_has_no_bases_to_be_found() -> None:
    with pytest.raises(StatementError, match="expected an odd composite number up to 2000, got 7"):
        problem_from(["bases to which 7 is a pseudoprime"])
