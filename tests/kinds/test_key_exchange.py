"""Shared keys: published exchanges, and every exchange of small primes."""

import pytest

from itembank.kinds.base import Kind
from itembank.kinds.key_exchange.kind import KINDS
from itembank.kinds.statement import problem_from
from itembank.second_way.table import decide
from itembank.values.errors import StatementError
from tests.kinds.recorded import certificate, read_as_its_kind, samples

PUBLISHED = [
    # W. Stein, Elementary Number Theory: Primes, Congruences, and Secrets, 3.2
    (97, 5, 31, 95, 7, 39, 14),
    # the example of several encyclopedias
    (23, 5, 4, 3, 4, 10, 18),
    # C. Paar, J. Pelzl, Understanding Cryptography, Example 8.1
    (29, 2, 5, 12, 3, 7, 16),
    # J. Hoffstein, J. Pipher, J. Silverman, An Introduction to Mathematical Cryptography, 2.3
    (941, 627, 347, 781, 390, 691, 470),
]


def value(statement: str) -> int:
    return problem_from([statement]).solve().answer.value


@pytest.mark.parametrize(("p", "g", "a", "b", "first", "second", "key"), PUBLISHED)
def test_published_exchanges(
    p: int, g: int, a: int, b: int, first: int, second: int, key: int
) -> None:
    assert (pow(g, a, p), pow(g, b, p)) == (first, second)
    assert value(f"shared key of {first} and {second} base {g} mod {p}") == key


@pytest.mark.parametrize(("p", "g"), [(11, 2), (11, 3), (13, 4), (17, 3)])
def test_the_key_is_the_power_with_both_exponents(p: int, g: int) -> None:
    for a in range(2, p - 1):
        for b in range(2, p - 1):
            first, second = pow(g, a, p), pow(g, b, p)
            if 1 not in (first, second) and first != second:
                statement = f"shared key of {first} and {second} base {g} mod {p}"
                key = pow(g, a * b, p)
                assert value(statement) == key
                assert decide(statement, "the value", key).status == "agreed"
                assert decide(statement, "the value", key + 1).status == "disagreed"


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_sample_is_of_its_kind_and_certified(kind: Kind, statement: str) -> None:
    read_as_its_kind(kind, statement)
    certificate(kind, statement)


@pytest.mark.parametrize(
    ("statement", "message"),
    [
        ("shared key of 3 and 5 base 2 mod 7", "expected powers of 2 modulo 7, got 3"),
        ("shared key of 3 and 5 base 2 mod 15", "expected a prime above 3, got 15"),
        ("shared key of 4 and 4 base 2 mod 7", "expected two different public values, got 4"),
    ],
)
def test_what_is_no_exchange_is_refused(statement: str, message: str) -> None:
    with pytest.raises(StatementError, match=message):
        problem_from([statement])
