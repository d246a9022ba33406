"""Ciphers that raise to a power: published keys and blocks, every key of small primes."""

from math import gcd

import pytest

from itembank.kinds.base import Kind
from itembank.kinds.power_cipher.kind import KINDS
from itembank.kinds.statement import problem_from
from itembank.second_way.table import decide
from itembank.values.errors import StatementError
from tests.kinds.recorded import certificate, read_as_its_kind, samples

KEYS = [
    # Rivest, Shamir, Adleman, A Method for Obtaining Digital Signatures: blocks of "ITS ALL GREEK"
    (47, 59, 17, 157, [(920, 948), (1900, 2342), (112, 1084), (1200, 1444), (718, 2663)]),
    # W. Stein, Elementary Number Theory: Primes, Congruences, and Secrets, 3.3.3
    (17, 19, 95, 191, [(24, 294)]),
    # SymPy 1.14.0, docstrings and tests of rsa_private_key and encipher_rsa
    (61, 53, 17, 2753, []),
    (23, 29, 5, 493, []),
    (3, 5, 7, 7, [(12, 3)]),
    # H. Yang, Illustration of RSA algorithm
    (7, 19, 5, 65, [(6, 62)]),
    # Hofstra University, Session 3 slides
    (7, 17, 5, 77, []),
    # jlinoff, Simple RSA implementation, table of known results
    (11, 13, 7, 103, []),
    (53, 59, 3, 2011, []),
]


def value(statement: str) -> int:
    return problem_from([statement]).solve().answer.value


@pytest.mark.parametrize(("p", "q", "e", "d", "blocks"), KEYS)
def test_published_keys_and_blocks(p: int, q: int, e: int, d: int, blocks: list) -> None:
    assert value(f"private exponent of {e} for the primes {p} and {q}") == d
    for plain, sent in blocks:
        assert value(f"encrypt {plain} with exponent {e} mod {p * q}") == sent
        assert value(f"decrypt {sent} with exponent {e} for the primes {p} and {q}") == plain


@pytest.mark.parametrize("p", [5, 7, 11, 13])
def test_every_block_comes_back_and_the_exponent_is_the_least(p: int) -> None:
    """No smaller exponent undoes the power for all blocks, for every key of the prime."""
    for e in (e for e in range(2, p - 1) if gcd(e, p - 1) == 1):
        d = value(f"decrypting exponent of {e} mod the prime {p}")
        works = [t for t in range(1, p) if all(pow(x, e * t, p) == x for x in range(p))]
        assert d == works[0]
        for y in range(p):
            x = value(f"decrypt {y} with exponent {e} mod the prime {p}")
            assert x**e % p == y


@pytest.mark.parametrize("primes", [(2, 11), (3, 5), (7, 11), (13, 5)])
def test_both_parts_put_together_give_the_block(primes: tuple[int, int]) -> None:
    p, q = primes
    e = next(e for e in range(3, 99) if gcd(e, (p - 1) * (q - 1)) == 1)
    for x in range(p * q):
        y = x**e % (p * q)
        assert value(f"decrypt {y} with exponent {e} for the primes {p} and {q}") == x


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_the_second_way_agrees_and_refuses_the_next_number(kind: Kind, statement: str) -> None:
    read_as_its_kind(kind, statement)
    certificate(kind, statement)
    problem = problem_from([statement])
    found = problem.solve().answer.value

    assert decide(problem.statement, "the value", found).status == "agreed"
    assert decide(problem.statement, "the value", found + 1).status == "disagreed"


@pytest.mark.parametrize(
    ("statement", "message"),
    [
        ("private exponent of 3 for the primes 7 and 11", "coprime to 60, got 3"),
        ("private exponent of 5 for the primes 7 and 7", "expected two different primes"),
        ("decrypt 4 with exponent 5 for the primes 9 and 11", "expected a prime below"),
        ("decrypt 12 with exponent 3 mod the prime 11", "expected a block from 0 to 10, got 12"),
    ],
)
def test_what_cannot_be_decrypted_is_refused(statement: str, message: str) -> None:
    with pytest.raises(StatementError, match=message):
        problem_from([statement])
