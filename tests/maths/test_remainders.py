"""itembank.maths.remainders against exhaustion."""

from itertools import pairwise, product
from math import gcd, lcm, prod
from random import Random

import pytest

from itembank.maths.remainders import (
    combine,
    combine_general,
    crt_weights,
    euclid_steps,
    inverse,
    merges,
)

UNITS = [(a, m) for m in range(1, 40) for a in range(-m, 2 * m)]


def test_the_inverse_is_the_one_found_by_trying() -> None:
    for a, m in UNITS:
        tried = [x for x in range(m) if (a * x - 1) % m == 0]
        if tried:
            assert [inverse(a, m)] == tried
        else:
            with pytest.raises(ValueError, match=f"{a} has no inverse modulo {m}"):
                inverse(a, m)


@pytest.mark.parametrize("m", [0, -7])
def test_a_modulus_below_one_is_refused(m: int) -> None:
    for call in (inverse, euclid_steps):
        with pytest.raises(ValueError, match="at least 1"):
            call(3, m)
    for of_several in (combine, combine_general, merges):
        with pytest.raises(ValueError, match="at least 1"):
            of_several([1, 2], [3, m])


# ------------------------------------------------------------ Euclid


def test_every_euclid_row_says_the_truth_and_hands_on_to_the_next() -> None:
    for a, m in UNITS:
        rows = euclid_steps(a, m)
        for row in rows:
            assert row.dividend == row.quotient * row.divisor + row.remainder
            assert 0 <= row.remainder < row.divisor
            assert row.remainder == row.u * m + row.v * (a % m)
        for row, below in pairwise(rows):
            assert (below.dividend, below.divisor) == (row.divisor, row.remainder)


def test_the_euclid_table_starts_at_m_and_ends_at_the_gcd() -> None:
    for a, m in UNITS:
        rows = euclid_steps(a, m)
        if a % m == 0:
            assert rows == ()
        else:
            assert (rows[0].dividend, rows[0].divisor) == (m, a % m)
            assert (rows[-1].remainder, rows[-1].divisor) == (0, gcd(a, m))
            if gcd(a, m) == 1 and len(rows) > 1:
                assert rows[-2].v % m == inverse(a, m)


# ------------------------------------------------------------ coprime moduli

COPRIME = [[5], [9, 13], [13, 9], [1, 7], [4, 9, 25], [8, 3, 5, 7], [1, 1, 2]]


@pytest.mark.parametrize("moduli", COPRIME)
def test_each_weight_is_one_at_its_modulus_and_zero_at_the_others(moduli: list[int]) -> None:
    weights = crt_weights(moduli)

    assert [w.modulus for w in weights] == moduli
    for i, w in enumerate(weights):
        assert [w.e % m for m in moduli] == [int(i == n) % m for n, m in enumerate(moduli)]
        assert w.others == prod(moduli) // w.modulus
        assert w.residue == w.others % w.modulus
        assert w.residue * w.inverse % w.modulus == 1 % w.modulus
        assert 0 <= w.inverse < w.modulus
        assert w.e == w.others * w.inverse < prod(moduli)


@pytest.mark.parametrize("moduli", COPRIME)
def test_combining_undoes_taking_remainders(moduli: list[int]) -> None:
    for x in range(prod(moduli)):
        assert combine([x % m for m in moduli], moduli) == x
        assert combine([x - m for m in moduli], moduli) == x


@pytest.mark.parametrize("moduli", [[4, 6], [3, 5, 9], [7, 7]])
def test_moduli_with_a_common_factor_have_no_weights(moduli: list[int]) -> None:
    for call in (crt_weights, lambda m: combine([0] * len(m), m)):
        with pytest.raises(ValueError, match="not pairwise coprime"):
            call(moduli)


def test_large_moduli_combine() -> None:
    moduli = [2**127 - 1, 2**89 - 1, 2**107 - 1]  # Mersenne primes
    x = 3**200 % prod(moduli)

    assert combine([x % m for m in moduli], moduli) == x


def test_each_congruence_needs_one_residue() -> None:
    for call in (combine, combine_general, merges):
        with pytest.raises(ValueError, match=r"shorter|longer"):
            call([1, 2], [3])


# ------------------------------------------------------------ any moduli


@pytest.mark.parametrize("moduli", [[4, 6], [6, 4], [3, 9], [8, 12], [6, 10, 15], [1, 4, 2], [5]])
def test_general_systems_have_exactly_the_solutions_found_by_trying(moduli: list[int]) -> None:
    for residues in product(*(range(m) for m in moduli)):
        tried = [
            x
            for x in range(lcm(*moduli))
            if all((x - a) % m == 0 for a, m in zip(residues, moduli, strict=True))
        ]
        together = combine_general(residues, moduli)

        assert together == ((tried[0], lcm(*moduli)) if tried else None)


def test_no_congruences_leave_every_integer() -> None:
    assert combine_general([], []) == (0, 1)
    assert (combine([], []), merges([], []), crt_weights([])) == (0, (), ())


def test_every_merge_shows_a_true_step() -> None:
    chance = Random("merges")
    contradictions = 0
    for _ in range(500):
        moduli = [chance.randrange(1, 30) for _ in range(chance.randrange(1, 5))]
        residues = [chance.randint(-50, 50) for _ in moduli]
        steps = merges(residues, moduli)
        before = (residues[0] % moduli[0], moduli[0])
        for step, a, m in zip(steps, residues[1:], moduli[1:], strict=False):
            assert ((step.r, step.d), step.a, step.m) == (before, a % m, m)
            assert (step.g, step.gap) == (gcd(step.d, m), (a - step.r) % m)
            tried = [t for t in range(m // step.g) if (step.d * t - step.gap) % m == 0]
            assert tried == ([] if step.t is None else [step.t])
            if step.t is None:
                assert step.merged is None and step is steps[-1]
                contradictions += 1
            else:
                assert step.merged == (step.r + step.d * step.t, lcm(step.d, m))
                before = step.merged
        if all(step.merged for step in steps):
            assert len(steps) == len(moduli) - 1
    assert 100 < contradictions < 400
