"""Powers modulo m and towers of powers: how they are told, certified, recorded."""

import re

import pytest

from itembank.kinds.power.kind import KINDS
from itembank.kinds.statement import problem_from
from itembank.languages import Speaker
from itembank.notation.tree import Blocks, Display, Paragraph, Table
from tests.kinds.prose import lines
from tests.kinds.sums import read_sums
from tests.kinds.telling import feedback_of, rendered

SAMPLES = [(kind, statement) for kind in KINDS for statement in kind.samples]


def worked(statement: str) -> Blocks:
    problem = problem_from([statement])
    return rendered(problem.worked(problem.solve()))


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        ("7^45 mod 10", "(The last digit of the power is its least residue.)"),
        ("7^45 mod 1000", "(The last 3 digits of the power, read as a number, are its least"),
    ],
)
def test_last_digits_are_said_to_be_what_is_asked(statement, said):
    assert said in " ".join(map(Speaker().text, problem_from([statement]).question("the value")))


def certificate(statement: str) -> Blocks:
    problem = problem_from([statement])
    (kind,) = [kind for kind in KINDS if type(problem) is kind.problem]
    return rendered(kind.certificate(problem, problem.solve().answer))


@pytest.mark.parametrize(("kind", "statement"), SAMPLES, ids=[s for _k, s in SAMPLES])
def test_every_sample_is_of_its_kind_and_all_of_it_is_said(kind, statement):
    problem = problem_from([statement])
    solution = problem.solve()

    assert type(problem) is kind.problem
    assert kind.read([statement]) == kind.read(problem.statement) == problem
    feedback = [part for s in problem.slips(solution) for told in s.feedback for part in told]
    questions = [part for ask in problem.signature.asks for part in problem.question(ask)]
    for told in (*problem.worked(solution), *questions, *feedback):
        assert not isinstance(told, Paragraph | Display | Table), told


def test_fermat_is_told():
    # 2^100 = 2^(8 * 12 + 4) = 16 = 3 modulo 13
    assert list(lines(worked("2^100 mod 13"))) == [
        "Fermat.",
        "13 is prime and does not divide 2, so 2¹² ≡ 1 (mod 13) by Fermat's theorem. So the "
        "exponent may be reduced modulo 12.",
        "100 = 8 · 12 + 4",
        "",
        "So 2¹⁰⁰ ≡ 2⁴ (mod 13).",
        "Multiply out.",
        "2⁴ = 16 ≡ 3 (mod 13).",
        "Answer.",
        "2¹⁰⁰ ≡ 3 (mod 13).",
    ]


def test_a_base_with_a_common_factor_is_told_in_two_parts_that_are_combined():
    # 6^222 is 0 modulo 4 and 6^2 = 11 modulo 25
    assert list(lines(worked("6^222 mod 100"))) == [
        "Split the modulus.",
        "6 and 100 have a common factor, so Euler's theorem does not apply modulo 100. Write "
        "100 = 25 · 4: 6 is coprime to 25, and every prime of 4 divides 6.",
        "Modulo 4.",
        "6² is divisible by 4, and the exponent is at least 2, so the power is 0 modulo 4. It "
        "remains to find the power modulo 25.",
        "Euler.",
        "gcd(6, 25) = 1, so 6^(φ(25)) ≡ 1 (mod 25) by Euler's theorem. Here 25 = 5² and "
        "φ(5²) = 5 · 4 = 20. So the exponent may be reduced modulo 20.",
        "222 = 11 · 20 + 2",
        "",
        "So 6²²² ≡ 6² (mod 25).",
        "Multiply out.",
        "6² = 36 ≡ 11 (mod 25).",
        "Combine.",
        "The power is 11 modulo 25 and 0 modulo 4: it is 4k with 4k ≡ 11 (mod 25). "
        "11 ≡ 11 + 25 = 36 = 4 · 9, and 4 is coprime to 25: k ≡ 9 (mod 25). So the power is "
        "4 · 9 = 36.",
        "Answer.",
        "6²²² ≡ 36 (mod 100).",
    ]


@pytest.mark.parametrize(
    ("statement", "sentence"),
    [
        ("0^0 mod 5", "this is so for 0 too: 0⁰ = 1 by convention."),
        ("5^0 mod 7", "A power with exponent 0 is the empty product: 5⁰ = 1."),
        ("2^(0^(9^9)) mod 8", "The exponent is 0^(9⁹) = 0, and a power with exponent 0 is 1."),
        ("5^1 mod 7", "A power with exponent 1 is its base: 5¹ = 5."),
        ("7^(1^5) mod 10", "The exponent is 1⁵ = 1, so the power is its base, 7."),
        ("4^9 mod 5", "4 ≡ −1 (mod 5), and the exponent is odd, so 4⁹ ≡ −1 ≡ 4 (mod 5)."),
        ("4^8 mod 5", "4 ≡ −1 (mod 5), and the exponent is even, so 4⁸ ≡ 1 (mod 5)."),
        ("12^100 mod 8", "The base shares every prime of the modulus. 4² is divisible by 8"),
        ("16^99 mod 184", "16 is divisible by 8, so every power with a positive exponent is 0."),
        ("(-3)^(-5) mod 7", "since −3 · 2 = −6 ≡ 1 (mod 7); so the power wanted is 2⁵."),
        ("(-3)^(-1) mod 7", "The exponent −1 asks for the inverse. The inverse of −3 modulo 7"),
        ("2^(-2) mod 8", "asks for the inverse of 2 modulo 8, but gcd(2, 8) = 2."),
        ("2^(-2) mod 8", "Answer. 2 and 8 share the factor 2, so 2 has no inverse modulo 8"),
        ("9^(9^(9^9)) mod 1000", "So the remainder of 9^(9⁹) modulo 400 is wanted first."),
        (
            "9^(9^(9^9)) mod 1000",
            "φ(1000) = φ(2³)φ(5³) = 4 · (5² · 4) = 4 · 100 = 400.",
        ),
        ("2^(3^4) mod 7", "3⁴ = 81 = 13 · 6 + 3"),
        ("87^80 mod 1000", "87⁴ (−431)² = 185761 ≡ −239"),
        ("8^16 mod 45", "8⁴ 19² = 361 ≡ 1 So 8¹⁶ = (8⁴)⁴ ≡ 1⁴ = 1 (mod 45)."),
        ("10^3 mod 10^10", "Multiply out. 10³ ≡ 1000 (mod 10000000000)."),
    ],
)
def test_whole_sentences_say_what_is_special(statement, sentence):
    assert sentence in " ".join(filter(None, lines(worked(statement))))


def test_a_product_too_long_to_write_is_congruent_and_not_equal_to_its_residue():
    text = " ".join(lines(worked("2^(10^30) mod 2^5*(10^20 + 39)")))
    (said,) = re.findall(r"k ≡ (\d+) · (\d+) (.) −\d+ ≡ (\d+) \(mod", text)
    s, r, sign, k = said

    assert int(s) * int(r) > 10**18 and int(s) * int(r) != int(k)
    assert sign == "≡"


@pytest.mark.parametrize("statement", [s for _k, s in SAMPLES])
def test_every_relation_in_a_certificate_is_true(statement):
    read_sums(certificate(statement), problem_from([statement]).modulus)


def test_the_factors_in_a_certificate_are_those_that_the_exponent_chooses():
    first, table, last = certificate("3^13 mod 50")  # 3^13 = 1594323; 3, 9, 31, 11

    assert list(lines((first, last)))[1::2] == [
        "13 = 1 + 4 + 8.",
        "The product of the factors is 23 modulo 50.",
    ]
    rows = list(lines((table,)))[3:]
    assert rows == ["1", "3", "yes", "2", "9", "", "4", "31", "yes", "8", "11", "yes"]


def test_a_negative_exponent_is_certified_by_the_product_with_the_opposite_power():
    text = " ".join(lines(certificate("3^(-5) mod 7")))  # 3^5 = 243 = 5, and 3 * 5 = 15 = 1

    assert "The product of the factors is 5 modulo 7, and 3 · 5 = 15 ≡ 1 (mod 7)." in text
    assert "gcd(2, 8) = 2." in " ".join(lines(certificate("2^(-2) mod 8")))


@pytest.mark.parametrize(
    ("statement", "name", "sentence"),
    [
        ("(-3)^10 mod 7", "base-times-exponent", "(−3)¹⁰ is a product of factors −3"),
        ("(-3)^100 mod 7", "exponent-modulo-modulus", "took (−3)²: bases are reduced modulo 7"),
        ("(-3)^100 mod 7", "exponent-modulo-modulus", "They count modulo φ(7)."),
        ("12^100 mod 8", "exponent-modulo-modulus", None),
        ("2^13 mod 9", "phi-of-prime-power", "so φ(3²) = 3² − 3."),
        ("2^40 mod 27", "phi-of-prime-power", "so φ(3³) = 3³ − 3²."),
        ("2^20 mod 15", "prime-modulus-assumed", "15 = 3 · 5 is not prime: use φ(15)."),
        ("2^13 mod 101", "all-squares-multiplied", "add up to 13, that is 13 = 8 + 4 + 1."),
        ("2^(3^2) mod 11", "tower-from-the-bottom", "2³ first: that multiplies the exponents."),
    ],
)
def test_feedback_speaks_of_these_numbers(statement, name, sentence):
    problem = problem_from([statement])
    told = [s for s in problem.slips(problem.solve()) if name in s.names]
    text = " ".join(line for s in told for line in lines(feedback_of(s)))

    assert (sentence or "") in text
    assert bool(told) is (sentence is not None)
