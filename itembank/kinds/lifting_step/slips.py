"""Student errors in one lifting step, each carried through to its answer.

One function a slip, named for the mistake: from the true work to the wrong residues and the
feedback, or None where the mistake cannot be made. The catalogue is common practice of the
trade, in the order of the method.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from itembank.kinds.base import Feedback, Slip
from itembank.kinds.mistakes import MOST, WRITTEN_OUT, SetFound
from itembank.kinds.wording import FITS_ON_THE_BOARD
from itembank.kinds.wrong_solutions import by_name, wrong_solutions
from itembank.languages import Said, say
from itembank.maths.polynomials import Poly, derivative, value, value_mod
from itembank.notation.building import polynomial
from itembank.values.answer import ResidueSet


@dataclass(frozen=True)
class _LiftWork:
    """The true work: the root r of f modulo q = p^k, to be lifted to m = pq; and the key."""

    f: Poly
    r: int
    p: int
    q: int
    key: ResidueSet

    @property
    def m(self) -> int:
        return self.p * self.q

    @property
    def quotient(self) -> int:
        """f(r)/q modulo p."""
        return value(self.f, self.r) // self.q % self.p

    @property
    def slope(self) -> int:
        """f'(r) modulo p."""
        return value_mod(derivative(self.f), self.r, self.p)

    def digit(self, slope: int) -> int:
        """The t with quotient + slope t = 0 (mod p).  Requires a slope that is a unit."""
        return -self.quotient * pow(slope, -1, self.p) % self.p

    def lifted_by(self, t: int) -> int:
        return self.r + self.q * (t % self.p)

    def failing(self, x: int) -> Feedback:
        """A sentence that puts a wrong residue into f; none if it is right."""
        v, f = value(self.f, x), polynomial(self.f)
        if v % self.m == 0:
            return ()
        if abs(v) > FITS_ON_THE_BOARD:
            said = say("With $f(x) = {f}$, $f({r})$ is not divisible by {m}.", f=f, r=x, m=self.m)
        else:
            said = say(
                "With $f(x) = {f}$, $f({r}) = {v}$ is not divisible by {m}.",
                f=f,
                r=x,
                v=v,
                m=self.m,
            )
        return (said,)


def _not_lifted(w: _LiftWork) -> SetFound:
    if w.r in w.key:
        return None
    return (w.r,), (
        say(
            "A root modulo {q} need not be a root modulo {m}: it must make the sides congruent "
            "modulo {m}.",
            q=w.q,
            m=w.m,
        ),
        *w.failing(w.r),
    )


def _every_lift_kept(w: _LiftWork) -> SetFound:
    if w.p > WRITTEN_OUT:
        return None
    wrong = range(w.r, w.m, w.q)
    failing = next((x for x in wrong if x not in w.key), w.r)
    return wrong, (
        say(
            "Check every number modulo {m} that is {r} modulo {q}: only those are roots for which "
            "the condition on $t$ holds.",
            m=w.m,
            r=w.r,
            q=w.q,
        ),
        *w.failing(failing),
    )


def _lift_sign(w: _LiftWork) -> SetFound:
    if not w.slope:
        return None
    wrong = w.lifted_by(-w.digit(w.slope))
    return (wrong,), (
        say(
            "Check the sign: $t$ solves $f({r})/{q} + f'({r})·t ≡ 0 (mod {p})$, so it is **minus** "
            "$f({r})/{q}$ divided by $f'({r})$.",
            r=w.r,
            q=w.q,
            p=w.p,
        ),
        *w.failing(wrong),
    )


def _lifted_with(w: _LiftWork, slope: int, said: Said) -> SetFound:
    """The lift with another number for the derivative."""
    if not w.slope or not slope % w.p:
        return None
    wrong = w.lifted_by(w.digit(slope))
    return (wrong,), (said, *w.failing(wrong))


def _power_not_brought_down(w: _LiftWork) -> SetFound:
    shifted = w.f[1:]
    return _lifted_with(
        w,
        value(shifted, w.r),
        say(
            "If you lifted with ${wrong}$ in place of the derivative: each exponent comes down as "
            "a factor, so $f'(x) = {right}$.",
            wrong=polynomial(shifted),
            right=polynomial(derivative(w.f)),
        ),
    )


def _derivative_not_evaluated(w: _LiftWork) -> SetFound:
    """The coefficients of f' added up, as if x were 1."""
    slope = derivative(w.f)
    return _lifted_with(
        w,
        sum(slope),
        say(
            "If you used ${frozen}$ for the derivative: evaluate $f'(x) = {slope}$ at ${r}$.",
            frozen=sum(slope),
            slope=polynomial(slope),
            r=w.r,
        ),
    )


def _value_not_divided(w: _LiftWork) -> SetFound:
    """f(r) itself, in place of f(r)/p^k: modulo p it is 0."""
    if not w.slope or not w.quotient:
        return None
    return (w.r,), say(
        "If you solved $f({r}) + f'({r})·t ≡ 0 (mod {p})$, which leaves $t = 0$: divide $f({r})$ "
        "by {q} first.",
        r=w.r,
        p=w.p,
        q=w.q,
    )


def _step_of_one(w: _LiftWork) -> SetFound:
    """r + t in place of r + p^k t."""
    if not w.slope:
        return None
    return (w.r + w.digit(w.slope),), say(
        "If you added $t$ to {r}: the root is ${r} + {q}t$; modulo {q} it must stay {r}.",
        r=w.r,
        q=w.q,
    )


def _singular_taken_as_simple(w: _LiftWork) -> SetFound:
    if w.slope or not w.key:
        return None
    return (w.key.least() or 0,), _one_lift_given(w.r, w.p)


def _one_lift_given(r: int, p: int) -> Said:
    if p == 2:
        return say(
            "Check how many lifts there are: $f'({r}) ≡ 0 (mod 2)$, so the root is singular, and "
            "both lifts are roots, or neither is.",
            r=r,
        )
    return say(
        "Check how many lifts there are: $f'({r}) ≡ 0 (mod {p})$, so the root is singular, and all "
        "its lifts are roots, or none is.",
        r=r,
        p=p,
    )


def _singular_discarded(w: _LiftWork) -> SetFound:
    if w.slope or not w.key:
        return None
    return (), say(
        "That $f'({r}) ≡ 0 (mod {p})$ does not rule out lifts: test whether $f({r})$ is divisible "
        "by {m}.",
        r=w.r,
        p=w.p,
        m=w.m,
    )


def _whole_modulus_solved(w: _LiftWork) -> SetFound:
    """All roots modulo p^(k+1), not only those above r."""
    if w.m > 2000:
        return None
    found = [x for x in range(w.m) if value_mod(w.f, x, w.m) == 0]
    other = next((x for x in found if x % w.q != w.r), None)
    if other is None or len(found) > MOST:
        return None
    return found, say(
        "{other} solves the first congruence, but it is not {r} modulo {q}. Only the roots above "
        "{r} are asked for.",
        other=other,
        r=w.r,
        q=w.q,
    )


_MISTAKES = by_name(
    _not_lifted,
    _every_lift_kept,
    _lift_sign,
    _power_not_brought_down,
    _derivative_not_evaluated,
    _value_not_divided,
    _step_of_one,
    _singular_taken_as_simple,
    _singular_discarded,
    _whole_modulus_solved,
)
"""In the order of the method."""

NAMES = tuple(_MISTAKES)
"""What specs and packages call them."""


def slips_of(f: Poly, r: int, p: int, k: int, letter: str, key: ResidueSet) -> Iterator[Slip]:
    """The slips that can be made here, in the order of the method, in the letter of the step."""
    work = _LiftWork(f, r, p, p**k, key)
    return wrong_solutions(_MISTAKES, work, work.m, letter)
