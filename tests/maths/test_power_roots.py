"""Roots of x^k = a modulo primes and their powers, held against exhaustion and definitions."""

from itertools import pairwise
from random import Random

import pytest

from itembank.maths.perfect_powers import whole_root
from itembank.maths.power_roots import (
    corrected_root,
    count_of_unit_roots,
    criterion,
    least_root,
    lifted_by,
    power_lifts,
    root_of_unity,
    tonelli_shanks,
)
from itembank.maths.primes import valuation

PRIMES = [p for p in range(3, 120) if all(p % d for d in range(2, p))]
LARGE = [10**19 + 51, 10**20 + 39, 2**127 - 1, 3 * 2**30 + 1, 5 * 2**25 + 1]
"""Primes; the last two with a high power of 2 in p - 1."""


@pytest.mark.parametrize("p", [*PRIMES[1:], 769, 881, 997])
def test_the_least_root_is_that_of_exhaustion(p: int) -> None:
    for q in (q for q in [2, *PRIMES] if (p - 1) % q == 0):
        found: dict[int, int] = {}
        for b in range(1, p):
            found.setdefault(pow(b, q, p), b)
        assert {a: least_root(q, a, p) for a in found} == found, q


@pytest.mark.parametrize("p", PRIMES)
def test_the_criterion_tells_solvable_from_not_and_counts_are_those_of_exhaustion(p: int) -> None:
    for k in range(2, 14):
        powers = [pow(x, k, p) for x in range(1, p)]
        for a in range(1, p):
            assert (criterion(k, a, p) == 1) == (a in powers)
            assert count_of_unit_roots(k, a, p, 1) == powers.count(a)


@pytest.mark.parametrize(("p", "most"), [(2, 9), (3, 5), (5, 3), (7, 3)])
def test_counts_modulo_prime_powers_are_those_of_exhaustion(p: int, most: int) -> None:
    for e in range(1, most + 1):
        q = p**e
        for k in range(1, 21):
            powers = [pow(x, k, q) for x in range(q)]
            for a in range(q):
                if a % p:
                    assert count_of_unit_roots(k, a, p, e) == powers.count(a), (k, a, p, e)


@pytest.mark.parametrize("p", [*PRIMES, *LARGE])
def test_tonelli_and_shanks_keep_what_they_promise_and_end_with_a_root(p: int) -> None:
    chance = Random(p)
    for _ in range(20):
        a = pow(chance.randrange(1, p), 2, p)
        work = tonelli_shanks(a, p)
        assert p - 1 == 2**work.s * work.q and work.q % 2
        for row in work.rounds:
            assert row.r**2 % p == a * row.t % p
            assert pow(row.t, 2**row.i, p) == 1 != pow(row.t, 2 ** (row.i - 1), p)
            assert pow(row.c, 2**row.m, p) == 1 != pow(row.c, 2 ** (row.m - 1), p)
            assert row.b == pow(row.c, 2 ** (row.m - row.i - 1), p) and 0 < row.i < row.m
        assert work.root**2 % p == a


@pytest.mark.parametrize("p", [*PRIMES[3:], *LARGE])
def test_a_guess_is_corrected_to_a_root_and_unity_has_all_its_roots(p: int) -> None:
    chance = Random(p)
    for d in (d for d in (2, 3, 4, 5, 6, 8, 9, 12) if (p - 1) % d == 0):
        b = pow(chance.randrange(1, p), d, p)
        work = corrected_root(d, b, p)
        assert pow(work.root, d, p) == b
        assert pow(work.guess, d, p) == b * work.w % p and pow(work.w, work.D, p) == 1
        assert work.w * pow(work.z, work.j, p) % p == 1 and work.j % d == 0
        h, z = root_of_unity(d, p)
        assert z == pow(h, (p - 1) // d, p)
        assert len({pow(z, i, p) for i in range(d)}) == d and pow(z, d, p) == 1


def test_lifts_lead_to_the_classes_that_exhaustion_finds() -> None:
    chance = Random("lifts")
    for _ in range(300):
        p = chance.choice([2, 3, 5, 7])
        k, e = chance.randrange(2, 13), chance.randrange(3, {2: 11, 3: 7, 5: 5, 7: 4}[p])
        s = valuation(k, p)
        start = 2 if p == 2 and s else 1
        x = chance.randrange(1, p**e)
        if x % p == 0 or e <= s + start:
            continue
        a = pow(x, k, p**e)
        r = x % p**start
        steps = power_lifts(k, a, p, e, r, start)
        d = p ** (e - s)
        lifted = lifted_by(steps, r, p)
        roots = [y for y in range(p**e) if pow(y, k, p**e) == a and y % p**start == r]
        assert roots == list(range(lifted, p**e, d)), (k, a, p, e)
        for step in steps:
            assert (step.quotient + step.slope * step.t) % p == 0


@pytest.mark.parametrize(("a", "p", "e", "r"), [(17, 2, 1500, 1), (3**800 + 7, 3, 600, 1)])
def test_each_lift_of_a_square_root_says_what_multiplying_it_out_says(a, p, e, r) -> None:
    """Squares are carried from one lift to the next; here each is found anew."""
    s = valuation(2, p)
    steps = power_lifts(2, a, p, e, r, 1 + s)

    for step, then in pairwise(steps):
        q = p ** (step.j + s)
        assert step.power == pow(step.r, 2, q * p)
        assert (step.power - a - q * step.quotient) % (q * p) == 0
        assert then.r == step.r + p**step.j * step.t
    assert len(steps) > 500
    assert (lifted_by(steps, r, p) ** 2 - a) % p**e == 0


def test_a_square_is_found_out_at_any_size() -> None:
    for n in (10**400 + 3, 3**500, 2**1000 - 1):
        assert whole_root(2, n * n) == n
        assert whole_root(2, n * n - 1) is None and whole_root(2, n * n + 1) is None


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: corrected_root(5, 1, 7), "5 does not divide 7 - 1"),
        (lambda: root_of_unity(4, 7), "4 does not divide 7 - 1"),
        (lambda: power_lifts(2, 14, 5, 3, 1, 1), "1^2 is not congruent to 14 modulo 5^1"),
    ],
)
def test_a_broken_precondition_is_named(call, message: str) -> None:
    with pytest.raises(ValueError) as caught:
        call()

    assert str(caught.value) == message
