"""Variants that are settled by a way much shorter than the method are passed over."""

from itertools import islice

import pytest

from itembank.kinds.table import SIGNATURES, read
from itembank.pipeline.selection import fits
from itembank.pipeline.shortcuts import beyond_the_modulus, shortcut, trials_needed
from itembank.pipeline.variants import Stream
from itembank.spec import load_family
from tests.shipped import FAMILIES


def why(ask, *statements):
    problem = read(statements)
    assert problem is not None
    return shortcut(ask, problem, problem.solve())


def test_the_answer_printed_in_the_question():
    """x = 7 (12), x = 19 (28): 19 is the answer, and stands there."""
    assert "stands in the question" in why("the solution", "x = 7 mod 12", "x = 19 mod 28")
    assert not why("the solution", "x = 2 mod 5", "x = 3 mod 7")


def test_a_right_side_that_is_a_perfect_power():
    """2^4 = 16, and 8^2 = 64."""
    assert why("all solutions", "x^4 = 16 mod 17")
    assert "perfect power" in why("all solutions", "x^2 = 64 mod 143")
    assert not why("all solutions", "x^2 = 10 mod 31")


def test_a_short_modulus_and_a_small_least_solution():
    """Eight residues are tried faster than a table of lifts is made."""
    assert "tried" in why("all solutions", "x^3 + 7x = 0 mod 8")
    assert "tried" in why("the least", "x^2 - 5x + 6 = 0 mod 117")  # 0, 1, 2


def trials(ask, statement):
    problem = read([statement])
    assert problem is not None
    return trials_needed(ask, problem, problem.solve().answer)


def test_a_root_and_its_partner_settle_a_quadratic_modulo_a_prime():
    """x^2 + 4x + 8 = 0 mod 13: 0 does not fit, 1 does, and the partner of 1 is -5 = 8."""
    assert trials("all solutions", "x^2 + 4x + 8 = 0 mod 13") == 3
    assert trials("all solutions", "x^2 + 4x + 8 = 0 mod 39") == 20  # half of them, with partners


def test_an_inverse_that_is_found_by_trying():
    """2 * 13 = 26 = 1 mod 25 is seen before any division; 8 * 25 is not."""
    assert "tried" in why("the value", "inverse of 13 mod 25")
    assert not why("the value", "inverse of 8 mod 25")


@pytest.mark.parametrize(
    ("statement", "beyond"),
    [
        ("x^3 + 6x - 675 = 0 mod 81", True),
        ("x^3 + 15x + 40 = 0 mod 8", True),
        ("x^3 - x = 0 mod 8", False),
        ("x^2 + 9x + 5 = 0 mod 117", False),
    ],
)
def test_coefficients_beyond_the_modulus(statement, beyond):
    problem = read([statement])
    assert problem is not None

    assert beyond_the_modulus(problem) is beyond


FAMILY = """
id: small
version: 1
title: Lifts of a cubic
problem: polynomial
outcomes: [roots]
level: medium
parameters:
  b: {integer: [1, 15]}
  c: {integer: [1, 40]}
given: {congruence: x^3 + b*x + c = 0, modulus: 8}
ask: all solutions
forms: [list]
small: a family for tests
"""


def test_a_family_may_allow_both(tmp_path):
    path = tmp_path / "small.yaml"

    def variants(text):
        path.write_text(text, encoding="utf-8")
        family = load_family(path, SIGNATURES)
        return list(Stream(family, "s", fits(family)))

    strict, tried = variants(FAMILY), variants(FAMILY + "shortcuts: allowed\n")
    free = variants(FAMILY + "shortcuts: allowed\ncoefficients: any\n")
    assert len(strict) < len(tried) < len(free)
    assert not any(beyond_the_modulus(v.problem) for v in tried)


@pytest.mark.parametrize("name", ["singular-root", "lifting-step-singular", "least-solution"])
def test_shipped_variants_have_reduced_coefficients_and_no_shorter_way(name):
    """76 of 100 variants of the first had coefficients beyond the modulus."""
    family = FAMILIES[name]

    for v in islice(Stream(family, "gifts", fits(family)), 30):
        assert not beyond_the_modulus(v.problem)
        assert not shortcut(family.ask, v.problem, v.solution)
