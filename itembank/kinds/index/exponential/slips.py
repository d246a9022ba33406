"""Student errors in solving an exponential congruence.

Notation: a, b, c, m as in `kind`, n = phi(m); b^x = y (mod m) where a is a unit.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import gcd

from itembank.kinds.base import Slip
from itembank.kinds.index.logarithm import LARGEST_SLIP
from itembank.kinds.mistakes import SetFound, wrong_sets
from itembank.kinds.wrong_solutions import by_name
from itembank.languages import say
from itembank.maths.groups import index, least_primitive_root, order


@dataclass(frozen=True)
class _Work:
    """The congruence, with y = b^x where a is a unit, and the key."""

    a: int
    b: int
    c: int
    m: int
    n: int
    y: int
    k: int | None
    t: int

    def exponents(self, y: int) -> tuple[int, ...]:
        """The solutions modulo n of b^x = y."""
        k = index(y, self.b, self.m)
        return () if k is None else tuple(range(k, self.n, self.t))


def slips_of(a: int, b: int, c: int, m: int, n: int) -> Iterator[Slip]:
    """The slips that can be made here; none where the factor is no unit."""
    if m > LARGEST_SLIP or m < 3 or gcd(a, m) > 1:
        return iter(())
    y = c * pow(a, -1, m) % m
    work = _Work(a % m, b % m, c % m, m, n, y, index(y, b, m), order(b, m))
    return wrong_sets(MISTAKES, work)


def _factor_ignored(w: _Work) -> SetFound:
    if w.a == 1:
        return None
    return w.exponents(w.c), say(
        "Check what became of the factor {a}: multiply both sides by its inverse modulo {m} first.",
        a=w.a,
        m=w.m,
    )


def _factor_multiplied(w: _Work) -> SetFound:
    if w.a == 1:
        return None
    return w.exponents(w.a * w.c % w.m), say(
        "If you multiplied the right side by {a}, turn it round: to free the power of its factor, "
        "multiply by the **inverse** of {a} modulo {m}.",
        a=w.a,
        m=w.m,
    )


def _product_for_power(w: _Work) -> SetFound:
    """b x = y in place of b^x = y."""
    x = w.y * pow(w.b, -1, w.m) % w.m
    if x >= w.n:
        return None
    return (x,), say(
        "If you divided {y} by {b} modulo {m}: the unknown is an exponent, so {y} has to be a "
        "power of {b}, not a multiple.",
        b=w.b,
        y=w.y,
        m=w.m,
    )


def _whole_numbers_only(w: _Work) -> SetFound:
    if w.y in {w.b**i for i in range(20) if w.b**i < w.m}:
        return None
    return (), say(
        "{y} is not a power of {b} among the integers, but a power only has to be **congruent** to "
        "it modulo {m}: reduce, and go on multiplying.",
        y=w.y,
        b=w.b,
        m=w.m,
    )


def _one_exponent_only(w: _Work) -> SetFound:
    if w.k is None or w.t == w.n:
        return None
    return (w.k,), say(
        "Check whether the powers come round: they repeat with the order of {b}. Which further "
        "exponents below $φ({m})$ give the same power?",
        b=w.b,
        m=w.m,
    )


def _counted_from_one(w: _Work) -> SetFound:
    if w.k is None:
        return None
    return tuple(sorted((x + 1) % w.n for x in w.exponents(w.y))), say(
        "Check where the exponents begin: the power with exponent 0 is 1."
    )


def _primitive_root_assumed(w: _Work) -> SetFound:
    root = least_primitive_root(w.m)
    if w.k is not None or root is None or gcd(w.y, w.m) > 1:
        return None
    return (index(w.y, root, w.m) or 0,), say(
        "Check that {y} is a power of {b} at all: the order of {b} modulo {m} is {t}, so {b} has "
        "{t} different powers only.",
        y=w.y,
        b=w.b,
        m=w.m,
        t=w.t,
    )


MISTAKES = by_name(
    _factor_ignored,
    _factor_multiplied,
    _product_for_power,
    _whole_numbers_only,
    _one_exponent_only,
    _counted_from_one,
    _primitive_root_assumed,
)
"""In the order of the method."""
