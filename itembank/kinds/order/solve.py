"""The order of a modulo m, from phi(m).

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed.,
section 2.8, Lemma 2.31; Cohen, A Course in Computational Algebraic Number Theory,
Algorithm 1.4.3 (primes taken out).
"""

from collections.abc import Sequence
from math import prod

from itembank.kinds.base import Solution, Step
from itembank.kinds.order.steps import (
    Certificate,
    CommonFactor,
    Phi,
    PowerRow,
    Reduced,
    TakeOutPrimes,
    TryDivisors,
)
from itembank.languages import Said, say
from itembank.maths.groups import order, unit_factors
from itembank.maths.primes import Factors, Unfactored, divisors, factorisation
from itembank.values.answer import Absent, Value
from itembank.values.errors import StatementError

MOST_DIVISORS = 16
"""Up to this many divisors of phi(m) are tried one after another."""


PRODUCTS = 20_000_000
"""Products of small numbers in finding an order: some seconds."""


def phi_step(m: int, hints: tuple[int, ...], statement: str) -> Phi:
    """phi(m), factored; StatementError where m or phi(m) is not factored."""
    try:
        n_factors = unit_factors(m, hints)
        refuse_long(m, n_factors, statement)
        return Phi(m, factorisation(m, hints), prod(q**e for q, e in n_factors), n_factors)
    except Unfactored as reason:
        raise StatementError(f"{statement}: {reason}") from None


def refuse_long(m: int, n_factors: Factors, statement: str) -> None:
    """StatementError where dividing phi(m) by each of its primes takes too many products.

    There is a power modulo m for each; a product of long numbers counts for several.
    """
    bits = m.bit_length()
    products = sum(e for _q, e in n_factors) * bits * (1 + (bits * bits >> 16))
    if products > PRODUCTS:
        raise StatementError(
            f"{statement}: the order takes about {products} multiplications, more than "
            f"{PRODUCTS}; take a smaller modulus"
        )


def no_order(a: int, m: int, d: int) -> Solution[Value | Absent]:
    """Without an order: d = gcd(a, m) > 1."""
    return Solution(Absent(reason(a, m, d)), (CommonFactor(a, m, d),))


def order_found(a: int, phi: Phi, hints: tuple[int, ...]) -> Solution[Value | Absent]:
    """The order of a least residue a coprime to m, proved."""
    m = phi.m
    t = order(a, m, hints)
    if few_divisors(phi.n_factors):
        found = divisors(phi.n, [q for q, _e in phi.n_factors])
        how: Step = try_divisors(a, m, phi.n, [e for e in found if e <= t])
    else:
        how = take_out_primes(a, m, phi)
    return Solution(Value(t), (phi, how, certificate(a, t, phi)))


def certificate(a: int, t: int, phi: Phi) -> Certificate:
    """What proves that t is the order of a."""
    smaller = tuple((q, pow(a, t // q, phi.m)) for q, _e in phi.n_factors if t % q == 0)
    return Certificate(a, phi.m, t, smaller)


def few_divisors(factors: Factors) -> bool:
    """Whether a number of these factors has few enough divisors to try them all."""
    return prod(e + 1 for _q, e in factors) <= MOST_DIVISORS


def reason(a: int, m: int, d: int) -> Said:
    """Why a has no order modulo m, d > 1 their greatest common divisor."""
    return say(
        "${a}$ has no order modulo {m}: {d} divides both, so it divides every power of ${a}$ and "
        "every remainder of one modulo {m}, and 1 is no multiple of {d}.",
        a=a,
        m=m,
        d=d,
    )


def try_divisors(a: int, m: int, n: int, tried: Sequence[int]) -> TryDivisors:
    rows: dict[int, PowerRow] = {}
    for e in tried:
        reach(e, a, m, rows)
    return TryDivisors(a, m, n, tuple(tried), tuple(rows.values()))


def reach(e: int, a: int, m: int, rows: dict[int, PowerRow]) -> None:
    """Adds a row for a^e, made of two powers that are there or are added first."""
    if e in rows:
        return
    if e == 1:
        rows[1] = PowerRow(1, 0, 0, a % m)
        return
    pair = next(
        ((e - i, i) for i in sorted(rows, reverse=True) if e - i in rows and i <= e - i), None
    )
    if pair is None:
        # the binary method: half of e, then one more if e is odd
        pair = (e // 2, e // 2) if e % 2 == 0 else (e - 1, 1)
        for smaller in pair:
            reach(smaller, a, m, rows)
    i, j = pair
    rows[e] = PowerRow(e, i, j, rows[i].value * rows[j].value % m)


def take_out_primes(a: int, m: int, phi: Phi) -> TakeOutPrimes:
    t, rows = phi.n, []
    for q, e in phi.n_factors:
        for _again in range(e):
            value = pow(a, t // q, m)
            rows.append(Reduced(t, q, value))
            if value != 1 % m:
                break
            t //= q
    return TakeOutPrimes(a, m, phi.n, tuple(rows))
