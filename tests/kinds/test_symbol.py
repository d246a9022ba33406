"""Legendre's, Jacobi's and Kronecker's symbols: steps, telling and record."""

import pytest
from cypari import pari

from itembank.kinds.base import Step
from itembank.kinds.statement import problem_from
from itembank.kinds.symbol.kind import KINDS
from itembank.kinds.symbol.steps import Euler, Rewrite, RootFound
from itembank.notation import plain
from itembank.notation.tree import Display
from tests.kinds.prose import lines
from tests.kinds.recorded import certificate, read_as_its_kind, samples
from tests.kinds.residue_samples import statements
from tests.kinds.telling import feedback_of, rendered


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
        ("(2/7)", ["(2/7) = 1", "supplementary law for 2, since 7 ≡ −1 (mod 8)"]),
        ("(-1/15)", ["(−1/15) = −1", "supplementary law for −1, since 15 ≡ 3 (mod 4)"]),
        ("(-2/53)", ["(−2/53) = (2/53)", "(−1/53) = 1 since 53 ≡ 1 (mod 4)"]),
        ("(-15/47)", ["(−15/47) = −(15/47)", "(−1/47) = −1 since 47 ≡ 3 (mod 4)"]),
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
        ("(2/17)", "Check. 6² = 36 = 2 · 17 + 2, so 6² ≡ 2 (mod 17)."),
        ("(-15/47)", "Check. 19² = 361 = 8 · 47 − 15, so 19² ≡ −15 (mod 47)."),
        ("(-1/47)", "exponent (47 − 1)/2 = 23. (−1)²³ ≡ −1 (mod 47)."),
        (
            "(134/149)",
            "On the way 15 stands at the bottom, which is not prime: there the",
        ),
        ("(134/149)", "134⁷⁴ ≡ −25 · 6 = −150 ≡ −1 (mod 149)"),
        (
            "is 105 a square mod 601",
            "Legendre's symbol decides. On the way 105 stands at the bottom,",
        ),
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


@pytest.mark.parametrize(
    ("statement", "name", "sentence"),
    [
        ("(2/5)", "twos-dropped", "Check the value of (2/5): it depends on 5 modulo 8."),
        ("(45/77)", "twos-dropped", "an odd power of 2 in 32 leaves the factor (2/45)."),
        ("(6/15)", "fraction-cancelled", "a symbol is not a fraction."),
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


def test_a_check_holds_and_is_no_longer_than_the_rules() -> None:
    for statement in statements("symbol", 400):
        *others, check = steps(statement)
        if isinstance(check, RootFound):
            assert (check.root**2 - check.a) % check.p == 0
        if isinstance(check, Euler):
            assert pow(check.a, check.exponent, check.p) == check.p - 1
            assert len(others) > 5 or check.a % check.p == check.p - 1


def test_a_symbol_of_a_prime_without_jacobi_symbols_does_not_speak_of_them() -> None:
    assert "Jacobi" not in " ".join(worked("(2/479)"))
