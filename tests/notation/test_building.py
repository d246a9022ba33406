"""Trees built from numbers are the trees that the reader gives for their typed form."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from sympy import Poly, symbols

from itembank.notation import plain
from itembank.notation.building import (
    added,
    applied,
    congruence,
    difference,
    dotted,
    equal,
    linear_factors,
    number,
    plain_polynomial,
    polynomial,
    power,
)
from itembank.notation.reading import formula
from itembank.notation.tree import Letter

coefficients = st.lists(st.integers(-12, 12), max_size=7)


@pytest.mark.parametrize(
    ("f", "text"),
    [
        ((), "0"),
        ((0, 0), "0"),
        ((5,), "5"),
        ((-5,), "-5"),
        ((0, 1), "x"),
        ((0, -1), "-x"),
        ((1, 1), "x + 1"),
        ((-1, 0, -1), "-x^2 - 1"),
        ((8, -3, 1), "x^2 - 3x + 8"),
        ((0, 0, 0, 12), "12x^3"),
    ],
)
def test_a_polynomial_is_written_as_in_a_book(f, text):
    assert plain_polynomial(f) == text
    assert plain.typed(polynomial(f)) == text


@given(f=coefficients, letter=st.sampled_from("xyt"))
@example(f=[0, -1], letter="t")
def test_the_tree_of_a_polynomial_is_what_the_reader_makes_of_its_text(f, letter):
    assert polynomial(f, letter) == formula(plain_polynomial(f, letter))


@given(f=coefficients)
def test_the_text_of_a_polynomial_is_that_polynomial(f):
    x = symbols("x")
    text = plain_polynomial(f).replace("^", "**")
    for digit in "0123456789":
        text = text.replace(f"{digit}x", f"{digit}*x")

    assert Poly(eval(text, {"x": x}), x) == Poly(list(reversed(f)) or [0], x)


def test_a_congruence_takes_a_modulus_as_a_number_or_as_it_is_written():
    left, right = polynomial((5, 9, 1)), number(0)

    assert congruence(left, right, 117) == formula("x^2 + 9x + 5 = 0 mod 117")
    assert congruence(left, right, formula("3^2*13")) == formula("x^2 + 9x + 5 = 0 mod 3^2*13")


@pytest.mark.parametrize(
    ("tree", "text"),
    [
        (dotted([7]), "7"),
        (dotted([power(2, 3), 5]), "2^3 · 5"),
        (added([7]), "7"),
        (added([16, 4, 1]), "16 + 4 + 1"),
        (difference(12, 5), "12 - 5"),
        (equal(7), "7"),
        (equal(power(2, 3), dotted([2, 4]), 8), "2^3 = 2 · 4 = 8"),
        (applied("f", -3), "f(-3)"),
        (applied("f", Letter("r"), primes=1), "f'(r)"),
        (linear_factors([2]), "x - 2"),
        (linear_factors([0, -2]), "x(x + 2)"),
        (linear_factors([1, 2, 3]), "(x - 1)(x - 2)(x - 3)"),
        (linear_factors([-2, -2]), "(x + 2)^2"),
    ],
)
def test_products_sums_and_chains_are_what_the_reader_makes_of_their_text(tree, text):
    assert tree == formula(text)
