"""Factorials modulo m: what is said of them, word by word."""

import pytest

from itembank.kinds.factorial.kind import KINDS, FactorialModulo
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from tests.kinds.messages import everything_told, feedback, text, untold, worked
from tests.kinds.telling import rendered

(KIND,) = KINDS

TOLD = [
    (
        "10! mod 11",
        "Wilson. 11 is prime, so 10! ≡ −1 (mod 11). The least residue of −1 is 10. Answer. 10! ≡ "
        "10 (mod 11).",
    ),
    (
        "9! mod 11",
        "Wilson. 11 is prime, so 10! ≡ −1 (mod 11). Missing factors. The factor that 9! lacks is "
        "10 ≡ −1, so 9! · (−1) ≡ −1 (mod 11). Divide. Multiplying both sides by −1 gives 9! ≡ 1 "
        "(mod 11). Answer. 9! ≡ 1 (mod 11).",
    ),
    (
        "8! mod 11",  # 8! = 40320 = 11 · 3665 + 5
        "Wilson. 11 is prime, so 10! ≡ −1 (mod 11). Missing factors. The 2 factors that 8! "
        "lacks are 9 ≡ −2, 10 ≡ −1, with the product (−1)² · 2! = 2!. So 8! · 2! ≡ −1 (mod 11). "
        "Multiply out 2!. 2! = 1 · 2 = 2. Divide. So 8! · 2 ≡ −1 (mod 11). −1 ≡ −1 + 11 = 10 = 2 · "
        "5, and 2 is coprime to 11: 8! ≡ 5 (mod 11). Answer. 8! ≡ 5 (mod 11).",
    ),
    (
        "9! mod 13",  # 9! = 362880 = 13 · 27913 + 11
        "Wilson. 13 is prime, so 12! ≡ −1 (mod 13). Missing factors. The 3 factors that 9! "
        "lacks are 10 ≡ −3, 11 ≡ −2, 12 ≡ −1, with the product (−1)³ · 3! = −3!. So 9! · 3! ≡ 1 "
        "(mod 13). Multiply out 3!. 3! = 1 · 2 · 3 = 6. Divide. So 9! · 6 ≡ 1 (mod 13). 1 "
        "≡ 1 − 13 = −12 = 6 · (−2), and 6 is coprime to 13: 9! ≡ −2 ≡ 11 (mod 13). Answer. 9! ≡ "
        "11 (mod 13).",
    ),
    (
        "3! mod 4",
        "Multiply out 3!. One factor after another, reducing modulo 4 each time: factorial "
        "calculation 2! 1 · 2 = 2 3! 2 · 3 = 6 ≡ 2 Answer. 3! ≡ 2 (mod 4).",
    ),
    (
        "6! mod 36",  # 6! = 720 = 2^4 · 3^2 · 5
        "Factor the modulus. 36 is not prime, so Wilson's theorem does not apply. 36 = 2² · "
        "3². The multiples of 2 up to 6 are 2, 4, 6, so 2⁴ divides 6!, and with it 2². The "
        "multiples of 3 up to 6 are 3, 6, so 3² divides 6!. So 6! is a multiple of 36. Answer. "
        "6! ≡ 0 (mod 36).",
    ),
    (
        "5! mod 30",
        "Factor the modulus. 30 is not prime, so Wilson's theorem does not apply. 30 = 2 · 3 · 5. "
        "2, 3 and 5 are among the factors of 5!. So 5! is a multiple of 30. Answer. 5! ≡ 0 (mod "
        "30).",
    ),
    (
        "5! mod 20",
        "Factor the modulus. 20 is not prime, so Wilson's theorem does not apply. 20 = 2² · 5. "
        "The multiples of 2 up to 5 are 2, 4, so 2³ divides 5!, and with it 2². 5 is among the "
        "factors of 5!. So 5! is a multiple of 20. Answer. 5! ≡ 0 (mod 20).",
    ),
    (
        "12! mod -7",
        "Modulo −7 means modulo 7: both have the same multiples, so congruences modulo one hold "
        "modulo the other. 12! = 1 · 2 · … · 12 has 7 among its factors, so it is a multiple of "
        "7. Answer. 12! ≡ 0 (mod 7).",
    ),
    (
        "5! mod 1",
        "Modulo 1 any two integers are congruent, and 0 is the only least residue. Every integer "
        "is congruent to 0 modulo 1. Answer. 5! ≡ 0 (mod 1).",
    ),
    ("0! mod 5", "0! = 1 (an empty product is 1). Answer. 0! ≡ 1 (mod 5)."),
]


@pytest.mark.parametrize(("statement", "told"), TOLD, ids=[t[0] for t in TOLD])
def test_the_worked_solution_is_told_as_on_the_board(statement: str, told: str) -> None:
    assert worked(problem_from([statement])) == told


def test_the_powers_in_a_factorial_begin_a_paragraph_after_the_factors_of_the_modulus() -> None:
    problem = problem_from(["6! mod 36"])
    factors, powers, _answer = rendered(problem.worked(problem.solve()))

    assert plain.blocks((factors,)).strip().endswith("36 = 2² · 3².")
    assert plain.blocks((powers,)).startswith("The multiples of 2 up to 6 are")


def test_of_many_missing_factors_the_first_two_and_the_last_are_listed() -> None:
    told = worked(problem_from(["7! mod 13"]))

    assert (
        "lacks are 8 ≡ −5, 9 ≡ −4, …, 12 ≡ −1, with the product (−1)⁵ · 5! = −5!. So 7! · 5! ≡ 1"
        in told
    )


def test_a_modulus_stands_as_its_author_typed_it() -> None:
    told = worked(problem_from(["(10^20 + 35)! mod 10^20 + 39"]))

    assert told.endswith("(mod 10²⁰ + 39).")


@pytest.mark.parametrize(
    ("statement", "name", "told"),
    [
        (
            "9! mod 13",
            "missing-signs",
            "Check the sign: the 3 missing factors are the negatives of 1 to 3. How many minus "
            "signs is that?",
        ),
        (
            "11! mod 13",
            "missing-signs",
            "Check the sign: the missing factor 12 is congruent to −1, not to 1.",
        ),
        (
            "9! mod 13",
            "one-factor-too-many",
            "This is 10!. Count the missing factors again: 10 is missing from 9! too.",
        ),
    ],
)
def test_feedback_is_told_in_the_numbers_of_the_factorial(
    statement: str, name: str, told: str
) -> None:
    assert feedback(problem_from([statement]), name) == told


def test_the_question_names_the_factorial() -> None:
    assert text(problem_from(["8! mod 11"]).question("the value")) == (
        "Find the factorial 8! modulo 11."
    )


@pytest.mark.parametrize("sample", KIND.samples)
def test_all_that_is_told_reaches_a_catalogue(sample: str) -> None:
    assert not list(untold(everything_told(problem_from([sample]))))


@pytest.mark.parametrize("sample", KIND.samples)
def test_the_record_reads_its_samples_as_the_house_does(sample: str) -> None:
    problem = KIND.read([sample])

    assert isinstance(problem, FactorialModulo) and problem == problem_from([sample])
    assert KIND.read([problem.statement[0]]) == problem


def test_the_record_reads_nothing_else() -> None:
    for statements in (["order of 7 mod 26"], ["x! = 1 mod 5"], ["7^2 mod 5"]):
        assert KIND.read(statements) is None
