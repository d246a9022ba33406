"""phi(n) and lambda(n) from the factorisation of n.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed.,
Theorems 2.15 and 2.19 (phi); Carmichael, Note on a new number theory function, Bull. Amer.
Math. Soc. 16 (1910) (lambda).
"""

from math import lcm, prod

from itembank.kinds.base import Solution, Step
from itembank.kinds.totient.steps import ByFormula, Combine, Exponent, FactorNumber, LocalValues
from itembank.maths.primes import Factors, phi_of
from itembank.values.answer import Value

_CHECKED = 10**12
"""Largest number for which phi is worked out once more by the product formula."""


def phi_of_prime_power(p: int, k: int) -> int:
    return int(p ** (k - 1) * (p - 1))


def lambda_of_prime_power(p: int, k: int) -> int:
    """The least e with a^e = 1 (mod p^k) for every a coprime to p."""
    return int(2 ** (k - 2)) if p == 2 and k > 2 else phi_of_prime_power(p, k)


def solved_phi(n: int, factors: Factors) -> Solution[Value]:
    values = tuple((p, k, phi_of_prime_power(p, k)) for p, k in factors)
    result = prod(v for _p, _k, v in values)
    steps: list[Step] = [FactorNumber(n, factors)]
    if factors:
        steps.append(LocalValues("phi", values))
    if len(factors) > 1:
        steps.append(Combine("phi", n, tuple(v for _p, _k, v in values), result))
        if n <= _CHECKED:
            steps.append(_by_formula(n, factors))
    return Solution(Value(result), tuple(steps))


def _by_formula(n: int, factors: Factors) -> ByFormula:
    rows, left = [], n
    for p, _k in factors:
        left = left // p * (p - 1)
        rows.append((p, left))
    return ByFormula(n, tuple(rows))


def solved_lambda(n: int, factors: Factors) -> Solution[Value]:
    values = tuple((p, k, lambda_of_prime_power(p, k)) for p, k in factors)
    result = lcm(*(v for _p, _k, v in values))
    steps: list[Step] = [FactorNumber(n, factors)]
    if factors:
        steps.append(LocalValues("lambda", values))
    if len(factors) > 1:
        steps.append(Combine("lambda", n, tuple(v for _p, _k, v in values), result))
    local = tuple(phi_of_prime_power(p, k) for p, k in factors)
    steps.append(Exponent(n, result, phi_of(factors), local))
    return Solution(Value(result), tuple(steps))
