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
class _Work:
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
    return wrong_values(_MISTAKES, _Work(a, phi.m, t, phi), least=1)


def _phi_for_order(w: _Work) -> ValueFound:
    return w.phi.n, say(
        "${a}^{n} ≡ 1 (mod {m})$ is right, but the order is the **least** such exponent: try the "
        "proper divisors of {n}.",
        m=w.m,
        n=w.phi.n,
        a=w.a,
    )


def _modulus_minus_one(w: _Work) -> ValueFound:
    if w.phi.n == w.m - 1:
        return None
    return w.m - 1, say(
        "If you took ${m} - 1$ for $φ({m})$: that is right for a prime, and {m} is not prime.",
        m=w.m,
    )


def _phi_of_prime_power(w: _Work) -> ValueFound:
    p, k = next(((p, k) for p, k in w.phi.factors if k > 1), (0, 0))
    if not p:
        return None
    return prod(p**k - 1 for p, k in w.phi.factors), say(
        "If you took ${q} - 1$ for $φ({q})$: all multiples of {p} below ${q}$ have a factor in "
        "common with it.",
        p=p,
        q=power(p, k),
    )


def _phi_of_equal_factors(w: _Work) -> ValueFound:
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


def _stopped_at_minus_one(w: _Work) -> ValueFound:
    if w.odd or pow(w.a, w.t // 2, w.m) != w.m - 1:
        return None
    return w.t // 2, say(
        "The power with this exponent is $-1$ modulo {m}, not 1 yet.",
        m=w.m,
    )


def _returned_to_the_base(w: _Work) -> ValueFound:
    return w.t + 1, say(
        "The power with this exponent is the base {a} itself. The order is an exponent for which "
        "the power is **1**.",
        a=w.a,
    )


def _not_the_least(w: _Work) -> ValueFound:
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


def _local_orders(w: _Work) -> list[tuple[int, int]]:
    return [(p**k, order(w.a, p**k)) for p, k in w.phi.factors]


def _one_prime_power_only(w: _Work) -> ValueFound:
    if len(w.phi.factors) < 2:
        return None
    q, t = max(_local_orders(w), key=lambda found: found[1])
    return t, say(
        "{t} is the order modulo {q}. Modulo {m} the power has to be 1 for every prime power of "
        "{m} at once.",
        t=t,
        q=q,
        m=w.m,
    )


def _orders_multiplied(w: _Work) -> ValueFound:
    if len(w.phi.factors) < 2:
        return None
    orders = _local_orders(w)
    return prod(t for _q, t in orders), say(
        "If you multiplied the orders modulo {moduli}: a power is 1 modulo all of them as soon as "
        "its exponent is a **common multiple**, and the least one is wanted.",
        moduli=each(q for q, _t in orders),
    )


_MISTAKES: dict[str, Callable[[_Work], ValueFound]] = {
    "modulus-minus-one": _modulus_minus_one,
    "phi-of-prime-power": _phi_of_prime_power,
    "phi-of-equal-factors": _phi_of_equal_factors,
    "phi-for-order": _phi_for_order,
    "stopped-at-minus-one": _stopped_at_minus_one,
    "not-the-least": _not_the_least,
    "one-prime-power-only": _one_prime_power_only,
    "orders-multiplied": _orders_multiplied,
    "returned-to-the-base": _returned_to_the_base,
}
"""Where there is an order, in the order of the method."""
