"""The order of a modulo m, from phi(m).

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed.,
section 2.8, Lemma 2.31; Cohen, A Course in Computational Algebraic Number Theory,
Algorithm 1.4.3 (primes taken out).
"""

from bisect import bisect_left, insort
from collections.abc import Container, Sequence
from math import prod

from itembank.kinds.base import Solution
from itembank.kinds.order.steps import (
    Certificate,
    CommonFactor,
    Ending,
    Phi,
    PowerRow,
    Powers,
    Reduced,
    TakeOutPrimes,
    TryDivisors,
)
from itembank.kinds.powering import LARGEST_MODULUS
from itembank.languages import Said, say
from itembank.maths.groups import order, unit_factors
from itembank.maths.primes import Factors, Unfactored, divisors, factorisation
from itembank.maths.remainders import nearest_residue
from itembank.values.answer import Absent, Value
from itembank.values.errors import StatementError
from itembank.values.worded import laid_out, worded

_MOST_SEARCHED = 64
"""Among more powers no three are looked for that make the next one."""

_MOST_DIVISORS = 16
"""Up to this many divisors of phi(m) are tried one after another."""


_PRODUCTS = 20_000_000
"""Products of small numbers in finding an order: some seconds."""


def phi_step(m: int, hints: tuple[int, ...], statement: str) -> Phi:
    """phi(m), factored; StatementError where m or phi(m) is not factored."""
    try:
        n_factors = unit_factors(m, hints)
        _refuse_long(m, n_factors, statement)
        return Phi(m, factorisation(m, hints), prod(q**e for q, e in n_factors), n_factors)
    except Unfactored as reason:
        raise StatementError(
            laid_out("{statement}: {reason}", statement=statement, reason=reason)
        ) from None


def _refuse_long(m: int, n_factors: Factors, statement: str) -> None:
    """StatementError where dividing phi(m) by each of its primes takes too many products.

    There is a power modulo m for each; a product of long numbers counts for several.
    """
    bits = m.bit_length()
    products = sum(e for _q, e in n_factors) * bits * (1 + (bits * bits >> 16))
    if products > _PRODUCTS:
        raise StatementError(
            worded(
                "{statement}: the order takes about {products} multiplications, more than "
                "{other_products}; take a smaller modulus",
                statement=statement,
                products=products,
                other_products=_PRODUCTS,
            )
        )


def no_order(a: int, m: int, d: int) -> Solution[Value | Absent]:
    """Without an order: d = gcd(a, m) > 1."""
    return Solution(Absent(_reason(a, m, d)), (CommonFactor(a, m, d),))


def order_found(a: int, phi: Phi, hints: tuple[int, ...]) -> Solution[Value | Absent]:
    """The order of a least residue a coprime to m, proved."""
    m = phi.m
    t = order(a, m, hints)
    if few_divisors(phi.n_factors):
        return Solution(Value(t), (phi, try_divisors(a, phi, t)))
    return Solution(Value(t), (phi, take_out_primes(a, m, phi), certificate(a, t, phi)))


def certificate(a: int, t: int, phi: Phi) -> Certificate:
    """What proves that t is the order of a."""
    smaller = tuple((q, pow(a, t // q, phi.m)) for q, _e in phi.n_factors if t % q == 0)
    return Certificate(a, phi.m, t, smaller)


def few_divisors(factors: Factors) -> bool:
    """Whether a number of these factors has few enough divisors to try them all."""
    return prod(e + 1 for _q, e in factors) <= _MOST_DIVISORS


def _reason(a: int, m: int, d: int) -> Said:
    """Why a has no order modulo m, d > 1 their greatest common divisor."""
    return say(
        "${a}$ has no order modulo {m}: {d} divides both, so it divides every power of ${a}$ and "
        "every remainder of one modulo {m}, and 1 is not a multiple of {d}.",
        a=a,
        m=m,
        d=d,
    )


def try_divisors(a: int, phi: Phi, t: int) -> TryDivisors:
    """The divisors of phi(m) in turn, up to the first that settles the order t of a."""
    m = phi.m
    ending: Ending = "one"
    tried: list[int] = []
    for e in divisors(phi.n, [q for q, _e in phi.n_factors]):
        tried.append(e)
        value = pow(a, e, m)
        if value == 1 % m:
            break
        if value == m - 1:
            ending = "minus one"
            break
    return TryDivisors(a, m, phi.n, tuple(tried), _powers(a, m, tried), t, ending)


def _powers(a: int, m: int, exponents: Sequence[int]) -> tuple[PowerRow, ...]:
    """Rows for these exponents, increasing, each made from earlier ones."""
    rows: dict[int, PowerRow] = {}
    reached: list[int] = []
    for e in exponents:
        _reach(e, a, m, rows, reached)
    return tuple([rows[e] for e in reached])


def _reach(e: int, a: int, m: int, rows: dict[int, PowerRow], reached: list[int]) -> None:
    """Adds a row for a^e, a product of two or three rows, which are there or are added first.

    `reached` are the exponents of the rows, increasing.
    """
    if e in rows:
        return
    parts = () if e == 1 else _made_of(e, reached, rows)
    if parts is None:
        # the binary method: half of e, then one more if e is odd
        parts = (e // 2, e // 2) if e % 2 == 0 else (e - 1, 1)
        for smaller in parts:
            _reach(smaller, a, m, rows, reached)
    value = 1 if parts else a
    for i in parts:
        value *= rows[i].value
    rows[e] = PowerRow(e, parts, nearest_residue(value, m))
    insort(reached, e)


def _made_of(e: int, reached: Sequence[int], known: Container[int]) -> tuple[int, ...] | None:
    """Two or three exponents that add up to e, the largest first; None if none do.

    `reached` are the exponents there are, increasing, and `known` the same to look one up.

    >>> _made_of(7, [1, 2, 4], {1, 2, 4}), _made_of(6, [1, 3], {1, 3})
    ((4, 2, 1), (3, 3))
    """
    if not reached or 3 * reached[-1] < e:
        return None
    for i in reversed(reached):
        if 2 * i < e:
            break  # the other would be larger
        if e - i in known:
            return i, e - i
    if len(reached) > _MOST_SEARCHED:
        return None
    for i in reversed(reached):
        if 3 * i < e:
            break
        rest = e - i
        for j in reached[bisect_left(reached, (rest + 1) // 2) : bisect_left(reached, rest)][::-1]:
            if j <= i and rest - j in known:
                return i, j, rest - j
    return None


def take_out_primes(a: int, m: int, phi: Phi) -> TakeOutPrimes:
    t, rows = phi.n, []
    for q, e in phi.n_factors:
        for _again in range(e):
            value = pow(a, t // q, m)
            rows.append(Reduced(t, q, value))
            if value != 1 % m:
                break
            t //= q
    exponents = sorted({row.e // row.q for row in rows})
    return TakeOutPrimes(a, m, phi.n, tuple(rows), powers_step(a, m, exponents))


def powers_step(a: int, m: int, exponents: Sequence[int]) -> Powers | None:
    """What leads to these powers; None modulo a number too large to compute them by hand."""
    if m > LARGEST_MODULUS:
        return None
    found = sorted(set(exponents))
    return Powers(a, m, tuple(found), _powers(a, m, found))
