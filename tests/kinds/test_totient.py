"""Euler's phi and Carmichael's lambda: how they are told, and what is recorded of them."""

import pytest

from itembank.kinds.statement import problem_from
from itembank.kinds.totient.kind import KINDS
from itembank.notation import plain
from tests.kinds.prose import lines
from tests.kinds.recorded import certificate, read_as_its_kind, samples
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
        ("phi(625)", "625 = 5⁴. 625 − 125 = 500."),
        ("phi(360)", "360 = 2³ · 3² · 5. The product of the values is 4 · 6 · 4 = 96."),
        ("phi(97)", "97 is prime, and 97 − 1 = 96."),
        ("phi(1)", ""),
    ],
)
def test_phi_is_certified_by_its_prime_powers(statement, text):
    found = certificate(KINDS[0], statement)

    assert "".join(plain.inlines(block.content) for block in found) == text


def worked(statement: str) -> list[str]:
    problem = problem_from([statement])
    return list(lines(rendered(problem.worked(problem.solve()))))


@pytest.mark.parametrize(
    ("statement", "line"),
    [
        ("phi(12)", "φ(2²) = 2 · (2 − 1) = 2"),
        ("phi(360)", "φ(2³) = 2² · (2 − 1) = 4"),
        ("phi(45)", "φ(3²) = 3 · (3 − 1) = 3 · 2 = 6"),
        ("phi(101)", "φ(101) = 101 − 1 = 100"),
        ("lambda(8)", "λ(2³) = 2"),
        ("lambda(64)", "λ(2⁶) = 2⁴ = 16"),
        ("lambda(12)", "λ(2²) = 2"),
        ("lambda(75)", "λ(5²) = 5 · (5 − 1) = 5 · 4 = 20"),
    ],
)
def test_a_prime_power_has_a_row_of_its_own(statement, line):
    assert line in worked(statement)


def test_the_product_formula_is_used_prime_by_prime():
    (check,) = [line for line in worked("phi(90)") if "product formula" in line]

    assert check.endswith("prime by prime: 90/2 · 1 = 45, 45/3 · 2 = 30 and 30/5 · 4 = 24.")


def test_a_large_number_is_asked_for_as_it_was_typed():
    problem = problem_from(["phi(10^40)"])

    assert list(lines(rendered(problem.question("the value"))))[1] == (
        "Find φ(10⁴⁰): how many of the numbers from 1 to 10⁴⁰ are coprime to 10⁴⁰."
    )
    assert worked("phi(10^40)")[-1].startswith("φ(10⁴⁰) = 4000000")


@pytest.mark.parametrize(
    ("number", "missing"), [(9, "the factor 3 belongs"), (27, "the factor 3² belongs")]
)
def test_a_dropped_exponent_is_answered_with_the_factor_that_it_leaves(number, missing):
    problem = problem_from([f"phi({number})"])
    slips = problem.slips(problem.solve())
    told = [line for s in slips if "exponents-dropped" in s.names for line in lines(feedback_of(s))]

    assert missing in " ".join(told)


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        (
            "phi(397969)",
            "Factor. Dividing by the primes in turn: 397969 = 11³ · 299, 299 = 13 · 23. So "
            "397969 = 11³ · 13 · 23.",
        ),
        ("phi(6 * 109)", "654 = 2 · 327, 327 = 3 · 109; no prime up to 10 divides 109."),
        ("phi(96)", "Factor. 96 = 2⁵ · 3."),
        ("phi(143)", "Factor. 143 = 11 · 13."),
    ],
)
def test_the_divisions_are_told_where_factors_are_not_seen(statement, told):
    assert told in " ".join(worked(statement))
