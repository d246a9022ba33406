"""itembank.maths.polynomials against term-by-term evaluation and sympy."""

from random import Random

import pytest
from sympy import GF, ZZ
from sympy import Poly as SympyPoly
from sympy.abc import x as X

from itembank.maths import polynomials as P

LARGE_PRIME = 10**30 + 57


def polynomial(chance: Random, degree: int, size: int) -> P.Poly:
    """Any coefficients, so that the leading one may be 0 or share a factor with a modulus."""
    return tuple(chance.randint(-size, size) for _ in range(degree + 1))


def by_terms(f: P.Poly, x: int) -> int:
    return sum(c * x**i for i, c in enumerate(f))


def in_sympy(f: P.Poly, p: int) -> SympyPoly:
    return SympyPoly(list(reversed(f)) or [0], X, domain=GF(p, symmetric=False))


def from_sympy(f: SympyPoly) -> P.Poly:
    return P.trimmed(tuple(int(c) for c in reversed(f.all_coeffs())))


@pytest.fixture
def chance() -> Random:
    return Random("polynomials")


@pytest.mark.parametrize("f", [(), (0,), (7,), (0, 0, 0), (5, 9, 1), (1, 0, 2, 0, 0), (-6, 0, -9)])
def test_trimmed_keeps_the_values_and_drops_leading_zeros(f: P.Poly) -> None:
    trimmed = P.trimmed(f)

    assert trimmed == () or trimmed[-1] != 0
    assert [by_terms(trimmed, x) for x in range(-3, 4)] == [by_terms(f, x) for x in range(-3, 4)]


def test_values_are_the_sums_of_the_terms(chance: Random) -> None:
    for _ in range(300):
        f, x, m = polynomial(chance, chance.randrange(7), 50), chance.randint(-99, 99), 117

        assert P.value(f, x) == by_terms(f, x)
        assert P.value_mod(f, x, m) == by_terms(f, x) % m


def test_the_zero_polynomial_has_value_zero() -> None:
    assert (P.value((), 5), P.value_mod((), 5, 7), P.value_mod((9,), 5, 1)) == (0, 0, 0)


def test_a_shift_has_the_values_of_f_along_the_class(chance: Random) -> None:
    for _ in range(300):
        f = polynomial(chance, chance.randrange(7), 50)
        r, d = chance.randint(-9, 9), chance.choice([1, 2, 3, 9, 125])
        g = P.shifted(f, r, d)

        assert [by_terms(g, y) for y in range(8)] == [by_terms(f, r + d * y) for y in range(8)]
        assert g == P.trimmed(g)


def test_sums_products_and_multiples_agree_with_their_values(chance: Random) -> None:
    for _ in range(200):
        f, g = (polynomial(chance, chance.randrange(5), 9) for _ in range(2))
        for x in range(-5, 6):
            of_f, of_g = by_terms(f, x), by_terms(g, x)
            assert by_terms(P.sum_of(f, g), x) == of_f + of_g
            assert by_terms(P.product(f, g), x) == of_f * of_g
            assert by_terms(P.scaled(f, -3), x) == -3 * of_f


def test_operations_that_cancel_leave_no_zero_coefficient_last() -> None:
    assert P.sum_of((1, 2, 3), (0, 0, -3)) == (1, 2)
    assert P.sum_of((1, 2), (-1, -2)) == ()
    assert P.scaled((1, 2), 0) == ()
    assert P.product((1, 2), ()) == ()
    assert P.reduced((4, 6, 9), 3) == (1,)
    assert P.shifted((0, 0, 0), 2, 3) == ()


def test_the_derivative_is_sympys(chance: Random) -> None:
    for _ in range(50):
        f = polynomial(chance, 6, 20)
        theirs = SympyPoly(list(reversed(f)), X, domain=ZZ).diff(X)

        assert P.trimmed(P.derivative(f)) == from_sympy(theirs)
    assert P.derivative((5,)) == P.derivative(()) == ()


def test_dividing_by_a_linear_factor_multiplies_back(chance: Random) -> None:
    for _ in range(200):
        f, m = polynomial(chance, chance.randrange(6), 60), chance.choice([2, 13, 36, 10**12])
        r = chance.randrange(m)
        q, rest = P.divided_by_linear(f, r, m)

        assert P.reduced(P.sum_of(P.product(q, (-r, 1)), (rest,)), m) == P.reduced(f, m)
        assert rest == by_terms(f, r) % m
        assert all(0 <= c < m for c in q)


@pytest.mark.parametrize(
    ("f", "p", "e"), [((18, 9, 27), 3, 2), ((1,), 2, 0), ((0, 0, 40), 2, 3), ((0, 5**70), 5, 70)]
)
def test_the_content_valuation_is_the_least_of_the_coefficients(f: P.Poly, p: int, e: int) -> None:
    assert P.content_valuation(f, p) == e


@pytest.mark.parametrize("p", [2, 3, 7, 101, LARGE_PRIME])
def test_division_gcd_and_powers_modulo_p_are_sympys(p: int, chance: Random) -> None:
    for _ in range(40):
        f, g, common = (polynomial(chance, chance.randrange(1, 5), p) for _ in range(3))
        f, g = P.product(f, common), P.product(g, common)
        if not P.reduced(g, p):
            continue
        e = chance.randrange(200)
        quotient, rest = in_sympy(f, p).div(in_sympy(g, p))

        assert P.division_mod(f, g, p) == (from_sympy(quotient), from_sympy(rest))
        assert P.gcd_mod(f, g, p) == from_sympy(in_sympy(f, p).gcd(in_sympy(g, p)))
        assert P.power_mod(f, e, g, p) == from_sympy((in_sympy(f, p) ** e).rem(in_sympy(g, p)))


def test_the_gcd_with_zero_is_the_other_made_monic() -> None:
    assert P.gcd_mod((2, 4), (), 7) == P.gcd_mod((), (2, 4), 7) == (4, 1)
    assert P.gcd_mod((7,), (14, 7), 7) == ()


def test_fermat_holds_for_a_power_with_a_large_exponent() -> None:
    # x^p = x on a product of distinct linear factors
    f = P.product(P.product((-5, 1), (-6, 1)), (-7, 1))

    assert P.power_mod((0, 1), LARGE_PRIME, f, LARGE_PRIME) == (0, 1)


@pytest.mark.parametrize(
    "call",
    [
        lambda: P.content_valuation((), 3),
        lambda: P.content_valuation((0, 0), 3),
        lambda: P.content_valuation((2,), 1),
        lambda: P.division_mod((1, 1), (7, 14), 7),
        lambda: P.power_mod((1, 1), 3, (7,), 7),
        lambda: P.power_mod((1, 1), -1, (1, 1), 7),
    ],
)
def test_a_broken_precondition_is_a_value_error(call) -> None:
    with pytest.raises(ValueError, match=r"zero|needs"):
        call()
