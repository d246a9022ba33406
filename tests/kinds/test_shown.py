"""What is shown is built from numbers, and is what the reader gives for the statement."""

import re
from random import Random

import pytest

from itembank.kinds import one_unknown
from itembank.kinds.linear_pair.kind import LinearPair
from itembank.kinds.statement import problem_from
from itembank.kinds.table import KINDS
from itembank.maths.polynomials import trimmed
from itembank.notation.building import plain_polynomial
from itembank.notation.reading import formula
from itembank.values.errors import StatementError

FORMULAS = (
    "linear", "polynomial", "power_root", "linear_pair", "system", "factorial", "power", "tower",
)  # fmt: skip
"""Kinds whose statement is a formula as it stands."""

WORDED = (
    "squares", "quadratic_residues", "number_of_squares", "number_of_quadratic_residues", "units",
    "zero_divisors", "number_of_zero_divisors", "inverses", "primitive_roots",
    "least_primitive_root", "primitive_root_count", "primitive_root_existence",
)  # fmt: skip
"""Kinds whose statement is words and a modulus."""


def problems(*kinds):
    return [
        pytest.param(problem_from(sample.split("; ")), id=f"{name}: {sample}")
        for name in kinds
        for sample in KINDS[name].samples
    ]


@pytest.mark.parametrize("problem", problems(*FORMULAS))
def test_a_congruence_is_shown_as_its_statement_is_read(problem):
    assert problem.shown == tuple(map(formula, problem.statement))


@pytest.mark.parametrize("problem", problems(*WORDED))
def test_words_and_a_modulus_are_shown_as_they_are_read(problem):
    words, modulus = problem.statement[0].split(" mod ")

    assert problem.shown == (formula(f'"{words} modulo" {modulus}'),)


@pytest.mark.parametrize("problem", problems("inverse", "order"))
def test_words_and_a_number_are_shown_as_they_are_read(problem):
    (statement,) = problem.statement

    assert problem.shown == (formula(re.sub("^.* of", '"\\g<0>"', statement)),)


@pytest.mark.parametrize("problem", problems("square_test", "primitive_root_test"))
def test_whether_a_number_is_one_is_shown_as_it_is_read(problem):
    typed = re.sub(r"is (\S+) (.*) mod ", r'"is" \1 "\2 modulo" ', problem.statement[0])

    assert problem.shown == (formula(typed),)


@pytest.mark.parametrize("problem", problems("lifting_step"))
def test_a_step_shows_the_congruence_above_and_the_root_below(problem):
    root, congruence = problem.statement[0].removeprefix("lift ").split(" to ")

    assert problem.shown == (formula(congruence), formula(root))


def test_every_polynomial_of_small_numbers_is_shown_as_it_is_read():
    chance = Random("shown")
    for _ in range(1000):
        left, right = (
            tuple(chance.randrange(-2, 3) for _ in range(chance.randrange(0, 5))) for _ in "lr"
        )
        typed = f"{plain_polynomial(left)} + 0x = {plain_polynomial(right)}"
        problem = problem_from([f"{typed} mod {chance.randrange(1, 30)}"])

        assert problem.shown == tuple(map(formula, problem.statement)), typed


def test_every_pair_of_small_numbers_is_shown_as_it_is_read():
    chance = Random("shown")
    for _ in range(1000):
        first, second = (tuple(chance.randrange(-2, 3) for _ in "abc") for _ in "12")
        problem = LinearPair(rows=(first, second), modulus=7, letters=("u", "v"))

        assert problem.shown == tuple(map(formula, problem.statement)), problem.rows


def test_sides_are_the_problem_that_their_typed_form_is():
    chance = Random("sides")
    tried = set()
    for _ in range(2000):
        left, right = (
            trimmed(chance.choices((-1, 0, 0, 1, 3), k=chance.randrange(0, 5))) for _ in "lr"
        )
        m = chance.randrange(1, 30)
        try:
            found = one_unknown.of_sides(left, right, m, "t")
        except StatementError:
            assert max(len(left), len(right)) <= 1
            continue
        typed = f"{plain_polynomial(left, 't')} = {plain_polynomial(right, 't')} mod {m}"
        assert found == problem_from([typed]), typed
        tried.add(found.kind)

    assert tried == {"linear", "polynomial", "power_root"}


def test_a_modulus_below_one_is_refused():
    with pytest.raises(StatementError, match="expected a modulus of at least 1, got 0"):
        one_unknown.of_sides((0, 1), (), 0, "x")


@pytest.mark.parametrize("typed", ["x = 10^200*10^201 mod 7", "x^3 = 10^401 mod 10^9"])
def test_a_number_too_long_when_it_is_multiplied_out_is_refused(typed):
    with pytest.raises(
        StatementError,
        match=r"multiplied out, a number has 40[12] digits, and at most 400 are read",
    ):
        problem_from([typed])
