"""Slips in inverting the exponent."""

from collections.abc import Callable
from math import gcd

from itembank.kinds.mistakes import SetFound
from itembank.kinds.polynomial.slips.work import told
from itembank.kinds.power_root.slips.work import PowerWork
from itembank.kinds.power_root.steps import InvertExponent
from itembank.languages import say


def _inverted_with(
    w: PowerWork, n: Callable[[InvertExponent], int]
) -> tuple[InvertExponent, int, tuple[int, ...] | None] | None:
    """a^u with the inverse u of the exponent modulo a wrong number n; the step, u, the answer."""
    step = w.step(InvertExponent)
    if step is None:
        return None
    wrong = n(step)
    if wrong < 2 or wrong == step.phi or gcd(w.k, wrong) != 1:
        return None
    u = pow(w.k, -1, wrong)
    return step, u, _in_place(w, step, pow(step.a, u, step.q))


def _in_place(w: PowerWork, step: InvertExponent, root: int) -> tuple[int, ...] | None:
    """The answer with another root modulo the step's modulus."""
    if step.q == w.m:
        return (root,)
    return w.with_local(step.factors[0][0], [root])


def exponent_inverted_modulo_m(w: PowerWork) -> SetFound:
    made = _inverted_with(w, lambda step: step.q)
    if made is None:
        return None
    step, u, wrong = made
    return told(
        wrong,
        say(
            "If you took {u} for the exponent, the inverse of {k} modulo {q}: exponents count "
            "modulo $φ({q})$, and that is where {k} has to be inverted.",
            u=u,
            k=w.k,
            q=step.q,
        ),
    )


def phi_of_a_prime(w: PowerWork) -> SetFound:
    made = _inverted_with(w, lambda step: step.q - 1)
    if made is None:
        return None
    step, _u, wrong = made
    return told(
        wrong,
        say(
            "If you inverted the exponent modulo ${q} - 1$, as for a prime modulus: {q} is not "
            "prime. Use $φ({q})$.",
            q=step.q,
        ),
    )


def power_for_root(w: PowerWork) -> SetFound:
    step = w.step(InvertExponent)
    if step is None:
        return None
    return told(
        _in_place(w, step, pow(step.a, w.k, step.q)),
        say(
            "If you raised {a} to the power {k}: the congruence goes the other way. A number is "
            "wanted whose power with the exponent {k} is {a}.",
            a=step.a,
            k=w.k,
        ),
    )


def base_inverted(w: PowerWork) -> SetFound:
    step = w.step(InvertExponent)
    if step is None:
        return None
    return told(
        _in_place(w, step, pow(step.a, -1, step.q)),
        say(
            "If you took the inverse of {a} modulo {q}: it is the **exponent** {k} that has to be "
            "inverted, modulo $φ({q})$.",
            a=step.a,
            q=step.q,
            k=w.k,
        ),
    )
