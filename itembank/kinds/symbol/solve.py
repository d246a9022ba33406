"""A symbol brought to its value by the rules, and checked by the definition.

Method taught: reduce the top; take out its twos by (2/n); turn the symbol over by
reciprocity; reduce again.  Nothing has to be factored but for powers of two.

Sources: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th
ed., sections 3.1 to 3.3 (Theorems 3.1, 3.4, 3.6 to 3.8); Kronecker's extension: Cohen,
A Course in Computational Algebraic Number Theory, Definition 1.4.8.
"""

from collections.abc import Iterator
from math import gcd, isqrt

from itembank.kinds.base import Solution, Step
from itembank.kinds.symbol.steps import (
    BottomKind,
    ByDefinition,
    CommonFactor,
    Conclude,
    Euler,
    Flip,
    Kronecker,
    MinusOne,
    One,
    ReduceTop,
    Rewrite,
    RootFound,
    Sign,
    SquareTop,
    TakeOutMinus,
    TakeOutTwos,
)
from itembank.maths.prime_roots import jacobi, square_root_mod_prime
from itembank.maths.primes import factorisation, is_prime
from itembank.values.answer import Value

_WRITTEN_SQUARINGS = 200
"""Largest prime for which the powers of Euler's criterion are written out as a check."""

_FEW_RULES = 4
"""Up to so many rules are quicker than the powers of Euler's criterion."""

_ROOT_SHOWN = 10**6
"""Largest prime for which a square root is shown as a check."""

_LISTED_PRIME = 50
"""Largest prime whose squares are listed in the check by the definition."""

_SEEN = (3, 5, 7, 11, 13)
"""Primes that a student sees in both numbers at once."""

_FACTORED = 10**9
"""Largest composite bottom that is factored for that check."""


def solved(a: int, n: int) -> Solution[Value]:
    """The symbol (a/n), n odd and positive: Legendre's if n is prime, else Jacobi's."""
    rewritten = tuple(chain(a, n))
    value = _product_of_factors(rewritten)
    steps: list[Step] = [*rewritten, Conclude(a, n, value, _kind_of(n))]
    check: Step | None
    if is_prime(n):
        check = _check_modulo_a_prime(a, n, value, len(rewritten))
    else:
        check = _by_definition(a, n)
    if check:
        steps.append(check)
    return Solution(Value(value), tuple(steps))


def _kind_of(n: int) -> BottomKind:
    return "prime" if is_prime(n) else "one" if n == 1 else "composite"


def solved_kronecker(a: int, n: int) -> Solution[Value]:
    """Kronecker's symbol (a/n) for an n that is even or not positive."""
    step = _kronecker(a, n)
    rewritten = tuple(chain(a, step.odd)) if n and step.factor and step.odd > 1 else ()
    odd = _product_of_factors(rewritten)
    value = step.factor * odd
    factors: list[int] = [step.unit_value] if step.unit == -1 else []
    factors += [step.two_value] * step.e + ([odd] if rewritten else [])
    conclusion = Conclude(a, n, value, "other", tuple(factors))
    return Solution(Value(value), (step, *rewritten, conclusion))


def _product_of_factors(steps: tuple[Rewrite, ...]) -> int:
    value = 1
    for step in steps:
        value *= step.factor
    return value


# ------------------------------------------------------------ the rules


def chain(a: int, n: int) -> Iterator[Rewrite]:
    """The rules applied one after another until no symbol is left."""
    while True:
        step = _next_step(a, n)
        yield step
        if step.after is None:
            return
        a, n = step.after


def _next_step(a: int, n: int) -> Rewrite:
    """The rule that a teacher would apply to (a/n)."""
    if n == 1:
        return One(a, n)
    if a == -1 or (a % n == n - 1 and n > 3):
        return MinusOne(a, n, _one_or_minus_one(n % 4 == 1))
    if -n < a < 0:
        return TakeOutMinus(a, n, _one_or_minus_one(n % 4 == 1))
    if not 0 <= a < n:
        return ReduceTop(a, n, a % n)
    d = gcd(a, n)
    if d > 1 and _is_seen(d, a):
        return CommonFactor(a, n, d)
    if d == 1 and isqrt(a) ** 2 == a:
        return SquareTop(a, n, isqrt(a))
    if a % 2 == 0:
        e = (a & -a).bit_length() - 1
        return TakeOutTwos(a, n, e, a >> e, _one_or_minus_one(n % 8 in (1, 7)))
    return Flip(a, n, _one_or_minus_one(a % 4 == 1 or n % 4 == 1))


def _is_seen(d: int, a: int) -> bool:
    """Whether a common factor d > 1 of a and the bottom is seen before the rules lead to it."""
    return d == a or a == 0 or any(d % p == 0 for p in _SEEN)


def _one_or_minus_one(plus: bool) -> Sign:
    return 1 if plus else -1


def _kronecker(a: int, n: int) -> Kronecker:
    """How (a/n) comes apart; for n = 0 the whole value stands in `two_value` with e = 1."""
    if n == 0:
        return Kronecker(a, n, 1, 1, 1, 1, int(abs(a) == 1))
    e = (n & -n).bit_length() - 1
    two = 0 if a % 2 == 0 else 1 if a % 8 in (1, 7) else -1
    unit: Sign = -1 if n < 0 else 1
    return Kronecker(a, n, unit, e, abs(n) >> e, -1 if n < 0 and a < 0 else 1, two)


# ------------------------------------------------------------ checks


def _check_modulo_a_prime(a: int, p: int, value: int, rules: int) -> Euler | RootFound | None:
    """A square root for the value 1, Euler's criterion for -1; None where that is long.

    A check is long that takes longer than the number of rules that led to the value.
    """
    if value == 1 and p <= _ROOT_SHOWN:
        root = square_root_mod_prime(a, p)
        assert root is not None
        return RootFound(a, p, root)
    short = p <= _WRITTEN_SQUARINGS and rules > _FEW_RULES
    if value == -1 and p > 3 and (short or a % p == p - 1):
        return Euler(a, p, (p - 1) // 2)
    return None


def _by_definition(a: int, n: int) -> ByDefinition | None:
    """The Legendre symbols of a composite n; None where its primes are not small."""
    if n == 1 or n > _FACTORED:
        return None
    factors = factorisation(n)
    if factors[-1][0] > _LISTED_PRIME:
        return None
    symbols = tuple((p, e, a % p, jacobi(a, p)) for p, e in factors)
    return ByDefinition(a, n, factors, symbols, jacobi(a, n))
