"""Student errors in finding an order, each carried through to its answer.

One function a slip, named for the mistake: it takes the true work and returns the wrong
order with feedback, or None where the mistake cannot be made. The catalogue is common
practice of the trade.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import gcd, prod

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
        "$φ({m}) = {n}$, but Euler's theorem needs a base coprime to {m}, and $gcd({a}, {m}) = "
        "{d}$.",
        a=a,
        m=phi.m,
        n=phi.n,
        d=gcd(a, phi.m),
    )
    yield slip("common-factor-untested", (phi.n,), said)


def of_the_order(a: int, t: int, phi: Phi) -> Iterator[Slip]:
    """The slips where t is the order of the least residue a, in the order of the method."""
    return wrong_values(MISTAKES, Work(a, phi.m, t, phi), least=1)


def phi_for_order(w: Work) -> ValueFound:
    return w.phi.n, say(
        "$φ({m}) = {n}$, and ${a}^{n} ≡ 1$ is true, but the order is the **least** such exponent: "
        "try the proper divisors of {n}.",
        m=w.m,
        n=w.phi.n,
        a=w.a,
    )


def modulus_minus_one(w: Work) -> ValueFound:
    if w.phi.n == w.m - 1:
        return None
    return w.m - 1, say(
        "${m} - 1$ is φ of a prime, and {m} is not prime: $φ({m}) = {n}$.", m=w.m, n=w.phi.n
    )


def phi_of_prime_power(w: Work) -> ValueFound:
    p, k = next(((p, k) for p, k in w.phi.factors if k > 1), (0, 0))
    if not p:
        return None
    return prod(p**k - 1 for p, k in w.phi.factors), say(
        "You took ${q} - 1$ for $φ({q})$. The multiples of {p} below ${q}$ are not coprime to it: "
        "$φ({q}) = {value}$.",
        p=p,
        q=power(p, k),
        value=p ** (k - 1) * (p - 1),
    )


def phi_of_equal_factors(w: Work) -> ValueFound:
    p, k = next(((p, k) for p, k in w.phi.factors if k > 1), (0, 0))
    if not p:
        return None
    return prod((p - 1) ** k for p, k in w.phi.factors), say(
        "You took $({p} - 1)^{k}$ for $φ({q})$. φ of a product is the product of the φ only for "
        "coprime factors: $φ({q}) = {value}$.",
        p=p,
        k=k,
        q=power(p, k),
        value=p ** (k - 1) * (p - 1),
    )


def stopped_at_minus_one(w: Work) -> ValueFound:
    if w.odd or pow(w.a, w.t // 2, w.m) != w.m - 1:
        return None
    return w.t // 2, say(
        "${a}^{h} ≡ -1 (mod {m})$: that is not yet 1. Squaring it gives 1.",
        a=w.a,
        h=w.t // 2,
        m=w.m,
    )


def returned_to_the_base(w: Work) -> ValueFound:
    return w.t + 1, say(
        "${a}^{e} ≡ {a} (mod {m})$: you went on until the base itself came back. The order is the "
        "exponent for which the power is **1**, one step before.",
        a=w.a,
        e=w.t + 1,
        m=w.m,
    )


def not_the_least(w: Work) -> ValueFound:
    """A multiple of t below phi(m) that divides it."""
    q = next((q for q, _e in w.phi.n_factors if w.phi.n // w.t % q == 0), 0)
    if not q or w.t * q == w.phi.n:
        return None
    return w.t * q, say(
        "${a}^{e} ≡ 1 (mod {m})$ is true, but {e} is not the least such exponent: divide it by its "
        "primes and test again.",
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
        "You multiplied the orders modulo {moduli}. A power is 1 modulo all of them as soon as its "
        "exponent is a **common multiple**: the least one is wanted.",
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
