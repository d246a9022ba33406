"""What a reviewer can check by hand about a square: Euler's criterion for each odd prime.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed., 3.1.
"""

from collections.abc import Iterator
from typing import Any

from itembank.kinds.symbol.certificate import euler
from itembank.languages import Told


def euler_for_each_prime(problem: Any, _answer: object) -> Iterator[Told]:
    """Of the primes that divide the modulus and not the number."""
    for p, _k in problem.factors:
        if p > 2 and problem.number % p:
            yield from euler(problem.number, p)
