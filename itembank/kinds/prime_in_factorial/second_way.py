"""The second way for primes in n!: every factor is divided; of a large n the multiples of each
power are counted."""

from dataclasses import dataclass, field
from typing import ClassVar

from itembank.second_way import in_words
from itembank.second_way.verdict import done

_MULTIPLIED = 20_000
"""The largest n whose factors are all divided."""


@dataclass(frozen=True)
class InFactorial:
    """The exponent of `divisor` (a prime, or 10) in number!."""

    divisor: int
    number: int
    modulus: ClassVar[None] = None
    hints: tuple[int, ...] = field(default=(), compare=False)


def read(statement: str) -> InFactorial | None:
    """The question of "exponent of 3 in 100!"; None for another form."""
    if found := in_words.numbers("exponent of # in #!", statement):
        p, n = found
        in_words.refuse(p > 1 and all(p % d for d in range(2, min(p, 10**6))), "a prime", statement)
        return InFactorial(p, n)
    if found := in_words.numbers("zeros at the end of #!", statement):
        return InFactorial(10, found[0])
    return None


def _exponent(question: InFactorial) -> int:
    if question.divisor == 10:
        return min(_of_prime(2, question.number), _of_prime(5, question.number))
    return _of_prime(question.divisor, question.number)


def _of_prime(p: int, n: int) -> int:
    total = 0
    if n <= _MULTIPLIED:
        for factor in range(p, n + 1, p):
            while factor % p == 0:
                factor, total = factor // p, total + 1
        return total
    power = p
    while power <= n:
        total, power = total + (n - n % power) // power, power * p
    return total


KIND = in_words.number_kind(_exponent, done("the factors of the factorial were divided one by one"))
