"""Whether a is a square modulo m, decided prime power by prime power.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed.,
section 2.9 and Theorem 2.20; the rules of the symbol are those of `kinds.symbol`.
"""

from itembank.kinds.base import Solution, Step
from itembank.kinds.square_test.steps import (
    Local,
    OddPower,
    OddPrime,
    SeenSquare,
    TwoPower,
    Verdict,
    ZeroLocal,
)
from itembank.kinds.squares.steps import SplitModulus
from itembank.kinds.symbol.solve import chain
from itembank.maths.perfect_powers import root_at_sight
from itembank.maths.prime_roots import jacobi
from itembank.maths.primes import Factors, valuation
from itembank.maths.squares import is_unit_square
from itembank.values.answer import Truth

LISTED_PRIME = 40
"""Largest prime whose squares are listed; beyond it the symbol decides."""

_ROOT_SOUGHT = 10_000
"""Largest modulus for which a square root is found by trial and shown."""


def solved(a: int, m: int, factors: Factors) -> Solution[Truth]:
    """A square root at sight, or the tests in order of the primes, up to the first that fails."""
    symbol = jacobi(a, m) if m % 2 and _is_composite(factors) else None
    seen = root_at_sight(2, a % m, m) if m > 1 else None
    if seen is not None:
        verdict = Verdict(a, m, True, None, None, symbol)
        return Solution(Truth(True), (SeenSquare(a, a % m, m, seen), verdict))
    steps: list[Step] = []
    if len(factors) > 1 or any(k > 1 for _p, k in factors):
        steps.append(SplitModulus(m, factors))
    failed = None
    for p, k in factors:
        step = _local(a, p, k)
        steps.append(step)
        if not step.holds:
            failed = (p, k)
            break
    holds = failed is None
    steps.append(Verdict(a, m, holds, _root(a, m) if holds else None, failed, symbol))
    return Solution(Truth(holds), tuple(steps))


def _is_composite(factors: Factors) -> bool:
    return sum(k for _p, k in factors) > 1


def _root(a: int, m: int) -> int | None:
    """The least x with x^2 = a (mod m); None where m is too large to try."""
    if m > _ROOT_SOUGHT:
        return None
    return next((x for x in range(m) if (x * x - a) % m == 0), None)


def _local(a: int, p: int, k: int) -> Local:
    """The test modulo p^k."""
    r = a % p**k
    if r == 0:
        return ZeroLocal(p, k, a, r, True)
    e = valuation(r, p)
    u = r // p**e
    if e % 2:
        return OddPower(p, k, a, r, False, e)
    holds = is_unit_square(u, p, k - e)
    if p == 2:
        return TwoPower(p, k, a, r, holds, e, u, min(k - e, 3))
    if p <= LISTED_PRIME:
        squares = tuple(sorted({x * x % p for x in range(1, p)}))
        return OddPrime(p, k, a, r, holds, e, u, squares, ())
    return OddPrime(p, k, a, r, holds, e, u, (), tuple(chain(u % p, p)))
