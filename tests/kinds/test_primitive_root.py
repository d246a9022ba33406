"""Primitive roots: what is said of them, word by word, and what a reviewer is shown."""

from typing import Any

import pytest

from itembank.kinds.base import Kind
from itembank.kinds.primitive_root.kind import KINDS
from itembank.kinds.statement import problem_from
from tests.kinds.messages import everything_told, feedback, text, untold, worked

BY_NAME = {kind.problem.kind: kind for kind in KINDS}
SAMPLES = [(kind, sample) for kind in KINDS for sample in kind.samples]


THEOREM = (
    "There are primitive roots modulo 1, 2, 4, p^k and 2p^k with an odd prime p, and modulo no "
    "other number."
)

TOLD = [
    (
        "primitive roots mod 5",  # 2, 4, 3, 1
        "Existence. 5 is prime, and modulo each prime there are primitive roots. "
        "What the order divides. 5 is prime, so φ(5) = "
        "5 − 1 = 4. By Euler's theorem the order divides 4. The least one. a is a primitive root "
        "modulo 5 if and only if its order is 4. The only prime factor of 4 is 2, so 4/2 = 2 is "
        "the exponent to test: the power must not be 1. a a² 2 −1 primitive root The powers of 2 "
        "are made from earlier ones: power calculation 2¹ 2 2² 2² = 4 ≡ −1 All of them. "
        "Every unit is a power 2^k, and its order is 4 if and only if gcd(k, 4) = 1. So the "
        "primitive roots are the powers of 2 with the exponents in the table. Each is made from "
        "the row before, by 2² ≡ 4 (mod 5): power calculation "
        "2¹ 2 2³ 2 · 4 = 8 ≡ 3 Answer. The primitive roots modulo 5 are 2, 3: 2 of "
        "them.",
    ),
    (
        "is 4 a primitive root mod 7?",  # 4^3 = 64 = 9 · 7 + 1
        "What the order divides. 7 is prime, so φ(7) = 7 − 1 = 6. By Euler's theorem the order "
        "divides 6. Test. 4 is a primitive root modulo 7 if and only if its order is 6. The "
        "prime factors of 6 are 2 and 3, so the exponents to test are 6/2 = 3, 6/3 = 2: none of "
        "the powers may be 1. power calculation 4¹ 4 ≡ −3 4² (−3)² = 9 ≡ 2 4³ 2 · (−3) = −6 ≡ "
        "1 4³ ≡ 1 (mod 7): the order of 4 divides 3, which is less than 6. Answer. 4 is not a "
        "primitive root modulo 7.",
    ),
    (
        "is -3 a primitive root mod -4",
        "Modulo −4 means modulo 4: both have the same multiples, so congruences modulo one hold "
        "modulo the other. The least residue is taken: −3 ≡ 1 (mod 4). "
        f"Existence. {THEOREM} 4 is one of these. Modulo 4 the units are 1 and 3, and 3² ≡ 1: "
        "the powers of 3 are both. Answer. −3 is not a primitive root modulo 4.",
    ),
    (
        "number of primitive roots mod 13",  # 12 = 4 · 3
        "Existence. 13 is prime, and modulo each prime there are primitive roots. "
        "Units. 13 is prime, so φ(13) = 13 − 1 = 12. The number. If g is a primitive "
        "root, the others are the powers g^k with gcd(k, 12) = 1, so there are φ(φ(13)) = φ(12) = "
        "φ(2²)φ(3) = 2 · 2 = 4 of them. Answer. There are 4 primitive roots modulo 13.",
    ),
    (
        "least primitive root mod 12",
        f"Existence. {THEOREM} 12 = 2² · 3 is divisible by 4 and not 4 itself, so there are none. "
        "Answer. There is no primitive root modulo 12: primitive roots exist only modulo 1, 2, 4, "
        "p^k and 2p^k with an odd prime p.",
    ),
]


@pytest.mark.parametrize(("statement", "told"), TOLD, ids=[t[0] for t in TOLD])
def test_the_worked_solution_is_told_as_on_the_board(statement: str, told: str) -> None:
    assert worked(problem_from([statement])) == told


@pytest.mark.parametrize(
    ("modulus", "told"),
    [
        (103, "4 = 2² need not be tried: it is a power of a number that fails."),
        (103, "2 1 no: 2 ≡ 1444 = 38²"),
        (103, "5⁵¹ −47 · (−46) = 2162 ≡ −1 Answer. The least primitive root modulo 103"),
        (191, "4 = 2², 8 = 2³, 9 = 3² and 16 = 4² need not be tried: they are powers of numbers"),
    ],
)
def test_why_a_number_fails_is_told_so_that_it_can_be_checked(modulus: int, told: str) -> None:
    assert told in worked(problem_from([f"least primitive root mod {modulus}"]))


@pytest.mark.parametrize(
    ("modulus", "told"),
    [
        (2, "2 is one of these."),
        (49, "49 = 7² is a power of an odd prime."),
        (22, "22 = 2 · 11 is twice an odd prime."),
        (54, "54 = 2 · 3³ is twice a power of an odd prime."),
        (16, "16 = 2⁴ is divisible by 4 and not 4 itself, so there are none."),
        (45, "45 = 3² · 5 is divisible by two odd primes, so there are none."),
    ],
)
def test_it_is_told_which_form_a_modulus_has(modulus: int, told: str) -> None:
    assert f"{THEOREM} {told}" in worked(problem_from([f"is there a primitive root mod {modulus}"]))


@pytest.mark.parametrize(
    ("modulus", "chain"),
    [
        (3, "φ(φ(3)) = φ(2) = 1 of"),
        (7, "φ(φ(7)) = φ(6) = φ(2)φ(3) = 1 · 2 = 2 of"),
        (17, "φ(φ(17)) = φ(16) = φ(2⁴) = 8 of"),
        (9, "φ(φ(9)) = φ(6) = φ(2)φ(3) = 1 · 2 = 2 of"),
    ],
)
def test_the_number_is_worked_out_in_one_chain(modulus: int, chain: str) -> None:
    assert chain in worked(problem_from([f"number of primitive roots mod {modulus}"]))


def test_the_question_says_what_a_primitive_root_is() -> None:
    problem = problem_from(["primitive roots mod 17"])

    assert text(problem.question("the least")) == (
        "Find the smallest primitive root modulo 17. A primitive root modulo 17 is a residue of "
        "order φ(17)."
    )


def test_the_primes_to_test_are_listed_as_the_language_lists() -> None:
    problem = problem_from(["primitive roots mod 31"])  # 30 = 2 · 3 · 5

    assert "prime of 30 needs a test, that is 2, 3 and 5." in feedback(problem, "first-prime-only")


def test_why_there_is_none_is_told_where_there_is_none() -> None:
    none: Any = problem_from(["primitive roots mod 8"])
    some: Any = problem_from(["primitive roots mod 9"])

    assert text([none.why_none(none.solve().answer)]).startswith(
        "There is no primitive root modulo 8: primitive roots exist only modulo 1, 2, 4,"
    )
    assert some.why_none(some.solve().answer) is None


@pytest.mark.parametrize(("kind", "sample"), SAMPLES, ids=[sample for _kind, sample in SAMPLES])
def test_all_that_is_told_reaches_a_catalogue(kind: Kind, sample: str) -> None:
    assert not list(untold(everything_told(problem_from([sample]))))


@pytest.mark.parametrize(("kind", "sample"), SAMPLES, ids=[sample for _kind, sample in SAMPLES])
def test_the_record_reads_its_samples_as_the_house_does(kind: Kind, sample: str) -> None:
    problem = kind.read([sample])

    assert isinstance(problem, kind.problem) and problem == problem_from([sample])
    assert kind.read([problem.statement[0]]) == problem


def test_the_records_read_nothing_else() -> None:
    for statements in (["order of 7 mod 26"], ["primitive roots"], ["roots mod 5"]):
        assert all(kind.read(statements) is None for kind in KINDS)


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        (
            "least primitive root mod 7",  # 3^3 = 27 = 4 · 7 - 1, 3^2 = 9
            "Is 3 a primitive root? φ(7) = 6; it is one if and only if none of these powers is 1. "
            "exponent power of 3 modulo 7 6/2 = 3 6 6/3 = 2 2",
        ),
        ("is 6 a primitive root mod 9", ""),
        ("number of primitive roots mod 7", ""),
        (
            "primitive roots mod 3",
            "Is 2 a primitive root? φ(3) = 2; it is one if and only if none of these powers is 1. "
            "exponent power of 2 modulo 3 2/2 = 1 2",
        ),
    ],
)
def test_a_reviewer_is_shown_the_powers_that_decide(statement: str, told: str) -> None:
    problem = problem_from([statement])
    certificate = BY_NAME[problem.kind].certificate

    assert text(certificate(problem, problem.solve().answer)) == told
