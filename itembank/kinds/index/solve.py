"""The index of a to the base g modulo m: the least k >= 0 with g^k = a (mod m), with steps.

A short cycle of powers is written out, as the tables in textbooks are. Otherwise the order
t of g is found first; up to _SHOWN_STEPS^2 baby and giant steps are shown, beyond it t
is taken apart into prime powers.

Sources: Pohlig & Hellman, IEEE Trans. Inform. Theory 24 (1978); Shanks, Proc. Symp.
Pure Math. 20 (1971); Niven, Zuckerman & Montgomery, An Introduction to the Theory of
Numbers, 5th ed., section 2.8.
"""

from math import gcd, isqrt

from itembank.kinds.base import Step
from itembank.kinds.index.steps import (
    BabyGiant,
    Found,
    Join,
    NoPower,
    NoUnit,
    Part,
    Parts,
    PowerTable,
)
from itembank.kinds.order.solve import (
    certificate,
    few_divisors,
    phi_step,
    powers_step,
    take_out_primes,
    try_divisors,
)
from itembank.kinds.order.steps import Phi
from itembank.kinds.powering import LARGEST_MODULUS
from itembank.kinds.wording import FITS_ON_THE_BOARD
from itembank.maths import groups
from itembank.maths.groups import OutOfReach, index_in_prime_power, order
from itembank.maths.primes import factorisation
from itembank.maths.remainders import combine
from itembank.values.errors import StatementError
from itembank.values.worded import laid_out

_TABLE = 40
"""The longest table of powers that is written out."""

_SHOWN_STEPS = 24
"""The most baby steps that are written out; as many giant steps."""


def index_steps(
    a: int, g: int, m: int, hints: tuple[int, ...], statement: str
) -> tuple[int | None, list[Step]]:
    """The index of a, None if there is none, and the steps; g coprime to m.

    Raises StatementError where phi(m) is not factored or the search would take too long.
    """
    d = gcd(a, m)
    if d > 1:
        return None, [NoUnit(a, g, m, d)]
    a, g = a % m, g % m
    table = _power_table(a, g, m)
    if table is not None:
        return table.k, [table, *([Found(g, table.k, a, m)] if table.k is not None else [])]
    phi = phi_step(m, hints, statement)
    t = order(g, m, hints)
    steps = order_steps(g, m, t, phi)
    c = pow(a, t, m)
    if c != 1:
        return None, [*steps, NoPower(g, a, m, t, c)]
    k, found = _searched(a, g, m, t, phi, statement)
    return k, [*steps, *found, *([Found(g, k, a, m)] if k is not None else [])]


def _power_table(a: int, g: int, m: int) -> PowerTable | None:
    """The powers of g up to a, or the whole cycle without it; None if that is too long."""
    values = [1 % m]
    while values[-1] != a and len(values) <= _TABLE:
        following = values[-1] * g % m
        if following == 1 % m:
            return PowerTable(g, a, m, (*values, following), None)
        values.append(following)
    if values[-1] == a:
        return PowerTable(g, a, m, tuple(values), len(values) - 1)
    return None


def order_steps(g: int, m: int, t: int, phi: Phi) -> list[Step]:
    """What proves that t is the order of g modulo m."""
    if few_divisors(phi.n_factors) and m <= LARGEST_MODULUS:
        return [phi, try_divisors(g, phi, t)]
    if t > FITS_ON_THE_BOARD:
        return [phi, take_out_primes(g, m, phi), certificate(g, t, phi)]
    proof = certificate(g, t, phi)
    table = powers_step(g, m, [t, *(t // q for q, _value in proof.smaller)])
    return [phi, *([table] if table else []), proof]


def _searched(
    a: int, g: int, m: int, t: int, phi: Phi, statement: str
) -> tuple[int | None, list[Step]]:
    """The index by baby and giant steps, or modulo the prime powers of t; a^t = 1."""
    factors = factorisation(t, [q for q, _e in phi.n_factors])
    if t <= _SHOWN_STEPS**2 or len(factors) == 1 == factors[0][1]:
        k = _small_index(a, g, m, t, statement)
        return k, [_baby_giant(a, g, m, t, k)] if k is not None else []
    parts = tuple(_part(a, g, m, t, q, e, statement) for q, e in factors)
    step = Parts(g, a, m, t, parts)
    residues = [p.k for p in parts if p.k is not None]
    if len(residues) < len(parts):
        return None, [step]
    moduli = [p.q**p.e for p in parts]
    k = combine(residues, moduli)
    if len(parts) == 1:
        return k, [step]
    return k, [step, Join(tuple(residues), tuple(moduli), k, t)]


def _part(a: int, g: int, m: int, t: int, q: int, e: int, statement: str) -> Part:
    size = q**e
    h, b = pow(g, t // size, m), pow(a, t // size, m)
    try:
        return Part(q, e, h, b, index_in_prime_power(b, h, m, q, e))
    except OutOfReach as reason:
        raise StatementError(
            laid_out("{statement}: {reason}", statement=statement, reason=reason)
        ) from None


def _small_index(a: int, g: int, m: int, t: int, statement: str) -> int | None:
    try:
        return groups.small_index(a, g, m, t)
    except OutOfReach as reason:
        raise StatementError(
            laid_out("{statement}: {reason}", statement=statement, reason=reason)
        ) from None


def _baby_giant(a: int, g: int, m: int, t: int, k: int) -> BabyGiant:
    """The steps that meet at the index k: the least i >= 1 with is >= k, j = is - k."""
    s = isqrt(t - 1) + 1
    i = max(1, -(-k // s))
    j = i * s - k
    shown = s <= _SHOWN_STEPS
    baby = tuple(a * pow(g, n, m) % m for n in range(s)) if shown else ()
    giant = tuple(pow(g, n * s, m) for n in range(1, i + 1)) if shown else ()
    return BabyGiant(g, a, m, t, s, baby, giant, i, j, k)
