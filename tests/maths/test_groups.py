"""Orders, the exponent, primitive roots and indices, against the definitions and libraries."""

from math import gcd
from random import Random

import pytest

from itembank.maths.groups import (
    OutOfReach,
    carmichael,
    has_primitive_root,
    index,
    is_primitive_root,
    least_primitive_root,
    order,
    primitive_roots,
    small_index,
    unit_factors,
)
from itembank.maths.primes import factorisation, phi


def units(n):
    return [a for a in range(n) if gcd(a, n) == 1]


def powers(a, n):
    """1, a, a^2, ... modulo n until 1 comes back."""
    found = [1 % n]
    while (following := found[-1] * a % n) != 1 % n:
        found.append(following)
    return found


@pytest.mark.parametrize("block", range(6))
def test_orders_and_primitive_roots_are_those_that_multiplying_finds(block):
    for n in range(1 + 50 * block, 51 + 50 * block):
        orders = {a: len(powers(a, n)) for a in units(n)}
        roots = tuple(a for a, t in orders.items() if t == len(orders))

        assert {a: order(a, n) for a in orders} == orders
        assert primitive_roots(n) == roots
        assert [a for a in range(n) if is_primitive_root(a, n)] == list(roots)
        assert least_primitive_root(n) == (roots[0] if roots else None)
        assert has_primitive_root(n) == bool(roots)
        assert carmichael(n) == max(orders.values())
        assert unit_factors(n) == factorisation(phi(n))


@pytest.mark.parametrize("n", [*range(1, 41), 64, 81, 100, 121, 210])
def test_indices_are_the_places_in_the_cycle_of_powers(n):
    for g in units(n):
        places = {a: k for k, a in reversed(list(enumerate(powers(g, n))))}
        assert [index(a, g, n) for a in range(n)] == [places.get(a) for a in range(n)]


def test_negative_and_large_representatives_are_taken_as_their_residues():
    assert order(-1, 7) == order(6, 7) == order(6 + 7 * 10**20, 7) == 2
    assert index(-2, 3 + 17, 17) == index(15, 3, 17) == 6


def test_orders_agree_with_sympy_for_large_moduli():
    from sympy import n_order, reduced_totient

    r = Random("orders")
    for _ in range(60):
        m = r.choice([r.randrange(10**6, 10**9), 3 ** r.randrange(10, 25), 2 ** r.randrange(5, 40)])
        a = r.randrange(1, m)
        if gcd(a, m) == 1:
            assert order(a, m) == n_order(a, m)
            assert carmichael(m) == reduced_totient(m)


def test_least_primitive_roots_agree_with_pari():
    from cypari import pari

    for p in (40487, 40487**2, 10**9 + 7, 10**19 + 51, 3**40, 2 * 7**30):
        g = least_primitive_root(p)
        assert int(pari(f"znorder(Mod({g}, {p}))")) == int(pari(f"eulerphi({p})"))
        assert all(
            gcd(a, p) > 1 or int(pari(f"znorder(Mod({a}, {p}))")) < phi(p) for a in range(2, g)
        )


def test_an_index_of_twenty_digits_is_found_where_the_order_is_smooth():
    p = 10**19 + 51  # p - 1 = 2 * 3 * 5^2 * 44087 * 691381 * 2187161
    for k in (0, 1, 2, 10**18 + 12345, p - 2):
        assert index(pow(2, k, p), 2, p) == k


def test_indices_modulo_a_prime_power_agree_with_pari():
    from cypari import pari

    for a, g, m in ((2, 3, 5**10), (18667, 3, 28000), (2, 3, 7**25)):
        assert index(a, g, m) == int(pari(f"znlog({a}, Mod({g}, {m}))"))


def test_hints_let_a_modulus_be_factored_that_is_too_large_otherwise():
    p, q = 10**20 + 39, 10**20 + 129
    t = order(2, p * q, (p, q))

    assert pow(2, t, p * q) == 1
    assert all(pow(2, t // r, p * q) != 1 for r, _e in factorisation(t, (p - 1, q - 1)))


def test_what_would_take_too_long_is_out_of_reach():
    p = 10**20 + 39  # a prime factor of p - 1 has 15 digits
    with pytest.raises(OutOfReach, match="needs about 22528351 steps"):
        index(5, 2, p)
    with pytest.raises(OutOfReach, match="more than 10000 primitive roots"):
        primitive_roots(10**9 + 7)


@pytest.mark.parametrize(("a", "m"), [(6, 9), (0, 4), (2, 0)])
def test_a_non_unit_has_no_order(a, m):
    with pytest.raises(ValueError):
        order(a, m)


def test_a_number_that_is_no_power_is_not_met_by_baby_and_giant_steps():
    assert small_index(3, 2, 7, 3) is None
    assert small_index(4, 2, 7, 3) == 2
