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

FERMAT = 10**6
"""Largest modulus for which a student would try a power in place of Euclid's algorithm."""


@dataclass(frozen=True)
class Work:
    """A least residue a above 0, m, and the rows of Euclid's algorithm."""

    a: int
    m: int
    rows: tuple[EuclidStep, ...]


def slips_of(a: int, m: int) -> Iterator[Slip]:
    """The slips that can be made with a least residue a, in the order of the method."""
    if a == 0 or m == 1:
        return iter(())
    mistakes = MISTAKES if gcd(a, m) == 1 else MISTAKES_WITHOUT_INVERSE
    return wrong_sets(mistakes, Work(a, m, euclid_steps(a, m)))


def product(w: Work, wrong: int) -> Relation:
    """a times the wrong inverse, and what it leaves: 7 · 4 = 28 ≡ 2, or 2 · 1 ≡ 2."""
    factors, value = dotted((w.a, wrong)), w.a * wrong
    if value < w.m:
        return congruent(factors, value)
    return calculated_or_congruent(factors, value, w.m)


def inverse_sign(w: Work) -> SetFound:
    wrong = -pow(w.a, -1, w.m) % w.m
    return (wrong,), say(
        "${a} · {wrong} = {product} ≡ -1 (mod {m})$, so a sign was lost on the way back. Multiply "
        "to check: the product has to be congruent to 1.",
        a=w.a,
        wrong=wrong,
        product=w.a * wrong,
        m=w.m,
    )


def opposite_taken(w: Work) -> SetFound:
    return (w.m - w.a,), say(
        "{wrong} is the opposite of {a}: the sum ${a} + {wrong}$ is congruent to 0. An inverse "
        "gives the **product** 1.",
        a=w.a,
        wrong=w.m - w.a,
    )


def coefficient_of_modulus(w: Work) -> SetFound:
    if len(w.rows) < 2:
        return None
    wrong = w.rows[-2].u % w.m
    return (wrong,), say(
        "Euclid's algorithm gives two coefficients, and you took the one that multiplies {m}. "
        "Modulo {m} that term vanishes; the other one, which multiplies {a}, is the inverse.",
        a=w.a,
        m=w.m,
    )


def stopped_early(w: Work) -> SetFound:
    if len(w.rows) < 3:
        return None
    wrong = w.rows[-3].v % w.m
    return (wrong,), say(
        "You stopped at the remainder {r}: ${product} (mod {m})$. Go on until the remainder is 1.",
        r=w.rows[-3].remainder,
        product=product(w, wrong),
        m=w.m,
    )


def prime_modulus_assumed(w: Work) -> SetFound:
    if w.m > FERMAT or is_prime(w.m):
        return None
    wrong = pow(w.a, w.m - 2, w.m)
    return (wrong,), say(
        "You took ${a}^{e}$, which is the inverse when the modulus is prime (Fermat). {m} is not "
        "prime: ${a} · {wrong} ≡ {left} (mod {m})$.",
        a=w.a,
        e=w.m - 2,
        m=w.m,
        wrong=wrong,
        left=w.a * wrong % w.m,
    )


def whole_numbers_only(w: Work) -> SetFound:
    if w.a == 1:
        return None
    return (), say(
        "No whole number times {a} **is** 1, but the product only has to be **congruent** to 1 "
        "modulo {m}. As $gcd({a}, {m}) = 1$, there is such a number.",
        a=w.a,
        m=w.m,
    )


def common_divisor_untested(w: Work) -> SetFound:
    d = gcd(w.a, w.m)
    wrong = (w.rows[-2].v if len(w.rows) > 1 else 1) % w.m
    return (wrong,), say(
        "${product} (mod {m})$: Euclid's algorithm ends with the remainder {d} here, not with 1.",
        product=product(w, wrong),
        m=w.m,
        d=d,
    )


def divided_by_common_divisor(w: Work) -> SetFound:
    d = gcd(w.a, w.m)
    a1, m1 = w.a // d, w.m // d
    return (pow(a1, -1, m1),), say(
        "You divided {a} and {m} by {d} and inverted {a1} modulo {m1}. In ${a}y ≡ 1 (mod {m})$ the "
        "1 would have to be divided by {d} too, and it cannot be.",
        a=w.a,
        m=w.m,
        d=d,
        a1=a1,
        m1=m1,
    )


MISTAKES: dict[str, Callable[[Work], SetFound]] = {
    "coefficient-of-modulus": coefficient_of_modulus,
    "stopped-early": stopped_early,
    "inverse-sign": inverse_sign,
    "opposite-taken": opposite_taken,
    "prime-modulus-assumed": prime_modulus_assumed,
    "whole-numbers-only": whole_numbers_only,
}
"""Where the inverse exists, in the order of the method."""

MISTAKES_WITHOUT_INVERSE: dict[str, Callable[[Work], SetFound]] = {
    "common-divisor-untested": common_divisor_untested,
    "divided-by-common-divisor": divided_by_common_divisor,
}
"""Where it does not."""
