"""Plain notation as the second way reads it, against expansion by hand and by sympy."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from itembank.second_way.table import read
from itembank.values.errors import StatementError


@pytest.mark.parametrize(
    ("statement", "coefficients", "modulus"),
    [
        ("x^2 + 9x + 5 = 0 mod 117", (5, 9, 1), 117),
        ("x² + 9x + 5 ≡ 0 (mod 117)", (5, 9, 1), 117),
        ("x**2+9*x+5=0 mod 3^2*13", (5, 9, 1), 117),
        ("x^2 = −9x − 5 (mod 3²·13)", (5, 9, 1), 117),
        ("3x = 6 mod 9", (3, 3), 9),
        ("2(x + 1)(x - 4) = 0 mod 10", (2, 4, 2), 10),  # 2x² - 6x - 8
        ("(x-1)^3 = x^3 mod 12", (11, 3, 9), 12),  # -3x² + 3x - 1
        ("-x^2 = 1 mod 7", (6, 0, 6), 7),
        ("(-x)^2 = 1 mod 7", (6, 0, 1), 7),
        ("y^(2*3) - y = 0 mod 2^5 - 1", (0, 30, 0, 0, 0, 0, 1), 31),
        ("14x = 7 mod 7", (), 7),
        ("x = 0 mod 1", (), 1),
        ("0x^3 + 7x = 0 mod 5", (0, 2), 5),
        ("x\u2062(x\u2062+\u20621) = 0 mod 6", (0, 1, 1), 6),
        ("x^0 + 0^0 + (-1)^99999999999x = 0 mod 9", (2, 8), 9),
        ("x = 1 mod 3^40", (3**40 - 1, 1), 3**40),
    ],
)
def test_a_statement_is_the_polynomial_and_the_modulus_it_shows(statement, coefficients, modulus):
    question = read(statement)

    assert (question.coefficients, question.modulus) == (coefficients, modulus)


@pytest.mark.parametrize(
    ("statement", "message"),
    [
        ("", "statement '', column 1: expected a number or the unknown, got the end"),
        ("x = 1", "statement 'x = 1', column 6: expected mod and a modulus, got the end"),
        ("x mod 7", "statement 'x mod 7', column 3: expected a sign = or ≡, got 'mod'"),
        ("x2 = 1 mod 7", "statement 'x2 = 1 mod 7', column 2: expected a sign = or ≡, got '2'"),
        (
            "xy = 1 mod 7",
            "statement 'xy = 1 mod 7', column 2: expected the one unknown x, got 'y'",
        ),
        (
            "2^3^2x = 1 mod 7",
            "statement '2^3^2x = 1 mod 7', column 4: "
            "expected one exponent (write brackets for a tower), got '^'",
        ),
        ("x = 1 mod 0", "statement 'x = 1 mod 0': expected a modulus of at least 1, got 0"),
        ("x = 1 mod -7", "statement 'x = 1 mod -7': expected a modulus of at least 1, got -7"),
        ("x = 1 mod x", "statement 'x = 1 mod x', column 11: expected a number, got 'x'"),
        (
            "(x = 1 mod 7",
            "statement '(x = 1 mod 7', column 4: "
            "expected a bracket to close the one at column 1, got '='",
        ),
        (
            "x = 1 mod 7 8",
            "statement 'x = 1 mod 7 8', column 13: expected the end of the statement, got '8'",
        ),
        (
            "x = 1 (mod 7",
            "statement 'x = 1 (mod 7', column 13: expected a closing bracket, got the end",
        ),
        (
            "x / 2 = 1 mod 7",
            "statement 'x / 2 = 1 mod 7', column 3: expected a sign = or ≡, got '/'",
        ),
        (
            "x^-1 = 1 mod 7",
            "statement 'x^-1 = 1 mod 7', column 3: expected a whole number as exponent, got '-'",
        ),
        (
            "٣x = 1 mod 7",
            "statement '٣x = 1 mod 7', column 1: expected a number or the unknown, got '٣'",
        ),
    ],
)
def test_what_cannot_be_read_is_refused_where_it_stands(statement, message):
    with pytest.raises(StatementError) as caught:
        read(statement)

    assert str(caught.value) == message


@pytest.mark.parametrize(
    "statement",
    [
        "9^999999999 = x mod 7",
        "x^999999999 + x = 1 mod 7",
        "(x+1)^(9^200) = 1 mod 7",
        "(x + 9^2000)^9 = 0 mod 7",
        "((((((((((9^9)^9)^9)^9)^9)^9)^9)^9)^9)^9) = x mod 7",
        "(" * 1000 + "x" + ")" * 1000 + " = 0 mod 7",
        "+".join(["x"] * 4000) + " = 0 mod 7",
        "x = 0 mod " + "9" * 3000,
        "x^" + "9" * 3000 + " = 0 mod 7",
    ],
    ids=range(9),
)
def test_a_statement_beyond_the_bounds_is_refused_and_not_worked_out(statement):
    with pytest.raises(StatementError, match="at most"):
        read(statement)


terms = st.tuples(st.integers(-30, 30), st.integers(0, 5))


@settings(max_examples=150, deadline=None)
@given(
    left=st.lists(st.lists(terms, min_size=1, max_size=3), min_size=1, max_size=3),
    right=st.lists(terms, min_size=1, max_size=3),
    m=st.integers(1, 500),
)
def test_products_and_both_sides_expand_as_sympy_expands_them(left, right, m):
    from sympy import Poly, Symbol

    def plain(terms):
        return " + ".join(f"({c})*x^{e}" for c, e in terms)

    shown = "".join(f"({plain(factor)})" for factor in left)
    x = Symbol("x")
    f = -Poly(sum(c * x**e for c, e in right), x)
    product = Poly(1, x)
    for factor in left:
        product *= Poly(sum(c * x**e for c, e in factor), x)
    expected = [int(c) % m for c in reversed((product + f).all_coeffs())]
    while expected and expected[-1] == 0:
        expected.pop()

    assert read(f"{shown} = {plain(right)} mod {m}").coefficients == tuple(expected)


def test_equal_congruences_written_differently_are_equal_and_others_are_not():
    assert read("x^2 = 4 mod 7*11") == read("x² − 4 ≡ 77x (mod 77)")
    assert read("x^2 = 4 mod 77") != read("x^2 = 5 mod 77")
    assert read("x^2 = 4 mod 77") != read("x^2 = 4 mod 7")
