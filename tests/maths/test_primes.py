"""itembank.maths.primes against a sieve, sympy and published pseudoprimes."""

import subprocess
import sys
from math import gcd, prod
from random import Random

import pytest
import sympy

from itembank.maths.primes import Unfactored, divisors, factorisation, is_prime, phi, valuation


def prime(chance: Random, digits: int) -> int:
    return int(sympy.nextprime(chance.randrange(10 ** (digits - 1), 9 * 10 ** (digits - 1))))


def hard(digits: int) -> tuple[int, int]:
    """Two primes of that many digits, for a product that only its primes can factor."""
    chance = Random(f"hard {digits}")
    return prime(chance, digits), prime(chance, digits)


# ------------------------------------------------------------ primality


def test_primes_below_fifty_thousand_are_those_of_the_sieve() -> None:
    limit = 50_000
    sieve = bytearray([1]) * limit
    sieve[:2] = b"\0\0"
    for n in range(2, limit):
        if sieve[n]:
            sieve[n * n :: n] = bytes(len(range(n * n, limit, n)))

    assert [n for n in range(-10, limit) if is_prime(n)] == [n for n in range(limit) if sieve[n]]


# the least composites that fool the first b prime bases (OEIS A014233; Sorenson & Webster 2017)
@pytest.mark.parametrize(
    "n",
    [
        2047,
        1373653,
        25326001,
        3215031751,
        2152302898747,
        3474749660383,
        341550071728321,
        3825123056546413051,
        318665857834031151167461,
        3317044064679887385961981,
    ],
)
def test_the_least_strong_pseudoprimes_are_not_taken_for_primes(n: int) -> None:
    assert not is_prime(n)


# Carmichael numbers, from memory; that they pass Fermat's test is checked
@pytest.mark.parametrize("n", [561, 1105, 29341, 1590231231043178376951698401])
def test_carmichael_numbers_are_not_taken_for_primes(n: int) -> None:
    assert all(pow(a, n - 1, n) == 1 for a in (2, 5, 23, 29) if gcd(a, n) == 1)
    assert not is_prime(n)


@pytest.mark.parametrize("digits", [4, 7, 10, 13, 16, 19, 24, 25, 26, 40, 100])
def test_large_numbers_are_prime_when_sympy_says_so(digits: int) -> None:
    chance = Random(f"primality {digits}")
    start = chance.randrange(10 ** (digits - 1), 10**digits - 300)
    run = range(start, start + 300)

    assert [n for n in run if is_prime(n)] == list(sympy.primerange(start, start + 300))
    assert is_prime(int(sympy.nextprime(start)))


# ------------------------------------------------------------ factorisation


def test_every_small_number_is_the_product_of_its_prime_powers() -> None:
    for n in range(1, 20_000):
        factors = factorisation(n)

        assert prod(p**e for p, e in factors) == n
        assert all(is_prime(p) and e >= 1 for p, e in factors)
        assert list(factors) == sorted(dict(factors).items())


@pytest.mark.parametrize("bits", [20, 30, 40, 50, 60, 70])
def test_factorisations_are_sympys(bits: int) -> None:
    chance = Random(f"factorisation {bits}")
    for _ in range(20):
        n = chance.getrandbits(bits) + 1

        assert factorisation(n) == tuple(sorted(sympy.factorint(n).items()))


@pytest.mark.parametrize("digits", [6, 8, 10])
def test_products_of_three_primes_are_taken_apart(digits: int) -> None:
    chance = Random(f"three {digits}")
    for _ in range(5):
        primes = sorted(prime(chance, digits) for _ in range(3))

        assert factorisation(prod(primes)) == tuple((p, 1) for p in primes)


@pytest.mark.parametrize("digits", [13, 15])
def test_a_composite_of_at_most_thirty_digits_is_always_factored(digits: int) -> None:
    p, q = sorted(hard(digits))

    assert p * q < 10**30
    assert factorisation(6 * p * q) == ((2, 1), (3, 1), (p, 1), (q, 1))


@pytest.mark.parametrize(
    "factors",
    [
        {1009: 2},
        {1009: 1, 1013: 1},  # just beyond trial division
        {1009: 3, 10007: 3},
        {10007: 2, 10009: 2, 10037: 2},
        {2: 5, 3: 40, 10000000019: 60},
        {1000003: 60, 10000000033: 1},
        {10**40 + 121: 2},
        {10**40 + 121: 35},
    ],
)
def test_repeated_primes_keep_their_exponents(factors: dict[int, int]) -> None:
    assert all(sympy.isprime(p) for p in factors)
    assert factorisation(prod(p**e for p, e in factors.items())) == tuple(sorted(factors.items()))


def test_a_hard_number_is_refused_by_the_name_of_its_composite_divisor() -> None:
    p, q = hard(20)

    with pytest.raises(Unfactored) as refused:
        factorisation(12 * p * q)

    assert isinstance(refused.value, ValueError)
    assert (refused.value.n, refused.value.cofactor) == (12 * p * q, p * q)
    assert str(p * q) in str(refused.value)


def test_a_refusal_of_a_number_too_long_to_print_is_still_a_sentence() -> None:
    p, q = 2**9689 - 1, 2**9941 - 1  # Mersenne primes; p*q has 5910 digits

    with pytest.raises(Unfactored, match="the composite number of 19630 bits has no"):
        raise Unfactored(2 * p * q, p * q)


@pytest.mark.parametrize(
    "hints",
    [
        lambda p, q: [p],
        lambda p, q: [p * p * 35],
        lambda p, q: [-q],
        lambda p, q: [0, 1, 10, p * q, p * q * q],
        lambda p, q: [p * 1009 * (p + 2)],
        lambda p, q: iter([7, q]),
    ],
)
def test_hints_open_a_hard_number_and_are_never_believed(hints) -> None:
    p, q = sorted(hard(20))

    assert factorisation(6 * p * q, hints(p, q)) == ((2, 1), (3, 1), (p, 1), (q, 1))


def test_hints_open_powers_of_large_primes() -> None:
    p, q = sorted(hard(20))
    n = p**7 * q**4
    for hints in ([p, q], [q], [p**5 * q], [n // p, n]):
        assert factorisation(n, hints) == ((p, 7), (q, 4))

    p, q = 10**10 + 19, 10**10 + 33
    assert factorisation(p**60 * q, [p]) == ((p, 60), (q, 1))


@pytest.mark.parametrize("hints", [[4], [0], [6, 10, -15], [1009 * 2, 1009 * 1013**2, 37]])
def test_false_hints_change_nothing(hints: list[int]) -> None:
    for n in (*range(1, 300), *(c * 1009**2 * 1013 for c in range(1, 30)), 1013**3, 1019):
        assert factorisation(n, hints) == factorisation(n)


# ------------------------------------------------------------ functions of the factorisation


def test_divisors_and_phi_are_those_found_by_counting() -> None:
    for n in range(1, 400):
        assert divisors(n) == tuple(d for d in range(1, n + 1) if n % d == 0)
        assert phi(n) == sum(gcd(a, n) == 1 for a in range(1, n + 1))


def test_divisors_and_phi_pass_the_hints_on() -> None:
    p, q = sorted(hard(20))

    assert divisors(p * q, [p]) == (1, p, q, p * q)
    assert phi(p * q, [p]) == (p - 1) * (q - 1)


@pytest.mark.parametrize(("n", "p", "e"), [(54, 3, 3), (-8, 2, 3), (7, 3, 0), (36, 6, 2)])
def test_the_valuation_counts_divisions(n: int, p: int, e: int) -> None:
    assert valuation(n, p) == e


@pytest.mark.parametrize(
    "call", [lambda: factorisation(0), lambda: factorisation(-6), lambda: phi(0)]
)
def test_only_positive_integers_have_a_factorisation(call) -> None:
    with pytest.raises(ValueError, match="n >= 1"):
        call()


@pytest.mark.parametrize("call", [lambda: valuation(0, 3), lambda: valuation(9, 1)])
def test_the_valuation_of_zero_or_at_one_is_refused(call) -> None:
    with pytest.raises(ValueError, match=r"every power|p >= 2"):
        call()


# ------------------------------------------------------------ what is loaded


def test_small_and_middling_inputs_load_neither_sympy_nor_flint() -> None:
    source = """
import sys
from itembank.maths import lifting, polynomials, prime_roots, primes, remainders
assert primes.factorisation(117) == ((3, 2), (13, 1))
assert primes.factorisation(4280387021 * 2095513151)
assert primes.is_prime(2**61 - 1) and not primes.is_prime((2**61 - 1) * (2**89 - 1))
assert primes.factorisation(1009 * 1013) == ((1009, 1), (1013, 1))
assert lifting.roots_mod_prime_power((5, 9, 1), 3, 2) == ((2, 9), (7, 9))
assert len(prime_roots.roots_mod_prime((-6, 11, -6, 1), 1009)) == 3
assert remainders.combine([7, 10], [9, 13]) == 88
loaded = {"sympy", "flint"} & set(sys.modules)
assert not loaded, loaded
"""
    done = subprocess.run([sys.executable, "-c", source], capture_output=True, text=True)

    assert done.returncode == 0, done.stderr
