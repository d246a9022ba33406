"""Factorials modulo m: the steps, and finding them.

Notation: n, m; p a prime modulus; k = p - 1 - n.
Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers,
5th ed., Theorem 2.11 (Wilson).
"""

from collections.abc import Callable
from dataclasses import dataclass

from itembank.kinds.base import Solution, Step
from itembank.maths.primes import Factors, is_prime
from itembank.values.answer import Value
from itembank.values.errors import StatementError
from itembank.values.worded import worded

_MULTIPLIED_OUT = 1_000_000
"""The most factors that are multiplied one after another."""


@dataclass(frozen=True)
class FactorPresent(Step):
    """n >= m, so m itself is one of the factors of n!."""

    name = "the modulus is a factor"
    n: int
    m: int


@dataclass(frozen=True)
class PrimePowers(Step):
    """m = p^k ... composite, with the power of each p in n!: (p, k, e), e >= k throughout."""

    name = "prime powers"
    n: int
    m: int
    powers: tuple[tuple[int, int, int], ...]

    @property
    def effort(self) -> int:
        return len(self.powers)


@dataclass(frozen=True)
class Wilson(Step):
    """n! (-1)^k k! = -1 modulo the prime p, k = p - 1 - n."""

    name = "Wilson's theorem"
    n: int
    p: int
    k: int


@dataclass(frozen=True)
class MultiplyOut(Step):
    """n! mod m, one factor after another: values[i] = (i + 1)! mod m."""

    name = "multiply out"
    n: int
    m: int
    values: tuple[int, ...]

    @property
    def effort(self) -> int:
        return max(self.n - 1, 1)


@dataclass(frozen=True)
class Divide(Step):
    """n! c = -1 with c = (-1)^k k! mod p, so n! is minus the inverse of c; `small` is k! mod p."""

    name = "divide"
    n: int
    p: int
    k: int
    small: int
    c: int
    inverse: int
    value: int


def factorial_found(n: int, m: int, factors: Callable[[], Factors]) -> Solution[Value]:
    """n! modulo m; the factors of m are asked for where m is composite and larger than n.

    Raises StatementError where too many factors would have to be multiplied.
    """
    if n >= m:
        return Solution(Value(0, m), (FactorPresent(n, m),))
    if is_prime(m):
        return modulo_a_prime(n, m)
    powers = _powers_in_factorial(n, factors())
    if powers and all(e >= k for _p, k, e in powers):
        return Solution(Value(0, m), (PrimePowers(n, m, powers),))
    _refuse_if_long(n, n, m)
    step = _multiplied_out(n, m)
    return Solution(Value(step.values[-1], m), (step,))


def modulo_a_prime(n: int, p: int) -> Solution[Value]:
    """By Wilson's theorem if fewer factors are missing than there are; n < p."""
    k = p - 1 - n
    if n <= k:
        _refuse_if_long(n, n, p)
        step = _multiplied_out(n, p)
        return Solution(Value(step.values[-1], p), (step,))
    _refuse_if_long(k, n, p)
    steps: list[Step] = [Wilson(n, p, k)]
    if k > 1:
        steps.append(_multiplied_out(k, p))
    small = steps[-1].values[-1] if isinstance(steps[-1], MultiplyOut) else 1
    c = (-1) ** k * small % p
    inverse = pow(c, -1, p)
    value = -inverse % p
    if k:
        steps.append(Divide(n, p, k, small, c, inverse, value))
    return Solution(Value(value, p), tuple(steps))


def _refuse_if_long(count: int, n: int, m: int) -> None:
    if count > _MULTIPLIED_OUT:
        raise StatementError(
            worded(
                "{n}! mod {m}: needs {count} products, more than {multiplied_out}; modulo a "
                "prime p, n! is found quickly where n or p - n is small",
                n=n,
                m=m,
                count=count,
                multiplied_out=_MULTIPLIED_OUT,
            )
        )


def _multiplied_out(n: int, m: int) -> MultiplyOut:
    values = [1 % m]
    for i in range(2, n + 1):
        values.append(values[-1] * i % m)
    return MultiplyOut(n, m, tuple(values))


def _powers_in_factorial(n: int, factors: Factors) -> tuple[tuple[int, int, int], ...]:
    """(p, k, e) for each p^k of the factorisation, e the power of p in n! (Legendre)."""
    return tuple((p, k, _legendre_exponent(n, p)) for p, k in factors)


def _legendre_exponent(n: int, p: int) -> int:
    """The power of p in n!: floor(n/p) + floor(n/p^2) + ...

    >>> _legendre_exponent(10, 2)
    8
    """
    e = 0
    while n:
        n //= p
        e += n
    return e
