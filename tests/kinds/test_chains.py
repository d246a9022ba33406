"""Calculations as trees: those that the reader of formulas gives for their typed form."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from itembank.kinds.chains import (
    calculated_or_congruent,
    modulo,
    residue_chain,
    shift,
    sum_of,
    value_put_in,
)
from itembank.notation import plain
from itembank.notation.building import dotted
from itembank.notation.reading import formula
from itembank.notation.tree import Number

LONG = 10**20


@pytest.mark.parametrize(
    ("tree", "typed"),
    [
        (sum_of(dotted((2, 3)), Number(5)), "2 · 3 + 5"),
        (sum_of(dotted((-2, 3)), Number(-5)), "-2 · 3 - 5"),
        (sum_of(dotted((-2, 3))), "-2 · 3"),
        (sum_of(Number(-5)), "-5"),
        (sum_of(formula("1 - 2y"), formula("3y")), "1 - 2y + 3y"),
        (shift(7, 12, "t"), "7 + 12t"),
        (shift(7, -1, "t"), "7 - t"),
        (shift(0, 12, "t"), "12t"),
        (shift(7, 0, "t"), "7"),
        (shift(0, 0, "t"), "0"),
        (value_put_in((1, 3), 4), "3 · 4 + 1"),
        (value_put_in((-2, -1, 1), 4), "4^2 - 4 - 2"),
        (value_put_in((0, -1), 7), "-7"),
        (value_put_in((0, 0, -3), 4), "-3 · 4^2"),
        (value_put_in((), 4), "0"),
        (residue_chain(63, 52), "63 == 11"),
        (residue_chain(7, 52), "7"),
        (residue_chain(-1, 6), "-1 == 5"),
        (residue_chain(LONG, 7), "2"),
    ],
    ids=str,
)
def test_a_calculation_is_the_tree_of_what_would_be_typed(tree, typed):
    assert plain.math(tree) == plain.math(formula(typed))
    assert tree == formula(typed)


@pytest.mark.parametrize(
    ("left", "m", "text"),
    [
        ((3, 21), 52, "3 · 21 = 63 ≡ 11 (mod 52)"),
        ((3, 5), 52, "3 · 5 ≡ 15 (mod 52)"),
        ((3, LONG), 7, f"3 · {LONG} ≡ 6 (mod 7)"),
    ],
)
def test_what_a_product_comes_to_is_equal_or_congruent(left, m, text):
    a, b = left
    chain = calculated_or_congruent(dotted(left), a * b, m)

    assert plain.math(modulo([chain], Number(m))).replace("\N{NO-BREAK SPACE}", " ") == text


def test_several_chains_stand_under_one_modulus():
    chains = [calculated_or_congruent(dotted((6, x)), 6 * x, 10) for x in (1, 4)]

    assert modulo(chains, Number(10)) == formula("6 · 1 = 6, 6 · 4 = 24 == 4 mod 10")


@given(r=st.integers(), d=st.integers())
def test_a_sum_of_two_terms_reads_as_typed(r, d):
    assert plain.math(sum_of(Number(r), Number(d))) == plain.math(formula(f"{r} + {d}"))
    typed = plain.typed(shift(r, d, "t"))
    assert formula(typed) == shift(r, d, "t")
