"""Student errors in inverting, each carried through to its answer.

One function a slip, named for the mistake: it takes the true work and returns the wrong
residues with feedback, or None where the mistake cannot be made. The catalogue is common
practice of the trade.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import gcd

from itembank.kinds.base import Slip
from itembank.kinds.chains import calculated_or_congruent, congruent
from itembank.kinds.mistakes import SetFound, wrong_sets
from itembank.languages import say
from itembank.maths.primes import is_prime
from itembank.maths.remainders import EuclidStep, euclid_steps
from itembank.notation.building import dotted
from itembank.notation.tree import Relation

_FERMAT = 10**6
"""Largest modulus for which a student would try a power in place of Euclid's algorithm."""


@dataclass(frozen=True)
class _Work:
    """A least residue a above 0, m, and the rows of Euclid's algorithm."""

    a: int
    m: int
    rows: tuple[EuclidStep, ...]


def slips_of(a: int, m: int) -> Iterator[Slip]:
    """The slips that can be made with a least residue a, in the order of the method."""
    if a == 0 or m == 1:
        return iter(())
    mistakes = _MISTAKES if gcd(a, m) == 1 else _MISTAKES_WITHOUT_INVERSE
    return wrong_sets(mistakes, _Work(a, m, euclid_steps(a, m)))


def _product(w: _Work, wrong: int) -> Relation:
    """a times the wrong inverse, and what it leaves: 7 · 4 = 28 ≡ 2, or 2 · 1 ≡ 2."""
    factors, value = dotted((w.a, wrong)), w.a * wrong
    if value < w.m:
        return congruent(factors, value)
    return calculated_or_congruent(factors, value, w.m)


def _inverse_sign(w: _Work) -> SetFound:
    wrong = -pow(w.a, -1, w.m) % w.m
    return (wrong,), say(
        "Multiply to check: ${a} · {wrong} = {product}$ is congruent to $-1$ modulo {m}, not to 1. "
        "Look for a lost sign on the way back.",
        a=w.a,
        wrong=wrong,
        product=w.a * wrong,
        m=w.m,
    )


def _opposite_taken(w: _Work) -> SetFound:
    return (w.m - w.a,), say(
        "{wrong} is the opposite of {a}: the sum ${a} + {wrong}$ is congruent to 0. An inverse "
        "gives the **product** 1.",
        a=w.a,
        wrong=w.m - w.a,
    )


def _coefficient_of_modulus(w: _Work) -> SetFound:
    if len(w.rows) < 2:
        return None
    wrong = w.rows[-2].u % w.m
    return (wrong,), say(
        "If you read this off Euclid's algorithm: it gives two coefficients. The term with {m} "
        "vanishes modulo {m}, so look at the coefficient that multiplies {a}.",
        a=w.a,
        m=w.m,
    )


def _stopped_early(w: _Work) -> SetFound:
    if len(w.rows) < 3:
        return None
    wrong = w.rows[-3].v % w.m
    return (wrong,), say(
        "Multiply to check: ${product} (mod {m})$. If you stopped at the remainder {r} in Euclid's "
        "algorithm, go on until the remainder is 1.",
        r=w.rows[-3].remainder,
        product=_product(w, wrong),
        m=w.m,
    )


def _prime_modulus_assumed(w: _Work) -> SetFound:
    if w.m > _FERMAT or is_prime(w.m):
        return None
    wrong = pow(w.a, w.m - 2, w.m)
    return (wrong,), say(
        "If you took ${a}^{e}$: that is the inverse when the modulus is prime (Fermat), and {m} is "
        "not prime. Multiply to check: ${a} · {wrong} ≡ {left} (mod {m})$.",
        a=w.a,
        e=w.m - 2,
        m=w.m,
        wrong=wrong,
        left=w.a * wrong % w.m,
    )


def _whole_numbers_only(w: _Work) -> SetFound:
    if w.a == 1:
        return None
    return (), say(
        "No whole number times {a} **is** 1, but the product only has to be **congruent** to 1 "
        "modulo {m}. Find $gcd({a}, {m})$.",
        a=w.a,
        m=w.m,
    )


def _common_divisor_untested(w: _Work) -> SetFound:
    wrong = (w.rows[-2].v if len(w.rows) > 1 else 1) % w.m
    return (wrong,), say(
        "Multiply to check: ${product} (mod {m})$. With which remainder does Euclid's algorithm "
        "end?",
        product=_product(w, wrong),
        m=w.m,
    )


def _divided_by_common_divisor(w: _Work) -> SetFound:
    d = gcd(w.a, w.m)
    a1, m1 = w.a // d, w.m // d
    return (pow(a1, -1, m1),), say(
        "If you divided {a} and {m} by {d} and inverted {a1} modulo {m1}: in ${a}y ≡ 1 (mod {m})$ "
        "the 1 would have to be divided by {d} too.",
        a=w.a,
        m=w.m,
        d=d,
        a1=a1,
        m1=m1,
    )


_MISTAKES: dict[str, Callable[[_Work], SetFound]] = {
    "coefficient-of-modulus": _coefficient_of_modulus,
    "stopped-early": _stopped_early,
    "inverse-sign": _inverse_sign,
    "opposite-taken": _opposite_taken,
    "prime-modulus-assumed": _prime_modulus_assumed,
    "whole-numbers-only": _whole_numbers_only,
}
"""Where the inverse exists, in the order of the method."""

_MISTAKES_WITHOUT_INVERSE: dict[str, Callable[[_Work], SetFound]] = {
    "common-divisor-untested": _common_divisor_untested,
    "divided-by-common-divisor": _divided_by_common_divisor,
}
"""Where it does not."""
