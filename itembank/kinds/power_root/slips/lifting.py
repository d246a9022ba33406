"""Slips in lifting roots modulo p to roots modulo p^e."""

from collections.abc import Callable

from itembank.kinds.mistakes import MOST, WRITTEN_OUT, SetFound
from itembank.kinds.polynomial.slips.work import Local, told
from itembank.kinds.power_root.lifting_steps import Lift, OddPower, SamePower
from itembank.kinds.power_root.slips.work import PowerWork
from itembank.kinds.power_root.wording import derivative
from itembank.languages import say
from itembank.maths.power_roots import PowerLift


def _to_lift(w: PowerWork) -> Local | None:
    """The first power of an odd prime at which a root other than 0 is lifted."""
    return next((loc for loc in w.locals if loc.k > 1 and loc.p > 2 and any(loc.roots)), None)


def not_lifted(w: PowerWork) -> SetFound:
    loc = _to_lift(w)
    if loc is None:
        return None
    wrong = w.with_local(loc.p, loc.roots)
    return told(
        wrong,
        (
            say(
                "A root modulo {p} need not be a root modulo {q}: each of them must first be "
                "lifted.",
                p=loc.p,
                q=loc.q,
            ),
            *w.refuted(wrong),
        ),
    )


def every_lift_kept(w: PowerWork) -> SetFound:
    loc = _to_lift(w)
    if loc is None or len(loc.roots) * loc.q // loc.p > WRITTEN_OUT:
        return None
    wrong = w.with_local(loc.p, [x for x in range(loc.q) if x % loc.p in loc.roots])
    return told(
        wrong,
        (
            say(
                "Not every number modulo {q} that is a root modulo {p} is a root: only some of the "
                "lifts of a root are roots again.",
                q=loc.q,
                p=loc.p,
            ),
            *w.refuted(wrong),
        ),
    )


_Digit = Callable[[Lift, PowerLift], int]


def _last_lift_with(w: PowerWork, digit: _Digit) -> tuple[Lift, tuple[int, ...] | None] | None:
    """The first lift of simple roots, and the answer when its last digits are these."""
    step = next((s for s in w.local_steps if isinstance(s, Lift) and s.p > 2 and not s.s), None)
    if step is None:
        return None
    q, lifted = step.q, set()
    for _r, chain, _last in step.chains:
        x = (chain[-1].r + step.p ** chain[-1].j * digit(step, chain[-1])) % q
        lifted |= {x, -x % q} if step.mirrored else {x}
    return step, w.with_local(step.p, lifted)


def lift_sign(w: PowerWork) -> SetFound:
    made = _last_lift_with(w, lambda step, row: -row.t % step.p)
    if made is None:
        return None
    step, wrong = made
    return told(
        wrong,
        (
            say(
                "Check the sign of the lift: $(r^{k} - {a})/{below} + {slope}·t ≡ 0 (mod {p})$, so "
                "$t$ is **minus** the quotient of the two.",
                k=w.k,
                a=step.a,
                below=step.q // step.p,
                slope=derivative(w.k),
                p=step.p,
            ),
            *w.refuted(wrong),
        ),
    )


def power_not_brought_down(w: PowerWork) -> SetFound:
    """r^(k-1) in place of the derivative k r^(k-1)."""

    def digit(step: Lift, row: PowerLift) -> int:
        return -row.quotient * pow(row.r, 1 - w.k, step.p) % step.p

    made = _last_lift_with(w, digit)
    if made is None:
        return None
    _step, wrong = made
    return told(
        wrong,
        (
            say(
                "If you lifted with ${wrong}$ in place of ${right}$: the exponent {k} comes down "
                "as a factor.",
                wrong=derivative(w.k, 1),
                right=derivative(w.k),
                k=w.k,
            ),
            *w.refuted(wrong),
        ),
    )


def singular_discarded(w: PowerWork) -> SetFound:
    step = w.step(SamePower)
    if step is None or not w.parts.key:
        return None
    return (), say(
        "That the derivative is divisible by {p} at the roots modulo {p} does not rule out lifts: "
        "test their powers modulo {deep}.",
        p=step.p,
        deep=step.p**step.deep,
    )


def singular_taken_as_simple(w: PowerWork) -> SetFound:
    """One lift of each root, where p^s of them go together."""
    step = w.step(SamePower)
    if step is None:
        return None
    loc = w.local(step.p)
    firsts = {x % step.p: x for x in reversed(loc.residues)}
    return told(
        w.with_local(step.p, firsts.values()),
        say(
            "Check how many lifts each root modulo {p} has: {p} divides the exponent {k}, so the "
            "lifts that are roots come in whole classes modulo a lower power of {p}.",
            p=step.p,
            k=w.k,
        ),
    )


def odd_rule_at_two(w: PowerWork) -> SetFound:
    step = w.step(OddPower)
    if step is None or not step.holds:
        return None
    loc = w.local(2)
    r = loc.residues[0]
    return told(
        w.with_local(2, {r, loc.q - r}),
        say(
            "Modulo {q} the rule for odd primes does not hold: modulo $2^e$ with $e ≥ 3$ an even "
            "exponent has more than two roots, or none.",
            q=loc.q,
        ),
    )


def tested_modulo_four_only(w: PowerWork) -> SetFound:
    step = w.step(OddPower)
    if step is None or step.e < 3 or step.a % 4 != 1:
        return None
    loc = w.local(2)
    if loc.q // 2 > MOST:
        return None
    return told(
        w.with_local(2, range(1, loc.q, 2)),
        say(
            "If you tested modulo 4 only: squares of odd numbers are 1 modulo 8, so the test for "
            "$2^e$ with $e ≥ 3$ is made modulo 8 at least, and each lift must be checked."
        ),
    )
