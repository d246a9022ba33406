"""The roots of f modulo one prime, by the method that a teacher would choose for it.

Integers first: f as a product over the integers, or a root in plain sight (0, 1, -1, 2, -2), or a
square that the right side becomes once the prime is added a few times; only then trial, completing
the square, or the greatest common divisor with x^p - x.  Where a root is in sight, its factor is
divided out and what is left is solved.  Numbers are those nearest to 0.
"""

from collections.abc import Iterator
from math import isqrt

from itembank.kinds.base import USUAL
from itembank.kinds.linear.isolating import isolating
from itembank.kinds.polynomial.steps import (
    Constant,
    Isolate,
    Method,
    PlainRoot,
    PlainRoots,
    RootsModPrime,
    Splitting,
    Square,
    Trial,
    ZeroProduct,
)
from itembank.maths import prime_roots
from itembank.maths.polynomials import (
    Poly,
    divided_by_linear,
    division_mod,
    power_mod,
    product,
    reduced,
    sum_of,
    value_mod,
)
from itembank.maths.remainders import nearest_residue
from itembank.values.course import Methods

ALWAYS_TRIED = 5
"""Up to this prime every residue is tried, whatever the degree."""

_TRIED_SHORTLY = 7
"""Up to this one trying them all takes no longer than dividing roots in sight out."""

_TRIED = 31
"""Up to this prime every residue is tried when the degree is 3 or more."""

_SQUARED = {3: 10**7, 4: 10**7, 5: 10**4, 6: 10**4}
"""Up to this prime the greatest common divisor with x^p - x is worked out, by the degree."""

_PLAIN = (0, 1, -1, 2, -2)
"""Roots that are seen."""

_SEARCHED = 100
"""Integer roots of a polynomial of degree 3 or more are looked for up to this size."""


def roots_by_method(
    f: Poly, g: Poly, p: int, factored: bool, methods: Methods = USUAL
) -> tuple[Method, tuple[int, ...]]:
    """The method taught for g = f modulo p, and the roots, increasing.

    `factored` if the product that f is over the integers was shown before.
    """
    degree = len(g) - 1
    if degree == 0:
        return Constant(g[0]), ()
    if degree == 1:
        way = isolating(g[1], -g[0] % p, p, methods.inverse)
        return Isolate(way), (way.x,)
    if methods.roots == "complete the square" and degree == 2 and p > 2:
        return completed_square(g, p)
    if methods.roots == "trial" and p <= _TRIED:
        return _every_residue_tried(g, p)
    found = integer_roots(f)
    if found and any(g[:-1]):
        return ZeroProduct(found, f[-1], factored), tuple(sorted({u % p for u in found}))
    if p <= ALWAYS_TRIED:
        return _every_residue_tried(g, p)
    if degree > 2 and p > _TRIED_SHORTLY and (method := _in_sight(g, p)):
        return method
    if degree > 2 and p <= _TRIED:
        return _every_residue_tried(g, p)
    if degree == 2:
        return _plain_root(g, p) or completed_square(g, p)
    return _split(g, p)


def _in_sight(g: Poly, p: int) -> tuple[PlainRoots, tuple[int, ...]] | None:
    """The roots 0, 1, -1, 2 and -2 of g, of degree 3 or more, divided out modulo p > 5."""
    seen: list[int] = []
    for r in _PLAIN:
        while len(g) > 1 and value_mod(g, r, p) == 0:
            seen.append(r)
            g, _zero = divided_by_linear(g, r, p)
    if not seen:
        return None
    found = {r % p for r in seen}
    q = tuple(nearest_residue(c, p) for c in g)
    if len(q) == 1:
        return PlainRoots(tuple(seen), q[0], None), tuple(sorted(found))
    rest = RootsModPrime(p, q, g, *_of_what_is_left(q, g, p), "g")
    return PlainRoots(tuple(seen), q[-1], rest), tuple(sorted(found | {*rest.roots}))


def _of_what_is_left(q: Poly, g: Poly, p: int) -> tuple[Method, tuple[int, ...]]:
    """The roots of g = q modulo p, which has none in sight."""
    if len(q) == 2:
        way = isolating(q[1], -q[0], p)
        return Isolate(way), (way.x,)
    if len(q) == 3:
        return completed_square(g, p)
    return _every_residue_tried(g, p) if p <= _TRIED else _split(g, p)


def _split(g: Poly, p: int) -> tuple[Splitting, tuple[int, ...]]:
    """The roots of g, of degree 3 or more, as those of its common divisor with x^p - x."""
    roots = prime_roots.roots_mod_prime(g, p)
    common: Poly = (1,)
    for r in roots:
        common = reduced(product(common, (-r, 1)), p)
    if p > _SQUARED.get(len(g) - 1, 0):
        return Splitting(common), roots
    powers = tuple(_powers_up_to(g, p))
    remainder = reduced(sum_of(powers[-1][1], (0, -1)), p)
    rest = None
    if len(common) == 3:
        near = tuple(nearest_residue(c, p) for c in common)
        method, two = _plain_root(common, p) or completed_square(common, p)
        rest = RootsModPrime(p, near, common, method, two, "g")
    return Splitting(common, powers, tuple(_divisions(g, remainder, p)), rest), roots


def _powers_up_to(g: Poly, p: int) -> Iterator[tuple[int, Poly]]:
    """(e, x^e modulo g and p) for e = 2 or 3, ..., p: the leading binary digits of p."""
    digits = f"{p:b}"
    for i in range(2, len(digits) + 1):
        e = int(digits[:i], 2)
        yield e, power_mod((0, 1), e, g, p)


def _divisions(f: Poly, g: Poly, p: int) -> Iterator[tuple[Poly, Poly, Poly, Poly]]:
    """Euclid's algorithm for f and g modulo p: (dividend, divisor, quotient, remainder)."""
    while g:
        quotient, rest = division_mod(f, g, p)
        yield f, g, quotient, rest
        f, g = g, rest


def _every_residue_tried(g: Poly, p: int) -> tuple[Trial, tuple[int, ...]]:
    tried = tuple((x, value_mod(g, x, p)) for x in range(p))
    return Trial(tried), tuple(x for x, y in tried if y == 0)


# ------------------------------------------------------------ a product


def zero_product(f: Poly) -> tuple[int, int] | None:
    """(u, v), u <= v, with f = (x - u)(x - v) over the integers; None if there are none."""
    if len(f) != 3 or f[2] != 1:
        return None
    discriminant = f[1] ** 2 - 4 * f[0]
    if discriminant < 0 or isqrt(discriminant) ** 2 != discriminant or f[1] == 0 == f[0]:
        return None
    root = isqrt(discriminant)
    return (-f[1] - root) // 2, (-f[1] + root) // 2


def integer_roots(f: Poly) -> tuple[int, ...]:
    """The u, increasing, with f = c(x - u)(x - v)... over the integers; () if f is no such product.

    Not all of them are 0.  Beyond degree 2 they are looked for up to _SEARCHED.

    >>> integer_roots((6, -5, 1)), integer_roots((0, 5, 1)), integer_roots((-16, 40, -33, 10, -1))
    ((2, 3), (-5, 0), (1, 1, 4, 4))
    >>> integer_roots((5, 9, 1)), integer_roots((0, 0, 1))
    ((), ())
    """
    if len(f) < 3 or any(c % f[-1] for c in f):
        return ()
    rest, found = tuple(c // f[-1] for c in f), []
    while len(rest) > 3:
        # An integer root divides the constant term, which is sooner seen than the value.
        u = next((u for u in _divisors_of(rest[0]) if _value_at(rest, u) == 0), None)
        if u is None:
            return ()
        found.append(u)
        rest = _quotient(rest, u)
    pair = zero_product(rest) or ((0, 0) if rest == (0, 0, 1) else None)
    if pair is None or not any((*found, *pair)):
        return ()
    return tuple(sorted((*found, *pair)))


_IN_ORDER = (0, *(sign * u for u in range(1, _SEARCHED + 1) for sign in (1, -1)))
"""0, 1, -1, 2, -2, ..."""


def _divisors_of(n: int) -> Iterator[int]:
    """The divisors of n among those of _IN_ORDER, in their order; of 0 all."""
    if n == 0:
        yield from _IN_ORDER
        return
    for d in range(1, min(_SEARCHED, abs(n)) + 1):
        if n % d == 0:
            yield d
            yield -d


def _value_at(f: Poly, x: int) -> int:
    y = 0
    for c in reversed(f):
        y = y * x + c
    return y


def _quotient(f: Poly, u: int) -> Poly:
    """f divided by x - u, u a root of f."""
    coefficients = [f[-1]]
    for c in reversed(f[1:-1]):
        coefficients.append(coefficients[-1] * u + c)
    return tuple(reversed(coefficients))


# ------------------------------------------------------------ degree 2


def _plain_root(g: Poly, p: int) -> tuple[PlainRoot, tuple[int, ...]] | None:
    """A root 0, 1, -1, 2 or -2 of the quadratic g modulo p > 5, and what is left for the other."""
    _c, b, a = g
    if not b:
        return None
    for r in _PLAIN:
        if value_mod(g, r, p) == 0:
            lead, rest = nearest_residue(a, p), nearest_residue(b + a * r, p)
            way = isolating(lead, -rest, p)
            method = PlainRoot(r, lead, rest, way)
            return method, tuple(sorted({r % p, way.x}))
    return None


def completed_square(g: Poly, p: int) -> tuple[Square, tuple[int, ...]]:
    """The roots of the quadratic g modulo the odd prime p: (x + h)^2 = s."""
    c0, b0, a = g
    a_inverse = nearest_residue(pow(a, -1, p), p)
    b, c = b0 * a_inverse % p, c0 * a_inverse % p
    h = (b if b % 2 == 0 else b - p) // 2
    s = (h * h - c) % p
    root = prime_roots.square_root_mod_prime(s, p)
    roots = () if root is None else tuple(sorted({(root - h) % p, (-root - h) % p}))
    return Square(a, a_inverse, b, c, h, s, root), roots
