"""The inverse modulo m: what is said of it, word by word, and what a reviewer is shown."""

import pytest

from itembank.kinds.base import solution_to
from itembank.kinds.inverse.kind import KINDS, InverseModulo
from itembank.kinds.statement import problem_from
from tests.kinds.messages import everything_told, feedback, text, untold, worked

(KIND,) = KINDS

TOLD = [
    (
        "inverse of 7 mod 26",
        "Euclid's algorithm. Divide 26 by 7, then each divisor by its remainder: 26 = 3 · 7 + 5 7"
        " = 1 · 5 + 2 5 = 2 · 2 + 1 2 = 2 · 1 + 0 The last remainder above 0 is 1: gcd(7, 26) = "
        "1, and the inverse exists. Backwards. Begin with the row whose remainder is 1, and "
        "substitute for each remainder from the row above: 1 = 5 − 2 · 2 = 5 − 2(7 − 5) = 3 · 5 −"
        " 2 · 7 = 3(26 − 3 · 7) − 2 · 7 = 3 · 26 − 11 · 7 Read off. Modulo 26 the multiple of 26 "
        "vanishes: 7 · (−11) ≡ 1 (mod 26), and the least residue of −11 is −11 + 26 = 15. Check. "
        "7 · 15 = 105 = 4 · 26 + 1. Answer. The inverse of 7 modulo 26 is 15.",
    ),
    (
        "inverse of -3 mod 7",  # 4 · 2 = 8
        "Least residue. −3 ≡ 4 (mod 7), so the inverse of 4 is wanted. Euclid's algorithm. Divide"
        " 7 by 4, then each divisor by its remainder: 7 = 1 · 4 + 3 4 = 1 · 3 + 1 3 = 3 · 1 + 0 "
        "The last remainder above 0 is 1: gcd(4, 7) = 1, and the inverse exists. Backwards. Begin"
        " with the row whose remainder is 1, and substitute for each remainder from the row "
        "above: 1 = 4 − 3 = 4 − (7 − 4) = 2 · 4 − 7 Read off. Modulo 7 the multiple of 7 "
        "vanishes: 4 · 2 ≡ 1 (mod 7). Check. 4 · 2 = 8 = 1 · 7 + 1. Answer. The inverse of −3 "
        "modulo 7 is 2.",
    ),
    (
        "inverse of 6 mod 9",
        "Euclid's algorithm. Divide 9 by 6, then each divisor by its remainder: 9 = 1 · 6 + 3 6 ="
        " 2 · 3 + 0 The last remainder above 0 is 3: gcd(6, 9) = 3. Answer. 6 has no inverse "
        "modulo 9: both are multiples of 3, so every multiple of 6 leaves a multiple of 3 as its "
        "remainder modulo 9, and never 1.",
    ),
    (
        "inverse of 3 mod 9",
        "Euclid's algorithm. Divide 9 by 3, then each divisor by its remainder: 9 = 3 · 3 + 0 The"
        " division comes out even: gcd(3, 9) = 3. Answer. 3 has no inverse modulo 9: both are "
        "multiples of 3, so every multiple of 3 leaves a multiple of 3 as its remainder modulo 9,"
        " and never 1.",
    ),
    (
        "inverse of 11 mod -5",
        "Modulo −5 means modulo 5: both have the same multiples, so congruences modulo one hold "
        "modulo the other. Least residue. 11 ≡ 1 (mod 5), so the inverse of 1 is wanted. 1 · 1 = "
        "1, so 1 is its own inverse. Answer. The inverse of 11 modulo 5 is 1.",
    ),
    (
        "inverse of 0 mod 5",
        "Every multiple of 0 is 0, and 0 is not congruent to 1 modulo 5. Answer. 0 has no inverse"
        " modulo 5: both are multiples of 5, so every multiple of 0 leaves a multiple of 5 as its"
        " remainder modulo 5, and never 1.",
    ),
]


def test_whether_there_is_an_inverse_stops_at_the_greatest_common_divisor() -> None:
    for statement, end in [
        ("inverse of 51 mod 140", "gcd(51, 140) = 1, and the inverse exists. Answer. 51 has an"),
        ("inverse of 6 mod 9", "gcd(6, 9) = 3. Answer. 6 has no inverse modulo 9: both are"),
        (
            "inverse of 1 mod 9",
            "1 · 1 = 1, so 1 is its own inverse. Answer. The inverse of 1",
        ),
    ]:
        problem = problem_from([statement])
        decision = solution_to(problem, "whether any", problem.solve())

        assert end in text(problem.worked(decision))
        assert decision.answer == problem.solve().answer


@pytest.mark.parametrize(("statement", "told"), TOLD, ids=[t[0] for t in TOLD])
def test_the_worked_solution_is_told_as_on_the_board(statement: str, told: str) -> None:
    assert worked(problem_from([statement])) == told


def test_many_rows_carry_their_coefficients() -> None:
    told = worked(problem_from(["inverse of 34 mod 55"]))  # neighbours of Fibonacci's

    assert "each remainder is congruent to 34u (mod 55). It begins with 0 for 55 and 1 for" in told
    assert "remainder quotient u 55 0 34 1 21 1 −1 13 1 2 8 1 −3 5 1 5 3 1 −8 2 1 13 1 1" in told


def test_a_modulus_typed_as_a_sum_is_a_factor_in_brackets() -> None:
    told = worked(problem_from(["inverse of 3 mod 10^20+39"]))

    assert "Divide 10²⁰ + 39 by 3, then each divisor" in told
    assert " · (10²⁰ + 39) + 1. Answer. The inverse of 3 modulo 10²⁰ + 39 is " in told


@pytest.mark.parametrize(
    ("statement", "name", "told"),
    [
        (
            "inverse of 7 mod 26",
            "stopped-early",
            "Multiply to check: 7 · 4 = 28 ≡ 2 (mod 26). If you stopped at the remainder 2 in "
            "Euclid's algorithm, go on until the remainder is 1.",
        ),
        (
            "inverse of 4 mod 10",
            "common-divisor-untested",
            "Multiply to check: 4 · 8 = 32 ≡ 2 (mod 10). With which remainder does Euclid's "
            "algorithm end?",
        ),
        (
            "inverse of 2 mod 4",
            "common-divisor-untested",
            "Multiply to check: 2 · 1 ≡ 2 (mod 4). With which remainder does Euclid's "
            "algorithm end?",
        ),
    ],
)
def test_feedback_calculates_with_the_wrong_number(statement: str, name: str, told: str) -> None:
    assert feedback(problem_from([statement]), name) == told


def test_a_product_too_long_to_write_is_congruent_to_what_it_leaves() -> None:
    told = feedback(problem_from(["inverse of 12345678901 mod 10^20 + 1"]), "stopped-early")

    product, residue = told.split(": ")[1].split(" (mod")[0].split(" ≡ ")
    a, wrong = map(int, product.split(" · "))
    assert a == 12345678901 and a * wrong % (10**20 + 1) == int(residue)


@pytest.mark.parametrize("sample", KIND.samples)
def test_all_that_is_told_reaches_a_catalogue(sample: str) -> None:
    assert not list(untold(everything_told(problem_from([sample]))))


@pytest.mark.parametrize("sample", KIND.samples)
def test_the_record_reads_its_samples_as_the_house_does(sample: str) -> None:
    problem = KIND.read([sample])

    assert isinstance(problem, InverseModulo) and problem == problem_from([sample])
    assert KIND.read([problem.statement[0]]) == problem


def test_the_record_reads_nothing_else() -> None:
    for statements in (["order of 7 mod 26"], ["inverse of 7"], ["inverses mod 9"]):
        assert KIND.read(statements) is None


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("inverse of -3 mod 7", "Product. −3 · 2 = −6 = −1 · 7 + 1."),
        ("inverse of 7 mod 26", "Product. 7 · 15 = 105 = 4 · 26 + 1."),
        ("inverse of 6 mod 9", "No inverse. gcd(6, 9) = 3."),
    ],
)
def test_a_reviewer_is_shown_the_product(statement: str, told: str) -> None:
    problem = problem_from([statement])

    assert text(KIND.certificate(problem, problem.solve().answer)) == told
