"""Legendre's, Jacobi's and Kronecker's symbols: steps, telling and record."""

import pytest
from cypari import pari
from prose import lines
from recorded import certificate, read_as_its_kind, samples
from residue_samples import statements
from telling import feedback_of, rendered

from itembank.kinds.base import Step
from itembank.kinds.statement import problem_from
from itembank.kinds.symbol.kind import KINDS
from itembank.kinds.symbol.steps import Euler, Rewrite
from itembank.notation import plain
from itembank.notation.tree import Display


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_sample_is_of_its_kind(kind, statement):
    read_as_its_kind(kind, statement)


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_certificate_is_true(kind, statement):
    certificate(kind, statement)


@pytest.mark.parametrize(
    ("statement", "text"),
    [
        ("(3/7)", "The power of 3 with the exponent (7 − 1)/2 = 3 is −1 modulo 7."),
        ("(22/11)", "The power of 22 with the exponent (11 − 1)/2 = 5 is 0 modulo 11."),
        (
            "(10/9)",
            "The power of 10 with the exponent (3 − 1)/2 = 1 is 1 modulo 3. "
            "The exponent of the prime 3 in 9 is 2.",
        ),
        ("(5/1)", ""),
        ("kronecker (5/-8)", ""),
        ("kronecker (1/0)", ""),
    ],
)
def test_a_symbol_is_certified_by_eulers_criterion_for_each_prime(statement, text):
    found = certificate(*KINDS, statement)

    assert " ".join(plain.inlines(block.content) for block in found) == text


def worked(statement: str) -> list[str]:
    problem = problem_from([statement])
    return list(lines(rendered(problem.worked(problem.solve()))))


@pytest.mark.parametrize(
    ("statement", "row"),
    [
        ("(45/77)", ["(45/77) = (77/45)", "reciprocity, without a minus sign: 45 ≡ 1 (mod 4)"]),
        ("(45/77)", ["= (32/45)", "77 ≡ 32 (mod 45)"]),
        (
            "(45/77)",
            ["= −1", "32 = 2⁵ with an odd exponent, and (2/45) = −1 since 45 ≡ −3 (mod 8)"],
        ),
        ("(44/207)", ["(44/207) = (11/207)", "44 = 2² · 11, and 2² is a square"]),
        ("(14/37)", ["(14/37) = −(7/37)", "14 = 2 · 7, and (2/37) = −1 since 37 ≡ −3 (mod 8)"]),
        ("(2/7)", ["(2/7) = 1", "(2/7) = 1 since 7 ≡ −1 (mod 8)"]),
        ("(-1/15)", ["(−1/15) = −1", "(−1/15) = −1 since 15 ≡ 3 (mod 4)"]),
        ("(14/15)", ["(14/15) = −1", "14 ≡ −1 (mod 15), and (−1/15) = −1 since 15 ≡ 3 (mod 4)"]),
        ("(3/7)", ["(3/7) = −(7/3)", "reciprocity, with a minus sign: 3 ≡ 3 and 7 ≡ 3 (mod 4)"]),
        ("(25/49)", ["(25/49) = 1", "25 = 5² is a square, and gcd(5, 49) = 1"]),
        ("(3/15)", ["(3/15) = 0", "3 divides 3 and 15"]),
        ("(22/11)", ["= 0", "0 is a multiple of 11"]),
        ("(5/1)", ["(5/1) = 1", "a symbol over 1 is 1, a product of no factors"]),
    ],
)
def test_a_rule_stands_with_its_reason(statement, row):
    found = worked(statement)

    assert row in [found[i : i + 2] for i in range(len(found))]


@pytest.mark.parametrize(
    ("statement", "sentence"),
    [
        ("(2/3)", "(2/3) ≡ 2¹ (mod 3). That is 2 ≡ −1 (mod 3)."),
        ("(-1/3)", "(−1/3) ≡ (−1)¹ ≡ 2¹ (mod 3). That is −1 (mod 3)."),
        ("(-4/3)", "That is −4 ≡ 2 ≡ −1 (mod 3)."),
        ("(3/1000003)", "Repeated squaring gives −1 ≡ 1000002, the same value."),
        ("(2/17)", "So 2⁸ ≡ 1 (mod 17), the same value."),
        ("(3/7)", "3 = 1 + 2, so 3³ = 3 · 3² ≡ 3 · 2 = 6 ≡ −1 (mod 7)."),
        ("(100/189)", "189 = 3³ · 7, so (100/189) = (100/3)³ · (100/7)."),
        ("(-2/81)", "The product is 1⁴ = 1."),
        ("(45/77)", "The product is (−1) · 1 = −1."),
        ("kronecker (5/-8)", "taken apart, −8 = (−1) · 2³, and the symbol with it:"),
        (
            "kronecker (5/-8)",
            "(5/(−1)) = 1, since 5 is not negative. (5/2) = −1, since 5 is odd and",
        ),
        ("kronecker (-5/-1)", "Kronecker's extension. (−5/(−1)) = −1, since −5 is negative."),
        ("kronecker (5/-8)", "Answer. (5/(−8)) = 1 · (−1) · (−1) · (−1) = −1."),
        ("kronecker (3/0)", "A symbol over 0 is 1 for the tops 1 and −1, and 0 for all others."),
    ],
)
def test_a_sentence_fits_its_numbers(statement, sentence):
    assert sentence in " ".join(worked(statement))


def test_the_symbol_of_kronecker_is_taken_apart_as_its_bottom():
    problem = problem_from(["kronecker (7/-24)"])
    (shown,) = [b for b in rendered(problem.worked(problem.solve())) if isinstance(b, Display)]

    assert [plain.math(row) for row in shown.rows] == ["(7/(−24)) = (7/(−1)) · (7/2)³ · (7/3)"]


def test_each_square_is_made_of_the_one_before():
    problem = problem_from(["(5/199)"])
    (shown,) = [b for b in rendered(problem.worked(problem.solve())) if isinstance(b, Display)]

    assert [plain.math(row) for row in shown.rows][:4] == [
        "5² = 25",
        "5⁴ = 25² = 625 ≡ 28",
        "5⁸ ≡ 28² = 784 ≡ 187",
        "5¹⁶ ≡ 187² = 34969 ≡ 144",
    ]


@pytest.mark.parametrize(
    ("statement", "name", "sentence"),
    [
        ("(2/5)", "twos-dropped", "You took (2/5) for 1. It depends on 5 modulo 8."),
        ("(45/77)", "twos-dropped", "an odd power of 2 in 32 leaves the factor (2/45)."),
        ("(6/15)", "fraction-cancelled", "A symbol is not a fraction:"),
    ],
)
def test_feedback_names_the_symbol_where_the_slip_was_made(statement, name, sentence):
    problem = problem_from([statement])
    (slip,) = [s for s in problem.slips(problem.solve()) if name in s.names]

    assert sentence in " ".join(lines(feedback_of(slip)))


# ------------------------------------------------------------ steps


def steps(statement: str) -> tuple[Step, ...]:
    return problem_from([statement]).solve().steps


def kronecker(a: int, n: int) -> int:
    return int(pari.kronecker(a, n))


def test_each_rule_keeps_the_symbol_up_to_its_factor() -> None:
    for statement in statements("symbol", 400):
        rules = [step for step in steps(statement) if isinstance(step, Rewrite)]
        for rule, following in zip(rules, [*rules[1:], None], strict=True):
            after = rule.after
            assert kronecker(rule.a, rule.n) == rule.factor * (kronecker(*after) if after else 1)
            assert after == ((following.a, following.n) if following else None)


@pytest.mark.parametrize("statement", ["(3/7)", "(5/199)", "(-42/61)", "(2/103)"])
def test_the_squarings_of_eulers_criterion_are_powers_and_multiply_to_the_value(
    statement: str,
) -> None:
    (euler,) = [step for step in steps(statement) if isinstance(step, Euler)]
    product = 1
    for e, value in euler.squarings:
        assert value == pow(euler.r, e, euler.p)
        product *= value if euler.exponent & e else 1

    assert product % euler.p == euler.value % euler.p
