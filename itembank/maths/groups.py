"""The units modulo m: orders, the exponent of the group, primitive roots, indices.

Letters: a, g units modulo m; t an order; p, q primes; e an exponent. Sizes are
told where a function is not quick for every input: nothing here scans a large m.

Sources: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers,
5th ed., section 2.8 (orders, primitive roots); Cohen, A Course in Computational
Algebraic Number Theory, Algorithm 1.4.3 (order); Pohlig & Hellman, IEEE Trans.
Inform. Theory 24 (1978), and Shanks, Proc. Symp. Pure Math. 20 (1971) (indices).
"""

from collections.abc import Iterable
from functools import lru_cache
from math import gcd, isqrt, lcm

from itembank.maths.primes import Factors, factorisation, phi
from itembank.maths.remainders import combine
from itembank.values.worded import worded

_LARGEST_STEP = 10**12
"""Largest prime q for which an index modulo q is looked for: about sqrt(q) products are made."""

MOST_ROOTS = 10_000
"""The most primitive roots that are listed."""


class OutOfReach(ValueError):
    """An index whose search would take too many steps, or a list too long to give."""


# ------------------------------------------------------------ orders


def carmichael(n: int, hints: Iterable[int] = ()) -> int:
    """The exponent of the group of units: the least e >= 1 with a^e = 1 for every unit a.

    Requires n >= 1 (ValueError). Errors as `factorisation`.

    >>> carmichael(48), carmichael(1)
    (4, 1)
    """
    e = 1
    for p, k in factorisation(n, hints):
        if p == 2:
            e = lcm(e, 2 ** (k - 1) if k < 3 else 2 ** (k - 2))
        else:
            e = lcm(e, p ** (k - 1) * (p - 1))
    return e


def unit_factors(n: int, hints: Iterable[int] = ()) -> Factors:
    """The factorisation of phi(n), from those of p - 1 for the primes p of n.

    >>> unit_factors(49)  # 42
    ((2, 1), (3, 1), (7, 1))
    """
    hints = tuple(hints)
    found: dict[int, int] = {}
    for p, k in factorisation(n, hints):
        for q, e in factorisation(p - 1, hints):
            found[q] = found.get(q, 0) + e
        if k > 1:
            found[p] = found.get(p, 0) + k - 1
    return tuple(sorted(found.items()))


def order(a: int, m: int, hints: Iterable[int] = ()) -> int:
    """The least t >= 1 with a^t = 1 (mod m).

    Requires m >= 1 and gcd(a, m) = 1 (ValueError). Errors as `factorisation`.

    >>> order(7, 48)
    2
    """
    if gcd(a, m) != 1:
        raise ValueError(f"{a} has no order modulo {m}: they share {gcd(a, m)}")
    hints = tuple(hints)
    t = phi(m, hints)
    for q, e in unit_factors(m, hints):
        for _ in range(e):
            if pow(a, t // q, m) != 1 % m:
                break
            t //= q
    return t


# ------------------------------------------------------------ primitive roots


def has_primitive_root(n: int, hints: Iterable[int] = ()) -> bool:
    """Whether the units modulo n are the powers of one of them: n = 1, 2, 4, p^k, 2p^k.

    p is odd. Source: NZM Theorem 2.41. Requires n >= 1 (ValueError).

    >>> [n for n in range(1, 20) if not has_primitive_root(n)]
    [8, 12, 15, 16]
    """
    factors = factorisation(n, hints)
    if n in (1, 2, 4):
        return True
    odd = [p for p, _ in factors if p > 2]
    return len(odd) == 1 and n % 4 != 0


def is_primitive_root(a: int, n: int, hints: Iterable[int] = ()) -> bool:
    """Whether the order of a modulo n is phi(n). Requires n >= 1 (ValueError).

    >>> is_primitive_root(3, 17), is_primitive_root(2, 17)
    (True, False)
    """
    hints = tuple(hints)
    if gcd(a, n) != 1 or not has_primitive_root(n, hints):
        return False
    whole = phi(n, hints)
    return all(pow(a, whole // q, n) != 1 % n for q, _ in unit_factors(n, hints))


@lru_cache(maxsize=1024)
def least_primitive_root(n: int, hints: tuple[int, ...] = ()) -> int | None:
    """The least residue whose powers are all units modulo n; None if there is none.

    It is small for every n that was ever met; residues are tried from 1 on.

    >>> least_primitive_root(41), least_primitive_root(8)
    (6, None)
    """
    if not has_primitive_root(n, hints):
        return None
    if n == 1:
        return 0
    return next(a for a in range(1, n) if is_primitive_root(a, n, hints))


def primitive_roots(n: int, hints: Iterable[int] = ()) -> tuple[int, ...]:
    """All primitive roots modulo n, increasing; () if there is none.

    The g^k with gcd(k, phi(n)) = 1, g any of them. Raises OutOfReach beyond MOST_ROOTS.

    >>> primitive_roots(14)
    (3, 5)
    """
    hints = tuple(hints)
    g = least_primitive_root(n, hints)
    if g is None:
        return ()
    whole = phi(n, hints)
    if phi(whole, [q for q, _ in unit_factors(n, hints)]) > MOST_ROOTS:
        raise OutOfReach(
            worded(
                "there are more than {most_roots} primitive roots modulo {n}",
                most_roots=MOST_ROOTS,
                n=n,
            )
        )
    return tuple(sorted(pow(g, k, n) for k in range(whole) if gcd(k, whole) == 1))


# ------------------------------------------------------------ indices


def index(a: int, g: int, m: int, hints: Iterable[int] = ()) -> int | None:
    """The least k >= 0 with g^k = a (mod m); None if no power of g is a.

    Requires m >= 1 and gcd(g, m) = 1 (ValueError). The order of g is taken apart into
    prime powers q^e; raises OutOfReach if one q is above _LARGEST_STEP. Errors as
    `factorisation`.

    >>> index(5, 3, 17), index(1, 3, 17), index(3, 2, 7)
    (5, 0, None)
    """
    hints = tuple(hints)
    t = order(g, m, hints)
    if gcd(a, m) != 1 or pow(a, t, m) != 1 % m:
        return None
    factors = factorisation(t, [*hints, *(q for q, _ in unit_factors(m, hints))])
    residues = []
    for q, e in factors:
        part = q**e
        digit = index_in_prime_power(pow(a, t // part, m), pow(g, t // part, m), m, q, e)
        if digit is None:
            return None
        residues.append(digit)
    return combine(residues, [q**e for q, e in factors])


def index_in_prime_power(a: int, g: int, m: int, q: int, e: int) -> int | None:
    """The k in [0, q^e) with g^k = a (mod m), g of order q^e; None if there is none.

    One digit of k to the base q after another (Pohlig & Hellman).

    >>> index_in_prime_power(13, 3, 17, 2, 4)
    4
    """
    top = pow(g, q ** (e - 1), m)
    k = 0
    for i in range(e):
        rest = a * pow(g, -k, m) % m
        digit = small_index(pow(rest, q ** (e - 1 - i), m), top, m, q)
        if digit is None:
            return None
        k += digit * q**i
    return k


def small_index(a: int, g: int, m: int, t: int) -> int | None:
    """The k in [0, t) with g^k = a (mod m), g of order t; None if there is none.

    Baby steps a g^j for j < s, giant steps g^(is), s near sqrt(t). Raises OutOfReach if t is
    above _LARGEST_STEP.

    >>> small_index(13, 3, 17, 16)
    4
    """
    if t > _LARGEST_STEP:
        raise OutOfReach(
            worded(
                "an index modulo {t} needs about {isqrt} steps; it is looked for up to "
                "{largest_step}",
                t=t,
                isqrt=isqrt(t),
                largest_step=_LARGEST_STEP,
            )
        )
    s = isqrt(max(t - 1, 0)) + 1
    baby, value = {}, a % m
    for j in range(s):
        baby[value] = j
        value = value * g % m
    giant, jump = pow(g, s, m), 1 % m
    for i in range(1, s + 1):
        jump = jump * giant % m
        if jump in baby:
            return (i * s - baby[jump]) % t
    return None
