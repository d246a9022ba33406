"""itembank.maths.prime_roots against exhaustion, planted roots, sympy and FLINT."""

import subprocess
import sys
from math import prod
from random import Random

import pytest
import sympy

from itembank.maths.polynomials import Poly, product, value
from itembank.maths.prime_roots import (
    FLINT_FROM,
    TRIAL_BELOW,
    is_square_mod_prime,
    jacobi,
    least_non_residue,
    roots_by_flint,
    roots_by_splitting,
    roots_by_trial,
    roots_mod_prime,
    square_root_mod_prime,
)

SMALL = list(sympy.primerange(2, 60))
# 1, 3, 5, 7 modulo 8, and one with p - 1 divisible by 2^57 (Tonelli-Shanks' long case)
LARGE = [10**10 + 19, 10**18 + 9, 10**30 + 57, 2**61 - 1, 2**127 - 1, 29 * 2**57 + 1]
LARGE += [2**63 - 25, 2**63 + 29, 2**64 - 59, 2**64 + 13]  # about FLINT's two kinds of field


def with_roots(roots: list[int], irreducible: Poly = (1,)) -> Poly:
    f = irreducible
    for r in roots:
        f = product(f, (-r, 1))
    return f


def random_polynomial(chance: Random, p: int) -> Poly:
    """Half of them with several roots, some of these twice; never zero modulo p."""
    degree = chance.randrange(0, 7)
    if chance.random() < 0.5:
        return with_roots([chance.randrange(p) for _ in range(degree)], (chance.randrange(1, p),))
    return (*(chance.randint(-p, p) for _ in range(degree)), 1, chance.choice([0, p]))


# ------------------------------------------------------------ roots


def test_the_primes_used_here_are_prime() -> None:
    assert all(sympy.isprime(p) for p in LARGE)
    assert {p % 8 for p in LARGE} == {1, 3, 5, 7}


@pytest.mark.parametrize("p", [*SMALL, 293, 307, 1009])
def test_roots_modulo_a_small_prime_are_those_of_exhaustion(p: int) -> None:
    chance = Random(f"roots {p}")
    for _ in range(60):
        f = random_polynomial(chance, p)
        tried = tuple(x for x in range(p) if value(f, x) % p == 0)

        assert roots_mod_prime(f, p) == tried
        assert roots_by_trial(f, p) == tried
        if p > 2:
            assert roots_by_splitting(f, p) == tried


@pytest.mark.parametrize("p", LARGE)
def test_planted_roots_are_found_and_no_others(p: int) -> None:
    chance = Random(f"planted {p}")
    z = least_non_residue(p)
    for degree in range(7):
        roots = [chance.randrange(p) for _ in range(degree)]
        f = with_roots(roots + roots[:2], (-z, 0, 1))  # x^2 - z has no root
        expected = tuple(sorted(set(roots)))

        assert roots_mod_prime(f, p) == expected
        assert roots_by_splitting(f, p) == expected


@pytest.mark.parametrize("p", LARGE)
def test_both_ways_agree_with_flint_on_any_polynomial(p: int) -> None:
    pytest.importorskip("flint")
    chance = Random(f"flint {p}")
    for degree in (1, 2, 3, 4, 5, 8):
        for _ in range(6):
            f = (*(chance.randrange(p) for _ in range(degree)), chance.randrange(1, p))

            assert roots_by_splitting(f, p) == roots_by_flint(f, p) == roots_mod_prime(f, p)


def test_consecutive_and_opposite_roots_are_split_apart() -> None:
    p = 10**10 + 19
    for roots in ([0, 1, 2, 3, 4, 5, 6, 7], [p - 3, p - 2, p - 1, 0], [1, p - 1, 5, p - 5]):
        assert roots_by_splitting(with_roots(roots), p) == tuple(sorted(roots))


def test_every_residue_can_be_a_root() -> None:
    for p in (2, 3, 5, 7):
        x_to_the_p_less_x = (0, -1, *[0] * (p - 2), 1)

        assert roots_mod_prime(x_to_the_p_less_x, p) == tuple(range(p))


@pytest.mark.parametrize("p", [2, 7, 1009, 10**10 + 19])
def test_constants_have_no_roots_and_zero_is_refused(p: int) -> None:
    assert roots_mod_prime((1,), p) == roots_mod_prime((1, p, -p), p) == ()
    for zero in ((), (0,), (p, -p, 3 * p)):
        with pytest.raises(ValueError, match=f"zero modulo {p}"):
            roots_mod_prime(zero, p)


def test_large_primes_are_served_where_flint_is_missing() -> None:
    source = f"""
import sys
sys.modules["flint"] = None  # its import now fails
from itembank.maths.prime_roots import roots_mod_prime
assert roots_mod_prime({with_roots([3, 14, 159, 2653])}, {2**127 - 1}) == (3, 14, 159, 2653)
"""
    done = subprocess.run([sys.executable, "-c", source], capture_output=True, text=True)

    assert done.returncode == 0, done.stderr


def test_the_tables_above_reach_every_way_of_finding_roots() -> None:
    assert max(SMALL) < TRIAL_BELOW < 1009 < FLINT_FROM < min(LARGE)


# ------------------------------------------------------------ squares


@pytest.mark.parametrize("p", [*SMALL, 257, 641, 65537])
def test_square_roots_modulo_a_small_prime_are_those_of_exhaustion(p: int) -> None:
    least: dict[int, int] = {}
    for x in range(p):
        least.setdefault(x * x % p, x)
    for a in range(-min(p, 700), min(p, 700)):
        assert square_root_mod_prime(a, p) == least.get(a % p)
        assert is_square_mod_prime(a, p) == (a % p in least)


@pytest.mark.parametrize("p", LARGE)
def test_the_square_of_a_large_root_gives_the_lesser_of_the_pair(p: int) -> None:
    chance = Random(f"squares {p}")
    z = least_non_residue(p)
    for _ in range(40):
        x = chance.randrange(1, p)

        assert square_root_mod_prime(x * x, p) == min(x, p - x)
        assert is_square_mod_prime(x * x, p)
        assert square_root_mod_prime(z * x * x, p) is None
        assert not is_square_mod_prime(z * x * x, p)


def test_the_least_non_residue_is_the_first_that_fails_to_be_a_square() -> None:
    for p in SMALL[1:]:
        squares = {x * x % p for x in range(p)}

        assert least_non_residue(p) == min(set(range(p)) - squares)
    with pytest.raises(ValueError, match="modulo 2"):
        least_non_residue(2)


def legendre(a: int, p: int) -> int:
    """By counting: one less than the number of x with x^2 = a (mod p)."""
    return sum((x * x - a) % p == 0 for x in range(p)) - 1


def test_the_jacobi_symbol_is_the_product_of_counted_legendre_symbols() -> None:
    for n in range(1, 250, 2):
        primes = [p for p, e in sympy.factorint(n).items() for _ in range(e)]
        for a in range(-8, 40):
            assert jacobi(a, n) == prod(legendre(a, p) for p in primes)


def test_the_jacobi_symbol_of_large_numbers_is_sympys() -> None:
    chance = Random("jacobi")
    for _ in range(200):
        a, n = chance.getrandbits(200), chance.getrandbits(200) | 1

        assert jacobi(a, n) == sympy.jacobi_symbol(a, n)


@pytest.mark.parametrize("n", [0, 4, -3])
def test_the_jacobi_symbol_needs_an_odd_positive_modulus(n: int) -> None:
    with pytest.raises(ValueError, match="odd n >= 1"):
        jacobi(1, n)


# published: Stein, Elementary Number Theory: Primes, Congruences, and Secrets, section 4.5
@pytest.mark.parametrize(("a", "p", "roots"), [(69, 389, (153, 236)), (3, 13, (4, 9))])
def test_published_square_roots(a: int, p: int, roots: tuple[int, int]) -> None:
    assert roots_mod_prime((-a, 0, 1), p) == roots
    assert square_root_mod_prime(a, p) == roots[0]
