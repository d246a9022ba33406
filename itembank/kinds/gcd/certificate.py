"""What a reviewer can check by hand: the quotients, whose only common divisors are 1 and -1.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed., 1.2.
"""

from collections.abc import Iterator
from typing import Any

from itembank.kinds.gcd.method import sizes
from itembank.languages import Told, each, lead, say
from itembank.notation.building import dotted, equal
from itembank.values.answer import Value


def of_divisor(problem: Any, answer: Value) -> Iterator[Told]:
    """Each number by the divisor; the quotients have no common divisor above 1.

    Of one number beside zeros there is nothing to prove.
    """
    numbers, d = sizes(problem.numbers), answer.value
    if len(numbers) < 2:
        return
    found = [n // d for n in numbers]
    yield lead("Quotients.")
    yield say(
        "{products}, and no number above 1 divides each of the quotients {quotients}.",
        products=each(equal(n, dotted([q, d])) for n, q in zip(numbers, found, strict=True)),
        quotients=each(found),
    )


def of_multiple(problem: Any, answer: Value) -> Iterator[Told]:
    """The multiple by each number; the quotients have no common divisor above 1."""
    numbers, m = sizes(problem.numbers), answer.value
    if m == 0:
        return
    found = [m // n for n in numbers]
    yield lead("Quotients.")
    yield say(
        "{products}, and no number above 1 divides each of the quotients {quotients}.",
        products=each(equal(m, dotted([q, n])) for n, q in zip(numbers, found, strict=True)),
        quotients=each(found),
    )
