"""The lines of the ways to a root of a power, and to a pair that solves two congruences.

As in `ways`: each line is a name and what must stand in it, worked out by trial.
"""

import re
from collections.abc import Collection, Iterator
from math import gcd

from itembank.audit.reckoning import (
    Line,
    factored_line,
    inverse,
    listed,
    modulo,
    phi,
    prime_powers,
    product,
    raised,
    small,
    to_the_power,
)
from itembank.audit.unsupported import Unsupported
from itembank.second_way.power_root import PowerOfUnknown
from itembank.second_way.table import Congruence, Roots, TwoUnknowns
from itembank.values.worded import worded


def to_a_pair(question: TwoUnknowns, letters: tuple[str, str]) -> Iterator[Line]:
    """One unknown eliminated, the other found and put back; `letters` as they are told."""
    m = question.modulus
    (a1, b1, c1), (a2, b2, c2) = question.rows
    small(m)
    d, e = (a1 * b2 - a2 * b1) % m, (c2 * b1 - c1 * b2) % m
    if gcd(d, m) > 1 or gcd(b1, m) > 1:
        raise Unsupported(worded("a way to a pair by another method than elimination"))
    one, other = letters
    yield "eliminate", (other, str(b2), str(b1), modulo(_times(d), e, m))
    x = inverse(d, m) * e % m
    if d > 1:
        yield "invert", (modulo(f"{d}*{inverse(d, m)}", 1, m),)
        yield "find", (one, modulo("x", x, m))
    f = (-c1 - a1 * x) % m
    yield "put in", (one, modulo(_times(b1), f, m))
    if b1 > 1:
        y = inverse(b1, m)
        yield "find second", (str(y), str(b1), other, modulo("x", y * f % m, m))
    yield "check", (str(m),)


def _times(a: int) -> str:
    return f"{a}x" if a > 1 else "x"


def to_a_root(question: Congruence | PowerOfUnknown) -> Iterator[Line]:
    """x^k = a, where k has an inverse u modulo phi(m): x = a^u."""
    k, a, m = power_asked(question)
    small(m)
    n = phi(m)
    if gcd(a, m) > 1 or gcd(k, n) > 1 or a < 2:
        raise Unsupported(
            worded("a way to roots by another method than an inverse of the exponent")
        )
    yield from factored_line(m)
    yield "count", (f"φ({m})={n}",)
    u = inverse(k % n, n)
    if k > n:
        yield "lower exponent", (modulo(k, k % n, n),)
    yield "invert exponent", (modulo(f"{k % n}*{u}", 1, n),)
    parts = [2**i for i in reversed(range(u.bit_length())) if u >> i & 1]
    powers = product(raised(a, e) for e in parts)
    yield "raise", (modulo("x", f"{a}^{u}={powers}", m),)
    squares = [2**i for i in range(1, u.bit_length())]
    values = listed(to_the_power(a, e, m) for e in squares)
    yield "square for", (modulo(",".join(f"{a}^{e}" for e in squares), values, m),)
    factors = product(to_the_power(a, e, m) for e in parts)
    yield "multiply", (modulo(factors, to_the_power(a, u, m), m),)


def by_indices(question: Congruence, told: Collection[Line]) -> Iterator[Line]:
    """ax^n = c by indices to the base that is told, where that is a primitive root."""
    m = question.modulus
    small(m)
    constant, *others = question.coefficients
    a, n, c, whole = others[-1] if others else 0, len(others), -constant % m, phi(m)
    g = _base_told(told)
    if n < 2 or any(others[:-1]) or gcd(a * c, m) > 1 or n >= whole:
        raise Unsupported(worded("a way by indices to what is no power of the unknown"))
    powers = [to_the_power(g, k, m) for k in range(whole)]
    if len(set(powers)) < whole:
        raise Unsupported(
            worded("a way by indices to a base that is no primitive root modulo {m}", m=m)
        )
    wanted = [a, c] if a > 1 else [c]
    index = {value: k for k, value in enumerate(powers)}
    looked_up = ",".join(f"{g}^{index[b]}" for b in wanted)
    yield "look up", (modulo(looked_up, listed(wanted), m),)
    r, d = (index[c] - index[a]) % whole, gcd(n, whole)
    indices = [y for y in range(whole) if (n * y - r) % whole == 0]
    if not indices or r == 0:
        raise Unsupported(worded("a way by indices to solutions that there are not, or in sight"))
    yield "take indices", (*_index_told(told), modulo(f"{n}x", r, whole))
    if d == 1:
        yield "coprime", (f"gcd({n},{whole})=1",)
    else:
        yield "divide by", (modulo(_times(n // d), r // d, whole // d),)
    if n > d:
        yield "invert", (modulo(f"{n // d}*{inverse(n // d, whole // d)}", 1, whole // d),)
    yield "all indices", (modulo("x", listed(indices), whole),)
    yield "turn back", (modulo("x", listed(powers[y] for y in indices), m),)


def _base_told(told: Collection[Line]) -> int:
    """The base of the powers that are looked up."""
    for name, parts in told:
        if name == "look up" and (match := re.match(r"(\d{1,6})\^", parts[0])):
            return int(match[1])
    raise Unsupported(worded("a way by indices that looks up none"))


def _index_told(told: Collection[Line]) -> tuple[str, str]:
    """The letters of the index and of the unknown, as they are told."""
    for name, parts in told:
        if name == "take indices" and parts[0] != parts[1]:
            return parts[0], parts[1]
    raise Unsupported(worded("a way by indices that gives the index no letter"))


def to_a_primitive_root(question: Roots) -> Iterator[Line]:
    """phi(m), its primes, what it is divided by them, the powers, and whether one of them is 1."""
    a, m = question.number, question.modulus
    small(m)
    n = phi(m)
    primes = [p for p, _k in prime_powers(n)]
    if question.about != "test" or len(primes) < 2 or gcd(a, m) > 1:
        raise Unsupported(worded("a way to what is no test of a primitive root by several powers"))
    yield from factored_line(m)
    yield "count", (f"φ({m})={n}",)
    yield "primes", (listed(primes),)
    exponents = [n // p for p in primes]
    yield "exponents", (f"φ({m})", listed(exponents))
    values = [to_the_power(a, e, m) for e in exponents]
    yield "powers", (modulo(",".join(f"{a}^{e}" for e in exponents), listed(values), m),)
    yield ("failed" if 1 in values else "passed"), (str(a), str(m))


def power_asked(question: Congruence | PowerOfUnknown) -> tuple[int, int, int]:
    """(k, a, m) of x^k = a (mod m)."""
    if isinstance(question, PowerOfUnknown):
        return question.k, question.a, question.modulus
    constant, *others = question.coefficients
    if len(others) < 2 or others[-1] != 1 or any(others[:-1]):
        raise Unsupported(worded("a way to the roots of what is no power of the unknown"))
    return len(others), -constant % question.modulus, question.modulus
