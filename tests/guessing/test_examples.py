"""Questions that were answered by their looks, or told what nobody does: each is gone."""

from itertools import islice

import pytest

from itembank.guessing.met import met
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.pipeline.guesses import asked
from itembank.pipeline.selection import fits
from itembank.pipeline.variants import Stream
from itembank.values.item import SelectOne
from tests.kinds.telling import feedback_of
from tests.shipped import FAMILIES


def drawn(name: str, n: int):
    family = FAMILIES[name]
    return islice(Stream(family, "examples", fits(family)), n)


def slips(statement: str):
    problem = problem_from([statement])
    return problem.slips(problem.solve())


def test_nobody_takes_a_large_power_for_a_product():
    """77 * 207 for 77^207: whoever knows the sign ^ does not multiply by 207."""
    assert 77 * 207 % 1000 not in {slip.answer[0] for slip in slips("77^207 mod 1000")}


@pytest.mark.parametrize(
    "statement", ["x^2 = 0 mod 625", "x^2 - 10x + 25 = 0 mod 125", "x^3 + 25 = 0 mod 125"]
)
def test_no_feedback_lists_fifty_lifts(statement):
    for slip in slips(statement):
        told = plain.blocks(feedback_of(slip))
        assert len(slip.answer) <= 25
        assert told.count(",") < 30


def test_the_number_of_square_roots_is_not_always_eight():
    """8 was the answer in 100 of 100."""
    keys = [key for v in drawn("count-square-roots", 20) for _, key in met(asked(v, "integer"))]

    assert max(map(keys.count, keys)) <= 7


def test_no_solutions_is_now_and_then_the_key():
    """It was in 0 of 838 choices, and the clause in the stem was dead."""
    keys = []
    for variant in drawn("quadratic-two-prime-powers", 44):
        response = asked(variant, "select one").response
        assert isinstance(response, SelectOne)
        keys.append(next(o for o in response.options if o.correct).none)

    assert 3 <= sum(keys) <= 5


def test_the_first_option_is_the_key_as_often_as_any():
    """It was in 6 of 100."""
    places = []
    for variant in drawn("quadratic-leading-coefficient", 40):
        response = asked(variant, "select one").response
        assert isinstance(response, SelectOne)
        places.append(next(n for n, o in enumerate(response.options) if o.correct))

    assert all(5 <= places.count(n) <= 15 for n in range(4))


def test_coefficients_are_residues_and_no_variant_is_x_cubed_minus_x_in_disguise():
    """x^3 + 15x + 40 mod 8 is x^3 - x; x^3 + 6x - 675 mod 81 is x^3 + 6x + 54."""
    for name in ("singular-root", "cubic-prime-power", "lifting-step-singular"):
        for variant in drawn(name, 10):
            m = variant.problem.modulus
            assert all(abs(c) < m for c in variant.problem.f)
