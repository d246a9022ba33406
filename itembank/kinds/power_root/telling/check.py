"""The check of a worked solution: solutions substituted, every product reduced before the next."""

from collections.abc import Iterator

from itembank.kinds.chains import calculated
from itembank.kinds.polynomial.telling.phrases import short_modulus
from itembank.kinds.power_root.steps import Substitute
from itembank.kinds.powering import (
    as_congruence,
    chain_to_nearest,
    joined,
    to_least,
    worked_out_at_once,
)
from itembank.kinds.wording import FITS_ON_THE_BOARD, each_on_a_line
from itembank.languages import Told, counted, each, lead, say, shown
from itembank.maths.remainders import nearest_residue
from itembank.notation.building import dotted
from itembank.notation.tree import Math, Modulo, Number, Power

__all__ = ["substitute"]

_HIGHEST_EXPONENT = 12
"""Powers with a higher exponent take longer to check than to find."""


def substitute(step: Substitute) -> Iterator[Told]:
    k, m = step.k, step.modulus
    if each_on_a_line(step.solutions) or m > FITS_ON_THE_BOARD:
        yield lead("Check.")
        yield say(
            "Each of them, substituted, gives $x^{k} ≡ {a} (mod {m})$.",
            k=k,
            a=step.a,
            m=short_modulus(m, step.factors),
        )
        return
    half = [x for x in step.solutions if k % 2 or 2 * x <= m]
    if all(_at_once(x, k, m) for x in half):
        yield lead("Check.")
        values = each(_worked_out(x, step) for x in half)
        if not step.complete:
            yield say("For example, {values} (mod {m}).", values=values, m=m)
        elif len(half) < len(step.solutions):
            yield counted(
                "{values} (mod {m}), and the other solution is the negative of this one.",
                "{values} (mod {m}), and the other solutions are the negatives of these.",
                len(half),
                values=values,
                m=m,
            )
        else:
            yield say("{values} (mod {m}).", values=values, m=m)
    elif k <= _HIGHEST_EXPONENT:
        yield lead("Check.")
        if step.complete and len(step.solutions) == 1:
            yield say("With $x = {x}$:", x=half[-1])
        else:
            yield say("For example, with $x = {x}$:", x=half[-1])
        yield shown(*_power_step_by_step(half[-1], step))


def _at_once(x: int, k: int, m: int) -> bool:
    near = nearest_residue(x, m)
    return k == 2 or abs(near) < 2 or worked_out_at_once(near, k)


def _worked_out(x: int, step: Substitute) -> Math:
    """36^2 ≡ (-5)^2 = 25 ≡ 4."""
    k, m = step.k, step.modulus
    near = nearest_residue(x, m)
    chain = calculated(Power(Number(near), Number(k)), near**k, m)
    return chain if near == x else joined(Power(Number(x), Number(k)), chain)


def _power_step_by_step(x: int, step: Substitute) -> Iterator[Modulo]:
    """x^2, x^3, x^6, x^7: each squared or multiplied by x, and reduced."""
    k, m = step.k, step.modulus
    near = value = nearest_residue(x, m)
    exponent = 1
    for bit in bin(k)[3:]:
        exponent *= 2
        yield _row(x, exponent, Power(Number(value), Number(2)), value**2, step)
        value = nearest_residue(value**2, m)
        if bit == "1":
            exponent += 1
            yield _row(x, exponent, dotted((value, near)), value * near, step)
            value = nearest_residue(value * near, m)


def _row(x: int, exponent: int, made: Math, value: int, step: Substitute) -> Modulo:
    m, last = step.modulus, exponent == step.k
    chain = chain_to_nearest(made, value, m)
    if last:
        chain = to_least(chain, value, m)
    left = Power(Number(x), Number(exponent))
    if exponent == 2 and made == left:
        return as_congruence(chain, m)
    return as_congruence(joined(left, chain), m)
