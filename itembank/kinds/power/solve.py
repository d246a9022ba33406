"""A power modulo m, found as it is taught.

Fermat or Euler where the base is coprime to m and the exponent at least phi(m); where
the base shares a factor with m, m is split into the part coprime to the base and the rest,
modulo which a large power is 0; then repeated squaring. A tower a^(b^c) needs its
exponent modulo phi(m) only, which is a smaller problem of the same kind.

Sources: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th
ed., Theorems 2.7 and 2.8 (Fermat, Euler); Knuth, The Art of Computer Programming 2, 3rd
ed., section 4.6.3 (the binary method).
"""

from math import gcd, prod

from itembank.kinds.base import Solution, Step
from itembank.kinds.power.steps import (
    AtOnce,
    Combine,
    Euler,
    ExponentFound,
    ExponentValue,
    Invert,
    ReduceBase,
    Split,
    Square,
)
from itembank.languages import Said, say
from itembank.maths.primes import Factors, Unfactored, factorisation, phi_of, valuation
from itembank.values.answer import Absent, Value
from itembank.values.errors import StatementError
from itembank.values.worded import worded

_WRITTEN = 10**40
"""An exponent below this is written out and divided; a larger one is a tower, or a remainder."""

_EASY_EXPONENT = 8
"""Up to this exponent a power is multiplied out at once."""

EASILY_FACTORED = 10**24
"""Up to here a modulus is factored to compare phi(m) with an exponent smaller than m."""

_LONGEST_EXPONENT = 1 << 13
"""A tower whose value has more bits than this is never computed, only its remainders."""

DEEPEST = 12
"""The most exponents on top of one another."""


def solve(
    a: int, exponents: tuple[int, ...], m: int, hints: tuple[int, ...]
) -> Solution[Value | Absent]:
    """a^(e1^(e2^...)) modulo m >= 1: the least residue, or Absent for 1/a without an inverse."""
    steps: list[Step] = []
    e = value_of(exponents)
    if e is not None and e < 0:
        d = gcd(a, m)
        inverse = pow(a, -1, m) if d == 1 else None
        steps.append(Invert(a, m, -e, inverse, d))
        if inverse is None:
            return Solution(Absent(_no_inverse(a, m, d)), tuple(steps))
        if e == -1:
            return Solution(Value(inverse, m), tuple(steps))
        a, exponents = inverse, (-e,)
    value = power_steps(a, exponents, m, hints, steps)
    return Solution(Value(value, m), tuple(steps))


def _no_inverse(a: int, m: int, d: int) -> Said:
    return say(
        "${a}$ and {m} share the factor {d}, so ${a}$ has no inverse modulo {m}, and no power with "
        "a negative exponent.",
        a=a,
        m=m,
        d=d,
    )


def value_of(exponents: tuple[int, ...]) -> int | None:
    """e1^(e2^(...)), and 0^0 = 1; None if it has more than _LONGEST_EXPONENT bits.

    Requires all but a single exponent to be at least 0 (unchecked).

    >>> value_of((2, 3, 2)), value_of((0, 0)), value_of((9, 9, 9)), value_of((1, 9, 9, 9))
    (512, 1, None, 1)
    """
    first, *rest = exponents
    if not rest:
        return first
    above = value_of(tuple(rest))
    if first in (0, 1):
        return 1 if above == 0 else first
    if above is None or above * (first.bit_length() - 1) > _LONGEST_EXPONENT:
        return None
    return int(first**above)


def power_steps(
    a: int, exponents: tuple[int, ...], m: int, hints: tuple[int, ...], steps: list[Step]
) -> int:
    """The power modulo m, its steps appended."""
    residue = a % m
    if residue != a and m > 1:
        steps.append(ReduceBase(a, residue, m))
    a, e = residue, value_of(exponents)
    if (easy := _at_once(a, exponents, e, m)) is not None:
        steps.append(easy)
        return easy.value
    if e is not None and (e <= _EASY_EXPONENT or not _worth_reducing(e, m)):
        return _squared(a, exponents, e, m, steps)
    try:
        factors = factorisation(m, hints)
    except Unfactored as reason:
        if e is None:
            raise StatementError(
                worded("a tower of exponents needs phi({m}): {reason}", m=m, reason=reason)
            ) from None
        return _squared(a, exponents, e, m, steps)
    if gcd(a, m) == 1:
        return _reduced(a, exponents, e, m, factors, hints, steps)
    return _split(a, exponents, e, m, factors, hints, steps)


def _worth_reducing(e: int, m: int) -> bool:
    """Whether it may pay to know phi(m): it is below m, and must not cost more than squaring."""
    return e >= m or m <= EASILY_FACTORED


def _at_once(a: int, exponents: tuple[int, ...], e: int | None, m: int) -> AtOnce | None:
    """The step for a power that can be named at once; a a least residue."""
    if m == 1:
        return AtOnce("modulus one", a, exponents, m, 0)
    if e == 0:
        return AtOnce("exponent zero", a, exponents, m, 1)
    if e == 1:
        return AtOnce("exponent one", a, exponents, m, a)
    if a == 0:
        return AtOnce("base zero", a, exponents, m, 0)
    if a == 1:
        return AtOnce("base one", a, exponents, m, 1)
    if a == m - 1:
        odd = exponents[0] % 2 if e is None else e % 2
        return AtOnce("base minus one", a, exponents, m, a if odd else 1)
    return None


def _reduced(
    a: int,
    exponents: tuple[int, ...],
    e: int | None,
    m: int,
    factors: Factors,
    hints: tuple[int, ...],
    steps: list[Step],
) -> int:
    """By Euler's theorem, where the exponent is at least phi(m)."""
    n = phi_of(factors)
    if e is not None and e < n:
        return _squared(a, exponents, e, m, steps)
    if e is not None and (len(exponents) == 1 or e < _WRITTEN):
        r = e % n
        steps.append(Euler(a, m, n, factors, exponents, e // n if e < _WRITTEN else None, r))
    else:
        steps.append(Euler(a, m, n, factors, exponents, None, None))
        r = power_steps(exponents[0], exponents[1:], n, hints, steps)
        steps.append(ExponentFound(exponents, n, r))
    easy = _at_once(a, (r,), r, m)
    if easy:
        steps.append(easy)
        return easy.value
    return _squared(a, (r,), r, m, steps)


def _split(
    a: int,
    exponents: tuple[int, ...],
    e: int | None,
    m: int,
    factors: Factors,
    hints: tuple[int, ...],
    steps: list[Step],
) -> int:
    """Modulo the part of m coprime to a, and 0 modulo the rest if the exponent is large enough."""
    m1: int = prod(p**k for p, k in factors if a % p)
    v = max(-(-k // valuation(a, p)) for p, k in factors if a % p == 0)
    n = prod(p ** (k - 1) * (p - 1) for p, k in factors if a % p)
    if e is not None and (e < v or (m1 > 1 and e < n)):
        return _squared(a, exponents, e, m, steps)
    m2 = m // m1
    steps.append(Split(a, m, m1, m2, v))
    if m1 == 1:
        return 0
    r = power_steps(a, exponents, m1, hints, steps)
    s = pow(m2, -1, m1)
    x = m2 * s * r % m
    steps.append(Combine(r, m1, m2, s, x))
    return x


def _squared(a: int, exponents: tuple[int, ...], e: int, m: int, steps: list[Step]) -> int:
    """By repeated squaring; e >= 1 is the value of the exponents."""
    if len(exponents) > 1:
        steps.append(ExponentValue(exponents, e))
    squares = [a]
    for _i in range(e.bit_length() - 1):
        squares.append(squares[-1] ** 2 % m)
    value = pow(a, e, m)
    steps.append(Square(a, e, m, tuple(squares), value))
    return value
