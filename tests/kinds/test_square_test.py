"""Is a a square modulo m: how it is told, and what is recorded of it."""

import pytest

from itembank.kinds.square_test.kind import KINDS
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.notation.reading import formula
from itembank.notation.tree import Table
from tests.kinds.prose import lines
from tests.kinds.recorded import certificate, read_as_its_kind, samples
from tests.kinds.telling import rendered


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_sample_is_of_its_kind(kind, statement):
    read_as_its_kind(kind, statement)


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_certificate_is_true(kind, statement):
    certificate(kind, statement)


@pytest.mark.parametrize(
    ("statement", "text"),
    [
        (
            "is 2 a square mod 15",
            "The power of 2 with the exponent (3 − 1)/2 = 1 is −1 modulo 3. "
            "The power of 2 with the exponent (5 − 1)/2 = 2 is −1 modulo 5.",
        ),
        (
            "is 12 a square mod 360",
            "The power of 12 with the exponent (5 − 1)/2 = 2 is −1 modulo 5.",
        ),
        ("is 2 a square mod 1", ""),
    ],
)
def test_a_square_is_certified_by_eulers_criterion_for_each_odd_prime(statement, text):
    found = certificate(*KINDS, statement)

    assert " ".join(plain.inlines(block.content) for block in found) == text


def test_the_question_is_shown_as_it_is_read():
    problem = problem_from(["is -3 a square mod 10^12 + 39"])

    assert problem.shown == (formula('"is" -3 "a square modulo" 10^12 + 39'),)


def worked(statement: str) -> str:
    problem = problem_from([statement])
    return " ".join(lines(rendered(problem.worked(problem.solve()))))


@pytest.mark.parametrize(
    ("statement", "sentence"),
    [
        ("is 15 a square mod 35", "Modulo 5. 15 ≡ 0 (mod 5), and 0 = 0² is a square."),
        ("is 6 a square mod 9", "6 is a multiple of 3, but not of 9. The square of a multiple of"),
        ("is 27 a square mod 81", "A square holds 3 to an even power, and modulo 81 it keeps"),
        ("is 9 a square mod 27", "A perfect power. 9 = 3². Answer. 9 is a square modulo 27."),
        ("is 45 a square mod 81", "45 = 3² · 5. The even power 3² is a square, so the question"),
        (
            "is 5 a square mod 32",
            "or modulo a higher power of 2, if and only if it is 1 modulo 8;",
        ),
        ("is 41 a square mod 256", "41 is 1 modulo 8. So 41 is a square modulo 256."),
        ("is 7 a square mod 27", "A number that is not a multiple of 3 is a square modulo 27 if"),
        ("is 2 a square mod 3", "The only square modulo 3 other than 0 is 1. So 2 is not a square"),
        ("is 14 a square mod 31", "18, 19, 20, 25, 28, and 14 is among them."),
        ("is 3 a square mod 7", "other than 0 are 1, 2, 4; 3 is not among them."),
        ("is 10 a square mod 93", "10 ≡ 10 + 2 · 93 = 196 = 14² (mod 93). Answer. 10 is a square"),
        ("is 14 a square mod 31", "Indeed 13² = 169 ≡ 14 (mod 31)."),
        ("is 2 a square mod 15", "2 is not a square modulo 3, and hence not modulo 15."),
        ("is 2 a square mod 15", "The Jacobi symbol (2/15) is 1 all the same: its factors −1 come"),
        ("is 3 a square mod 1009^2*1013", "if it is a square modulo 1009² and 1013."),
        ("is 5 a square mod 10007^2", "10007² is a power of a prime."),
    ],
)
def test_a_sentence_fits_its_numbers(statement, sentence):
    assert sentence in worked(statement)


def test_a_large_prime_is_decided_by_the_rules_of_the_symbol():
    problem = problem_from(["is 207 a square mod 251"])
    blocks = rendered(problem.worked(problem.solve()))
    before, table, after = blocks[0], blocks[1], blocks[2]

    assert before.lead == "Modulo 251."
    assert plain.inlines(before.content) == (
        "Legendre's symbol decides. On the way 207 stands at the bottom, which is not prime: there "
        "the symbol is a Jacobi symbol. The same rules hold for it, and the top need not be "
        "factored."
    )
    assert isinstance(table, Table)
    assert plain.inlines(after.content) == "(207/251) = 1. So 207 is a square modulo 251."
