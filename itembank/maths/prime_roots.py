"""Roots of a polynomial modulo a prime, and square roots.

Letters: f polynomial (constant term first), p prime (unchecked everywhere), a
residue.  Degree 2 by the formula, other degrees by trial for small p; beyond, the part of f that
splits into distinct linear factors, gcd(x^p - x, f), is cut in two by
gcd((x + s)^((p-1)/2) - 1, .) with s = 0, 1, 2, ...: roots r for which r + s is a
square apart from the rest.  A large p is never scanned.

Sources: Berlekamp, Factoring polynomials over large finite fields, Math. Comp.
24 (1970), and Cohen, A Course in Computational Algebraic Number Theory, 1.6.1
(roots), 1.5.1 (square roots; Tonelli-Shanks), 1.4.2 (Jacobi); Atkin's formula for
p = 5 (mod 8): Bernstein, Faster square roots in annoying finite fields (2001).
"""

from collections.abc import Iterable
from functools import cache, lru_cache
from importlib import import_module
from types import ModuleType

from itembank.maths.polynomials import (
    Poly,
    division_mod,
    gcd_mod,
    monic_mod,
    power_mod,
    reduced,
    sum_of,
)
from itembank.maths.primes import TooMuchWork
from itembank.values.worded import worded

TRIAL_BELOW = 300
"""Primes below this are tried out from degree 3 on: measured, splitting costs the same near it."""

FLINT_FROM = 10**6
"""Primes for which FLINT, if it is there, is worth the time to load it (about 30 ms)."""


_SPLITTING = 20_000_000
"""Products of small numbers in splitting a polynomial modulo all primes of a modulus: seconds."""


def refuse_long_splitting(degree: int, primes: Iterable[int]) -> None:
    """TooMuchWork where the roots modulo these primes take more than _SPLITTING products.

    x^p modulo a polynomial of degree n takes about n^2 products for each digit of p, and a
    product of long numbers counts for several.
    """
    sizes = [p.bit_length() for p in primes if p >= TRIAL_BELOW]
    products = degree**2 * sum(b * (1 + (b * b >> 16)) for b in sizes) if degree > 2 else 0
    if products > _SPLITTING:
        raise TooMuchWork(
            worded(
                "the roots of a polynomial of degree {degree} modulo primes of up to {sizes} "
                "binary digits take about {products} multiplications, more than {splitting}; "
                "take a smaller degree or smaller primes",
                degree=degree,
                sizes=max(sizes),
                products=products,
                splitting=_SPLITTING,
            )
        )


def roots_mod_prime(f: Poly, p: int) -> tuple[int, ...]:
    """All x in [0, p) with f(x) = 0 (mod p), increasing, each once; () if none.

    Raises ValueError if f is zero modulo p (then every residue is a root).

    >>> roots_mod_prime((5, 9, 1), 13)
    (7, 10)
    """
    f = reduced(f, p)
    if not f:
        raise ValueError(f"the polynomial is zero modulo {p}: every residue is a root")
    n = len(f) - 1
    if n < 2:
        return (-f[0] * pow(f[1], -1, p) % p,) if n else ()
    if n == 2 and p > 2:
        return _roots_of_quadratic(f, p)
    if p < TRIAL_BELOW:
        return roots_by_trial(f, p)
    if p >= FLINT_FROM and _flint() is not None:
        return roots_by_flint(f, p)
    return roots_by_splitting(f, p)


def roots_by_trial(f: Poly, p: int) -> tuple[int, ...]:
    """The roots of f != 0 modulo p by trying 0, 1, 2, ... until there can be no more."""
    most = len(f) - 1
    leading_first = f[::-1]
    roots: list[int] = []
    for x in range(p):
        v = 0
        for c in leading_first:
            v = v * x + c
        if v % p == 0:
            roots.append(x)
            if len(roots) == most:
                break
    return tuple(roots)


def _roots_of_quadratic(f: Poly, p: int) -> tuple[int, ...]:
    """The roots of c + b x + a x^2 modulo an odd p that does not divide a, increasing."""
    c, b, a = f
    s = square_root_mod_prime(b * b - 4 * a * c, p)
    if s is None:
        return ()
    unit = pow(2 * a, -1, p)
    return tuple(sorted({(s - b) * unit % p, (-s - b) * unit % p}))


def roots_by_splitting(f: Poly, p: int) -> tuple[int, ...]:
    """The roots of f, not zero modulo p, for an odd p of any size, increasing."""
    f = monic_mod(f, p)
    if len(f) == 1:
        return ()
    split = gcd_mod(sum_of(power_mod((0, 1), p, f, p), (0, -1)), f, p)
    roots: list[int] = []
    pending = [(split, 0)]
    while pending:
        g, s = pending.pop()
        if len(g) == 2:
            roots.append(-g[0] % p)
        elif len(g) == 3:
            roots += _roots_of_quadratic(g, p)
        elif len(g) > 3:
            h, s = _proper_factor(g, p, s)
            pending += [(h, s), (division_mod(g, h, p)[0], s)]
    return tuple(sorted(roots))


def _proper_factor(g: Poly, p: int, s: int) -> tuple[Poly, int]:
    """(h, the next shift), h a proper factor of a product g of distinct linear factors.

    Terminates: for two roots r, r', the product (r + s)(r' + s) is a non-square for
    about half of all s.
    """
    while True:
        power = power_mod((s, 1), (p - 1) // 2, g, p)
        s += 1
        h = gcd_mod(sum_of(power, (-1,)), g, p)
        if 1 < len(h) < len(g):
            return h, s


# ------------------------------------------------------------ FLINT, where it is there


@cache
def _flint() -> ModuleType | None:
    """python-flint, or None where it is not installed: optional, only ever for speed."""
    try:
        return import_module("flint")
    except ImportError:
        return None


def roots_by_flint(f: Poly, p: int) -> tuple[int, ...]:
    """The roots of f, not zero modulo p, increasing.  Requires python-flint."""
    library = import_module("flint")
    coefficients = list(reduced(f, p))
    if p < 1 << 63:
        g = library.nmod_poly(coefficients, p)
    else:
        field = library.fmpz_mod_ctx(p)
        g = library.fmpz_mod_poly_ctx(field)(coefficients)
    return tuple(sorted(int(r) for r, _ in g.roots()))


# ------------------------------------------------------------ square roots


def jacobi(a: int, n: int) -> int:
    """The Jacobi symbol (a/n): 0, 1 or -1.  Requires n >= 1 odd (ValueError).

    >>> jacobi(2, 15), jacobi(5, 21), jacobi(3, 9)
    (1, 1, 0)
    """
    if n < 1 or n % 2 == 0:
        raise ValueError(f"the Jacobi symbol needs an odd n >= 1, got {n}")
    a %= n
    sign = 1
    while a:
        twos = (a & -a).bit_length() - 1
        a >>= twos
        if twos & 1 and n & 7 in (3, 5):
            sign = -sign
        if a & 3 == 3 and n & 3 == 3:
            sign = -sign
        a, n = n % a, a
    return sign if n == 1 else 0


def is_square_mod_prime(a: int, p: int) -> bool:
    """Whether x^2 = a (mod p) has a solution; 0 is a square."""
    return p == 2 or jacobi(a, p) >= 0


@lru_cache(maxsize=1024)
def least_non_residue(p: int) -> int:
    """The least z >= 2 that is no square modulo p.  Requires p odd (ValueError for p = 2)."""
    if p == 2:
        raise ValueError("every residue modulo 2 is a square")
    z = 2
    while jacobi(z, p) == 1:
        z += 1
    return z


def square_root_mod_prime(a: int, p: int) -> int | None:
    """The least x >= 0 with x^2 = a (mod p), so x <= p/2; None if a is not a square.

    >>> square_root_mod_prime(12, 13), square_root_mod_prime(0, 13)
    (5, 0)
    >>> square_root_mod_prime(2, 13) is None
    True
    """
    a %= p
    if a < 2:
        return a
    if jacobi(a, p) != 1:
        return None
    if p % 4 == 3:
        x = pow(a, (p + 1) // 4, p)
    elif p % 8 == 5:
        # Atkin: (2a)^((p-1)/4) = -1 when a is a square, so i below is a root of -1
        v = pow(2 * a, (p - 5) // 8, p)
        i = 2 * a * v * v % p
        x = a * v * (i - 1) % p
    else:
        x = _square_root_by_tonelli_shanks(a, p)
    return min(x, p - x)


def _square_root_by_tonelli_shanks(a: int, p: int) -> int:
    """A root of the square a != 0, for p odd.  Invariants: x^2 = a b, b of order < 2^s."""
    s = ((p - 1) & (1 - p)).bit_length() - 1
    odd = (p - 1) >> s
    root_of_unity = pow(least_non_residue(p), odd, p)
    x = pow(a, (odd + 1) // 2, p)
    b = x * x * pow(a, -1, p) % p
    while b != 1:
        order, power = 0, b
        while power != 1:
            power = power * power % p
            order += 1
        factor = pow(root_of_unity, 1 << (s - order - 1), p)
        s, root_of_unity = order, factor * factor % p
        x, b = x * factor % p, b * root_of_unity % p
    return x
