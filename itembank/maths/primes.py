"""Primality and factorisation of integers.

Letters: n an integer, p a prime, e its exponent.  Numbers of the size met in
questions are answered by trial division alone; Pollard's rho, which is
deterministic here, takes over beyond, and sympy is imported only for what is
left: a composite with two large primes, or a prime of 25 digits and more.

What can be factored depends on n and the hints alone: never on a clock, on
chance or on what is installed, since a draw may depend on it.
"""

from collections import Counter
from collections.abc import Iterable
from functools import lru_cache
from importlib import import_module
from math import gcd, isqrt

Factors = tuple[tuple[int, int], ...]
"""((p, e), ...) with p prime, increasing, and e >= 1; () for 1."""

_TRIAL_LIMIT = 1000
_SMALL_PRIMES = tuple(
    n for n in range(2, _TRIAL_LIMIT) if all(n % d for d in range(2, isqrt(n) + 1))
)

_MILLER_RABIN = (
    (2_047, 1),
    (1_373_653, 2),
    (3_215_031_751, 4),
    (3_474_749_660_383, 6),
    (341_550_071_728_321, 7),
    (3_825_123_056_546_413_051, 9),
    (318_665_857_834_031_151_167_461, 12),
    (3_317_044_064_679_887_385_961_981, 13),
)
"""(bound, b): below the bound no composite is a strong pseudoprime to the first b primes.

Sources: Pomerance, Selfridge & Wagstaff, Math. Comp. 35 (1980); Jaeschke, Math.
Comp. 61 (1993); Jiang & Deng, Math. Comp. 83 (2014); Sorenson & Webster, Math.
Comp. 86 (2017).
"""

_ALWAYS_FACTORED = 10**30
"""A composite below this is always factored: its second largest prime is below 10^15."""

_RHO_STEPS = 1 << 21
"""Steps of Pollard's rho before a larger composite is given up, were it of few digits:
about a second, which a prime factor below 10^11 seldom needs."""

_RHO_BITS_SQUARED = 75_000
"""Size at which half the steps are taken, since a step was measured to cost twice as much."""


class TooMuchWork(ValueError):
    """A computation that would take more work than its limit: what, and how much."""


class Unfactored(TooMuchWork):
    """n has a composite divisor whose primes cannot be found in about a second."""

    def __init__(self, n: int, cofactor: int) -> None:
        self.n = n
        self.cofactor = cofactor
        which = "" if n == cofactor else f" {_shown(cofactor)}"
        super().__init__(
            f"the composite number{which} has no prime factor small enough to find; "
            "where its factors are known, write them as a product (mod p*q)"
        )


def _shown(n: int) -> str:
    # int -> str is quadratic, and refused by Python beyond 4300 digits
    return str(n) if n.bit_length() <= 1000 else f"of {n.bit_length()} bits"


# ------------------------------------------------------------ primality


def is_prime(n: int) -> bool:
    """Whether n is prime; False for n < 2.

    Proved below 3.3 * 10^24 (see _MILLER_RABIN).  Beyond, no composite is known
    that passes: the same test, then sympy's (Baillie-PSW).
    """
    if n < _TRIAL_LIMIT:
        return n in _SMALL
    for p in _SMALL_PRIMES[:12]:
        if n % p == 0:
            return False
    for bound, bases in _MILLER_RABIN:
        if n < bound:
            return _is_strong_probable_prime(n, _SMALL_PRIMES[:bases])
    if not _is_strong_probable_prime(n, _SMALL_PRIMES[:13]):
        return False
    return bool(import_module("sympy").isprime(n))


_SMALL = frozenset(_SMALL_PRIMES)


def _is_strong_probable_prime(n: int, bases: Iterable[int]) -> bool:
    """Miller-Rabin: n odd passes for every base a, 1 < a < n."""
    s = ((n - 1) & (1 - n)).bit_length() - 1
    odd = (n - 1) >> s
    for a in bases:
        x = pow(a, odd, n)
        if x in (1, n - 1):
            continue
        for _ in range(s - 1):
            x = x * x % n
            if x == n - 1:
                break
        else:
            return False
    return True


# ------------------------------------------------------------ factorisation


def factorisation(n: int, hints: Iterable[int] = ()) -> Factors:
    """((p, e), ...) with n the product of the p^e, p increasing; () for n = 1.

    Hints are integers that may share a factor with n (the parameters it was made
    from, say); they are only ever used through gcds, so a wrong one does no harm.
    Raises ValueError for n < 1, Unfactored when a composite divisor of more than
    30 digits resists.

    >>> factorisation(117)
    ((3, 2), (13, 1))
    """
    return _factorisation(n, tuple(hints))


@lru_cache(maxsize=4096)
def _factorisation(n: int, hints: tuple[int, ...]) -> Factors:
    if n < 1:
        raise ValueError(f"a factorisation needs n >= 1, got {n}")
    primes: Counter[int] = Counter()
    rest = n
    for p in _SMALL_PRIMES:
        if p * p > rest:
            break
        while rest % p == 0:
            primes[p] += 1
            rest //= p
    for part in _coprime_parts(rest, hints):
        e = valuation(rest, part)
        for p, i in _primes_without_small(part, n).items():
            primes[p] += e * i
    return tuple(sorted(primes.items()))


def _coprime_parts(n: int, hints: Iterable[int]) -> list[int]:
    """Pairwise coprime divisors > 1 of n, a product of their powers, as fine as gcds make them.

    Source: Bernstein, Factoring into coprimes in essentially linear time, J.
    Algorithms 54 (2005), section 2; this is the plain quadratic method.
    """
    parts: list[int] = []
    pending = [n, *map(abs, hints)]
    while pending:
        a = pending.pop()
        if a < 2:
            continue
        for i, b in enumerate(parts):
            if (g := gcd(a, b)) > 1:
                del parts[i]
                pending += [g, a // g, b // g]
                break
        else:
            parts.append(a)
    return [a for a in parts if n % a == 0]


def _primes_without_small(part: int, n: int) -> Counter[int]:
    """The primes of a divisor `part` > 1 of n that has none below _TRIAL_LIMIT."""
    primes: Counter[int] = Counter()
    pending = [(part, 1)]
    while pending:
        c, e = pending.pop()
        if c < _TRIAL_LIMIT**2 or is_prime(c):
            primes[c] += e
            continue
        root, degree = _perfect_power(c)
        if degree > 1:
            pending.append((root, e * degree))
            continue
        d = _divisor(c)
        if d is None:
            raise Unfactored(n, c)
        pending += [(d, e), (c // d, e)]
    return primes


def _divisor(n: int) -> int | None:
    """A proper divisor of the composite n, or None if it takes too long to find.

    Below _ALWAYS_FACTORED there is always one.
    """
    if n >= _ALWAYS_FACTORED:
        limit = _RHO_STEPS * _RHO_BITS_SQUARED // (_RHO_BITS_SQUARED + n.bit_length() ** 2)
        return _divisor_by_rho(n, limit)
    if (d := _divisor_by_rho(n, _RHO_STEPS // 16)) is not None:
        return d
    return int(min(import_module("sympy").factorint(n)))


def _divisor_by_rho(n: int, limit: int) -> int | None:
    """A proper divisor of the composite n by Pollard's rho, in about `limit` steps.

    Source: Brent, An improved Monte Carlo factorization algorithm, BIT 20 (1980).
    The walks y -> y^2 + c start at 2 with c = 1, 2, ...: the same for everyone.
    """
    steps = c = 0
    while steps < limit:
        c += 1
        y, length, g = 2, 1, 1
        while g == 1 and steps < limit:
            x = y
            for _ in range(length):
                y = (y * y + c) % n
            done = 0
            while done < length and g == 1:
                q = 1
                for _ in range(min(256, length - done)):
                    y = (y * y + c) % n
                    q = q * (x - y) % n
                g = gcd(q, n)
                done += 256
            steps += 2 * length
            length *= 2
        if 1 < g < n:
            return g  # otherwise all factors met in one product: take the next walk
    return None


def _perfect_power(n: int) -> tuple[int, int]:
    """(root, degree) with root^degree = n and the degree 1 or a prime; n without small primes."""
    for degree in _SMALL_PRIMES:
        if n < _TRIAL_LIMIT**degree:
            break
        root = _integer_root(n, degree)
        if root**degree == n:
            return root, degree
    return n, 1


def _integer_root(n: int, degree: int) -> int:
    """The largest integer whose power is at most n, by Newton's method from above."""
    if degree == 2:
        return isqrt(n)
    x = 1 << -(-n.bit_length() // degree)
    while (y := ((degree - 1) * x + n // x ** (degree - 1)) // degree) < x:
        x = y
    return x


# ------------------------------------------------------------ from the factorisation


def valuation(n: int, p: int) -> int:
    """The largest e with p^e | n.  Requires n != 0 and p >= 2 (ValueError).

    >>> valuation(54, 3)
    3
    """
    if p < 2:
        raise ValueError(f"a valuation needs p >= 2, got p = {p}")
    if n == 0:
        raise ValueError("every power of p divides 0")
    e = 0
    while n % p == 0:
        n //= p
        e += 1
    return e


def divisors(n: int, hints: Iterable[int] = ()) -> tuple[int, ...]:
    """The positive divisors of n >= 1, increasing.  Errors as `factorisation`.

    >>> divisors(12)
    (1, 2, 3, 4, 6, 12)
    """
    found = [1]
    for p, e in factorisation(n, hints):
        found = [d * q for q in [p**i for i in range(e + 1)] for d in found]
    return tuple(sorted(found))


def phi(n: int, hints: Iterable[int] = ()) -> int:
    """How many of 1, ..., n are coprime to n.  Errors as `factorisation`.

    >>> phi(12)  # 1, 5, 7, 11
    4
    """
    return phi_of(factorisation(n, hints))


def phi_of(factors: Factors) -> int:
    """phi of the number with these factors.

    >>> phi_of(((2, 2), (3, 1)))
    4
    """
    n = 1
    for p, e in factors:
        n *= p ** (e - 1) * (p - 1)
    return n
