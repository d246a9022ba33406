"""Polynomials with integer coefficients, exactly and modulo m.

A polynomial is the tuple of its coefficients, constant term first and no zero
last, so (-2, 0, 1) is x^2 - 2 and () is the zero polynomial.  Letters: f, g
polynomials, r a residue, m a modulus, p a prime.  Functions whose names end in
`_mod` work over the field of p elements; that p is prime is never checked.

Sources: Knuth, The Art of Computer Programming 2, 3rd ed., section 4.6.1
(division, greatest common divisors) and 4.6.4 (Horner's rule; the shift by
repeated synthetic division); 4.6.3 (powers by squaring).

Not here: factors and roots (`prime_roots`, `lifting`), large degrees (every
product is the schoolbook one).
"""

from itertools import zip_longest

Poly = tuple[int, ...]

# ------------------------------------------------------------ over the integers


def trimmed(f: Poly) -> Poly:
    """f without zero leading coefficients.

    >>> trimmed((3, 1, 0, 0))
    (3, 1)
    """
    n = len(f)
    while n and not f[n - 1]:
        n -= 1
    return tuple(f[:n])


def value(f: Poly, x: int) -> int:
    """The integer f(x).

    >>> value((5, 9, 1), 7)  # 49 + 63 + 5
    117
    """
    v = 0
    for c in reversed(f):
        v = v * x + c
    return v


def value_mod(f: Poly, x: int, m: int) -> int:
    """f(x) mod m, in [0, m).  Requires m >= 1."""
    v = 0
    for c in reversed(f):
        v = (v * x + c) % m
    return v


def derivative(f: Poly) -> Poly:
    """f', coefficient by coefficient.

    >>> derivative((5, 9, 1))
    (9, 2)
    """
    return tuple([i * c for i, c in enumerate(f)][1:])


def reduced(f: Poly, m: int) -> Poly:
    """The polynomial congruent to f modulo m with coefficients in [0, m).

    >>> reduced((-1, 7, 6), 3)
    (2, 1)
    """
    return trimmed(tuple([c % m for c in f]))


def sum_of(f: Poly, g: Poly) -> Poly:
    """f + g."""
    return trimmed(tuple([a + b for a, b in zip_longest(f, g, fillvalue=0)]))


def scaled(f: Poly, c: int) -> Poly:
    """c * f."""
    return tuple([c * a for a in f]) if c else ()


def product(f: Poly, g: Poly) -> Poly:
    """f * g.

    >>> product((-1, 1), (1, 1))  # (x - 1)(x + 1)
    (-1, 0, 1)
    """
    return trimmed(tuple(_coefficients_of_product(f, g)))


def shifted(f: Poly, r: int, d: int = 1) -> Poly:
    """The coefficients of f(r + d*y) as a polynomial in y, exactly.

    Divides by x - r again and again: the remainders are f(r), f'(r), f''(r)/2, ...

    >>> shifted((5, 9, 1), 1, 3)  # f(1 + 3y) = 15 + 33y + 9y^2
    (15, 33, 9)
    """
    c = list(f)
    if r:
        for start in range(len(c) - 1):
            for i in range(len(c) - 2, start - 1, -1):
                c[i] += r * c[i + 1]
    if d != 1:
        scale = 1
        for i in range(1, len(c)):
            scale *= d
            c[i] *= scale
    return trimmed(tuple(c))


def divided_by_linear(f: Poly, r: int, m: int) -> tuple[Poly, int]:
    """(q, f(r) mod m) with f = (x - r) q + f(r) modulo m: synthetic division.

    The coefficients of q lie in [0, m).  Requires m >= 1.

    >>> divided_by_linear((-1, 0, 1), 1, 7)  # x^2 - 1 = (x - 1)(x + 1)
    ((1, 1), 0)
    """
    row = []
    v = 0
    for c in reversed(f):
        v = (v * r + c) % m
        row.append(v)
    if not row:
        return (), 0
    return trimmed(tuple(row[-2::-1])), row[-1]


def content_valuation(f: Poly, p: int) -> int:
    """The largest e such that p^e divides every coefficient of f.

    Requires f != 0 and p >= 2 (ValueError).

    >>> content_valuation((18, 9, 27), 3)
    2
    """
    if p < 2:
        raise ValueError(f"a valuation needs p >= 2, got p = {p}")
    if not any(f):
        raise ValueError("every power of p divides the zero polynomial")
    e = 0
    while not any(c % p for c in f):
        f = tuple([c // p for c in f])
        e += 1
    return e


# ------------------------------------------------------------ over the field of p elements


def division_mod(f: Poly, g: Poly, p: int) -> tuple[Poly, Poly]:
    """(q, r) with f = q g + r modulo p and deg r < deg g; coefficients in [0, p).

    Raises ValueError if g is zero modulo p.  p prime, unchecked.

    >>> division_mod((0, 0, 0, 1), (1, 0, 1), 5)  # x^3 = x (x^2 + 1) - x
    ((0, 1), (0, 4))
    """
    g = reduced(g, p)
    if not g:
        raise ValueError("division by the zero polynomial")
    rest = [c % p for c in f]
    n = len(g) - 1
    unit = pow(g[-1], -1, p)
    quotient = []
    for top in range(len(rest) - 1, n - 1, -1):
        c = rest[top] * unit % p
        quotient.append(c)
        if c:
            for i in range(n):
                rest[top - n + i] -= c * g[i]
    return trimmed(tuple(reversed(quotient))), reduced(tuple(rest[:n]), p)


def monic_mod(f: Poly, p: int) -> Poly:
    """The multiple of f by a unit whose leading coefficient is 1; () for zero."""
    f = reduced(f, p)
    if not f or f[-1] == 1:
        return f
    unit = pow(f[-1], -1, p)
    return tuple([c * unit % p for c in f])


def gcd_mod(f: Poly, g: Poly, p: int) -> Poly:
    """The monic greatest common divisor of f and g modulo p; () if both are zero.

    >>> gcd_mod((-1, 0, 1), (2, 4, 2), 7)  # x^2 - 1 and 2(x + 1)^2
    (1, 1)
    """
    f, g = reduced(f, p), reduced(g, p)
    while g:
        f, g = g, division_mod(f, g, p)[1]
    return monic_mod(f, p)


def power_mod(base: Poly, e: int, f: Poly, p: int) -> Poly:
    """base^e modulo (f, p), of degree below deg f, coefficients in [0, p).

    Requires e >= 0 and f not zero modulo p (ValueError).

    >>> power_mod((0, 1), 5, (1, 0, 1), 7)  # x^2 = -1, so x^5 = x
    (0, 1)
    """
    if e < 0:
        raise ValueError(f"a power of a polynomial needs an exponent >= 0, got {e}")
    f = monic_mod(f, p)
    base = division_mod(base, f, p)[1]
    power = division_mod((1,), f, p)[1]
    for bit in f"{e:b}":
        power = _remainder_by_monic(_coefficients_of_product(power, power), f, p)
        if bit == "1":
            power = _remainder_by_monic(_coefficients_of_product(power, base), f, p)
    return power


def _coefficients_of_product(f: Poly, g: Poly) -> list[int]:
    if not f or not g:
        return []
    c = [0] * (len(f) + len(g) - 1)
    for i, a in enumerate(f):
        if a:
            for j, b in enumerate(g, i):
                c[j] += a * b
    return c


def _remainder_by_monic(c: list[int], f: Poly, p: int) -> Poly:
    """The list c, which is used up, modulo the monic f."""
    n = len(f) - 1
    tail = f[:n]
    while len(c) > n:
        top = c.pop() % p
        if top:
            for i, a in enumerate(tail, len(c) - n):
                c[i] -= top * a
    return reduced(tuple(c), p)
