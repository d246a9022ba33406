"""Counting the solutions of a congruence: modulo each prime power, then the product.

Notation as in `steps`.  Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory
of Numbers, 5th ed., sections 2.2 (linear), 2.3 (the product) and 2.8 (powers modulo prime
powers).
"""

from math import gcd, prod

from itembank.kinds.base import Solution, Step
from itembank.kinds.linear.kind import LinearCongruence
from itembank.kinds.one_unknown import OneUnknown
from itembank.kinds.polynomial.kind import PolynomialCongruence
from itembank.kinds.polynomial.solve import simple_lifts_cut, solve_prime_power
from itembank.kinds.polynomial.steps import LocalAnswer
from itembank.kinds.power_root.kind import PowerRoot
from itembank.kinds.solution_count.steps import (
    CountDivided,
    CountLinear,
    CountOdd,
    CountPowers,
    CountRoots,
    CountUnits,
    CountZero,
    LocalCount,
    MultiplyCounts,
    Split,
)
from itembank.maths.polynomials import reduced
from itembank.maths.power_roots import count_of_unit_roots
from itembank.maths.prime_roots import refuse_long_splitting
from itembank.maths.primes import Factors, factorisation, valuation
from itembank.values.answer import Part, Value


def factors_of(congruence: OneUnknown) -> Factors:
    """The factorisation of the modulus.  Raises TooMuchWork."""
    return factorisation(congruence.modulus, congruence.known_factors)


def degree_of(congruence: OneUnknown) -> int:
    if isinstance(congruence, PowerRoot):
        return congruence.exponent
    return max(len(reduced(congruence.f, congruence.modulus)) - 1, 0)


def solve(congruence: OneUnknown) -> Solution[Value]:
    """How many residues solve the congruence, with the steps.  Raises TooMuchWork."""
    m = congruence.modulus
    if isinstance(congruence, LinearCongruence):
        a, b = congruence.a, congruence.b
        step = CountLinear(a, b, m, gcd(a, m))
        return Solution(Value(step.count), (step,))
    factors = factors_of(congruence)
    if not isinstance(congruence, PowerRoot):
        refuse_long_splitting(degree_of(congruence), (p for p, _e in factors))
    steps: list[Step] = [Split(m, factors)]
    counts: list[int] = []
    for p, e in factors:
        factored = any(isinstance(s, CountRoots) and s.shows_the_factors for s in steps)
        local = local_count(congruence, p, e, factored)
        steps.append(local)
        counts.append(local.count)
        if not local.count:
            break
    total = prod(counts)
    steps.append(MultiplyCounts(m, factors, tuple(counts), total))
    return Solution(Value(total), tuple(steps))


def local_count(
    congruence: PolynomialCongruence | PowerRoot, p: int, e: int, factored: bool = False
) -> LocalCount:
    if isinstance(congruence, PowerRoot):
        return _count_powers(congruence.exponent, congruence.power % p**e, p, e)
    found, classes = solve_prime_power(congruence.f, p, e, factored)
    steps = tuple(s for s in simple_lifts_cut(found, True) if not isinstance(s, LocalAnswer))
    return CountRoots(p, e, steps, Part(p**e, classes))


def _count_powers(k: int, a: int, p: int, e: int) -> CountPowers:
    """The step that counts the solutions of x^k = a modulo p^e, a a least residue."""
    if a == 0:
        return CountZero(p, e, k, a, -(-e // k))
    v = valuation(a, p)
    if v:
        if v % k:
            return CountDivided(p, e, k, a, v, None, None, None)
        b = a // p**v
        return CountDivided(p, e, k, a, v, v // k, b, _count_powers(k, b, p, e - v))
    if p == 2:
        s = valuation(k, 2)
        return CountOdd(p, e, k, a, s, min(e, s + 2), count_of_unit_roots(k, a, p, e))
    phi = p ** (e - 1) * (p - 1)
    d = gcd(k, phi)
    return CountUnits(p, e, k, a, phi, d, pow(a, phi // d, p**e))
