"""Student errors in finding an order, each carried through to its answer.

One function a slip, named for the mistake: it takes the true work and returns the wrong
order with feedback, or None where the mistake cannot be made. The catalogue is common
practice of the trade.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import prod

from itembank.kinds.base import Slip, slip
from itembank.kinds.mistakes import ValueFound, wrong_values
from itembank.kinds.order.steps import Phi
from itembank.languages import each, say
from itembank.maths.groups import order
from itembank.notation.building import power


@dataclass(frozen=True)
class Work:
    """a modulo m of order t, and phi(m)."""

    a: int
    m: int
    t: int
    phi: Phi

    @property
    def odd(self) -> bool:
        return self.t % 2 == 1


def without_order(a: int, phi: Phi) -> Iterator[Slip]:
    """The slip where a and the modulus have a factor in common."""
    said = say(
        "Euler's theorem needs a base coprime to {m}. Find $gcd({a}, {m})$.",
        a=a,
        m=phi.m,
    )
    yield slip("common-factor-untested", (phi.n,), said)


def of_the_order(a: int, t: int, phi: Phi) -> Iterator[Slip]:
    """The slips where t is the order of the least residue a, in the order of the method."""
    return wrong_values(MISTAKES, Work(a, phi.m, t, phi), least=1)


def phi_for_order(w: Work) -> ValueFound:
    return w.phi.n, say(
        "${a}^{n} ≡ 1 (mod {m})$ is right, but the order is the **least** such exponent: try the "
        "proper divisors of {n}.",
        m=w.m,
        n=w.phi.n,
        a=w.a,
    )


def modulus_minus_one(w: Work) -> ValueFound:
    if w.phi.n == w.m - 1:
        return None
    return w.m - 1, say(
        "If you took ${m} - 1$ for $φ({m})$: that is right for a prime, and {m} is not prime.",
        m=w.m,
    )


def phi_of_prime_power(w: Work) -> ValueFound:
    p, k = next(((p, k) for p, k in w.phi.factors if k > 1), (0, 0))
    if not p:
        return None
    return prod(p**k - 1 for p, k in w.phi.factors), say(
        "If you took ${q} - 1$ for $φ({q})$: all multiples of {p} below ${q}$ have a factor in "
        "common with it.",
        p=p,
        q=power(p, k),
    )


def phi_of_equal_factors(w: Work) -> ValueFound:
    p, k = next(((p, k) for p, k in w.phi.factors if k > 1), (0, 0))
    if not p:
        return None
    return prod((p - 1) ** k for p, k in w.phi.factors), say(
        "If you took $({p} - 1)^{k}$ for $φ({q})$: φ of a product is the product of the φ only for "
        "coprime factors.",
        p=p,
        k=k,
        q=power(p, k),
    )


def stopped_at_minus_one(w: Work) -> ValueFound:
    if w.odd or pow(w.a, w.t // 2, w.m) != w.m - 1:
        return None
    return w.t // 2, say(
        "The power with this exponent is $-1$ modulo {m}, not 1 yet.",
        m=w.m,
    )


def returned_to_the_base(w: Work) -> ValueFound:
    return w.t + 1, say(
        "The power with this exponent is the base {a} itself. The order is an exponent for which "
        "the power is **1**.",
        a=w.a,
    )


def not_the_least(w: Work) -> ValueFound:
    """A multiple of t below phi(m) that divides it."""
    q = next((q for q, _e in w.phi.n_factors if w.phi.n // w.t % q == 0), 0)
    if not q or w.t * q == w.phi.n:
        return None
    return w.t * q, say(
        "${a}^{e} ≡ 1 (mod {m})$ is right, but {e} is not the least such exponent: divide it by "
        "its primes and test again.",
        a=w.a,
        e=w.t * q,
        m=w.m,
    )


def local_orders(w: Work) -> list[tuple[int, int]]:
    return [(p**k, order(w.a, p**k)) for p, k in w.phi.factors]


def one_prime_power_only(w: Work) -> ValueFound:
    if len(w.phi.factors) < 2:
        return None
    q, t = max(local_orders(w), key=lambda found: found[1])
    return t, say(
        "{t} is the order modulo {q}. Modulo {m} the power has to be 1 for every prime power of "
        "{m} at once.",
        t=t,
        q=q,
        m=w.m,
    )


def orders_multiplied(w: Work) -> ValueFound:
    if len(w.phi.factors) < 2:
        return None
    orders = local_orders(w)
    return prod(t for _q, t in orders), say(
        "If you multiplied the orders modulo {moduli}: a power is 1 modulo all of them as soon as "
        "its exponent is a **common multiple**, and the least one is wanted.",
        moduli=each(q for q, _t in orders),
    )


MISTAKES: dict[str, Callable[[Work], ValueFound]] = {
    "modulus-minus-one": modulus_minus_one,
    "phi-of-prime-power": phi_of_prime_power,
    "phi-of-equal-factors": phi_of_equal_factors,
    "phi-for-order": phi_for_order,
    "stopped-at-minus-one": stopped_at_minus_one,
    "not-the-least": not_the_least,
    "one-prime-power-only": one_prime_power_only,
    "orders-multiplied": orders_multiplied,
    "returned-to-the-base": returned_to_the_base,
}
"""Where there is an order, in the order of the method."""
