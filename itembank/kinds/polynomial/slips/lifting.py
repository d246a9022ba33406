"""Slips in lifting roots modulo p to roots modulo p^k.

Notation as in `work`; a root r modulo p^j lifts to r + p^j t.
"""

from collections.abc import Callable

from itembank.kinds.mistakes import MOST, WRITTEN_OUT, SetFound
from itembank.kinds.polynomial.slips.work import (
    Local,
    Work,
    meaning_of_f,
    quadratic,
    residues_of,
    told,
)
from itembank.kinds.wording import FITS_ON_THE_BOARD
from itembank.languages import Said, say
from itembank.maths.polynomials import Poly, derivative, value, value_mod
from itembank.notation.building import applied, equal, polynomial
from itembank.notation.tree import Math


def _to_lift(w: Work) -> Local | None:
    """The first prime power, of those with nothing to divide out, at which a root is lifted."""
    return next((loc for loc in w.locals if loc.k > 1 and not loc.v and loc.roots), None)


def _value_shown(w: Work, r: int) -> Math:
    """f(r) = 15, or f(r) alone where the value is long."""
    v = value(w.f, r)
    at_r = applied("f", r)
    return equal(at_r, v) if abs(v) <= FITS_ON_THE_BOARD else at_r


def not_lifted(w: Work) -> SetFound:
    loc = _to_lift(w)
    if loc is None:
        return None
    failing = next((r for r in loc.roots if value_mod(w.f, r, loc.q)), None)
    if failing is None:
        return None
    return told(
        w.with_local({loc.p: loc.roots}),
        (
            say(
                "A root modulo {p} need not be a root modulo {q}: {value} is divisible by {p}, but "
                "not by {q}. Each root modulo {p} must first be lifted.",
                p=loc.p,
                q=loc.q,
                value=_value_shown(w, failing),
            ),
            *meaning_of_f(w),
        ),
    )


def every_lift_kept(w: Work) -> SetFound:
    loc = _to_lift(w)
    if loc is None or len(loc.roots) * loc.q // loc.p > WRITTEN_OUT:
        return None
    return told(
        w.with_local({loc.p: [x for x in range(loc.q) if x % loc.p in loc.roots]}),
        (
            say(
                "Not every number modulo {q} that is a root modulo {p} is a root: of the lifts $r "
                "+ {p}t$ of a root $r$ only those stay for which $f(r)/{p} + f'(r)·t ≡ 0 (mod "
                "{p})$.",
                p=loc.p,
                q=loc.q,
            ),
            *meaning_of_f(w),
        ),
    )


# ------------------------------------------------------------ the last lift gone wrong


def _wrong_last_lift(
    w: Work, loc: Local, t_of: Callable[[int, int], int | None]
) -> list[int] | None:
    """Residues modulo p^k when the last lift takes t = t_of(f(r)/p^(k-1), r).

    None if a root is singular, or if t_of has no value there.
    """
    p, below = loc.p, loc.q // loc.p
    slope = derivative(w.f)
    roots = residues_of(w.f, p, loc.k - 1) or ()
    if not roots or any(not value_mod(slope, r, p) for r in roots):
        return None
    lifted = []
    for r in roots:
        t = t_of(value(w.f, r) // below % p, r)
        if t is None:
            return None
        lifted.append(r + below * (t % p))
    return lifted


def lift_sign(w: Work) -> SetFound:
    loc = _to_lift(w)
    if loc is None:
        return None
    p, slope = loc.p, derivative(w.f)
    wrong = _wrong_last_lift(w, loc, lambda quotient, r: quotient * pow(value(slope, r), -1, p))
    failing = next((r for r in wrong or () if value_mod(w.f, r, loc.q)), None)
    if wrong is None or failing is None:
        return None
    return told(
        w.with_local({p: wrong}),
        (
            say(
                "Check the lifted root: {value} is not divisible by {q}. The lift solves "
                "$f(r)/{below} + f'(r)·t ≡ 0 (mod {p})$, so $t$ is **minus** $f(r)/{below}$ "
                "divided by $f'(r)$.",
                below=loc.q // p,
                p=p,
                value=_value_shown(w, failing),
                q=loc.q,
            ),
            *meaning_of_f(w),
        ),
    )


def _lifted_with(w: Work, loc: Local, wrong_slope: Poly) -> tuple[int, ...] | None:
    """The combined residues when wrong_slope stands for f' in the last lift."""

    def t(quotient: int, r: int) -> int | None:
        s = value_mod(wrong_slope, r, loc.p)
        return -quotient * pow(s, -1, loc.p) if s else None

    wrong = _wrong_last_lift(w, loc, t)
    return None if wrong is None else w.with_local({loc.p: wrong})


def power_not_brought_down(w: Work) -> SetFound:
    """Each x^n differentiated to x^(n-1)."""
    loc = _to_lift(w)
    if loc is None:
        return None
    wrong_slope = w.f[1:]
    return told(
        _lifted_with(w, loc, wrong_slope),
        (
            say(
                "If you lifted with ${wrong}$ in place of the derivative: each exponent comes down "
                "as a factor, so $f'(x) = {right}$.",
                wrong=polynomial(wrong_slope),
                right=polynomial(derivative(w.f)),
            ),
            *meaning_of_f(w),
        ),
    )


def derivative_not_evaluated(w: Work) -> SetFound:
    """The coefficients of f' added up, as if x were 1, at every root."""
    loc = _to_lift(w)
    if loc is None:
        return None
    slope = derivative(w.f)
    frozen = sum(slope)
    return told(
        _lifted_with(w, loc, (frozen,)),
        (
            say(
                "If you lifted every root with the number ${frozen}$ for the derivative: evaluate "
                "$f'(x) = {slope}$ at each root $r$.",
                frozen=frozen,
                slope=polynomial(slope),
            ),
            *meaning_of_f(w),
        ),
    )


# ------------------------------------------------------------ singular roots


def _singular(w: Work) -> tuple[Local, tuple[int, ...]] | None:
    """The first prime power to lift that has singular roots modulo p, and those."""
    slope = derivative(w.f)
    for loc in w.locals:
        found = tuple(r for r in loc.roots if not value_mod(slope, r, loc.p))
        if loc.k > 1 and not loc.v and found:
            return loc, found
    return None


def singular_taken_as_simple(w: Work) -> SetFound:
    case = _singular(w)
    if case is None:
        return None
    loc, roots = case
    kept = [x for x in loc.residues if x % loc.p not in roots]
    lifts = {r: [x for x in loc.residues if x % loc.p == r] for r in roots}
    one_each = {r: min(residues) for r, residues in lifts.items() if residues}
    if not one_each:
        return None
    return told(
        w.with_local({loc.p: [*kept, *one_each.values()]}),
        (_one_lift_given(min(one_each), loc.p), *meaning_of_f(w)),
    )


def _one_lift_given(r: int, p: int) -> Said:
    if p == 2:
        return say(
            "Check how many lifts the root {r} modulo {p} has: $f'({r}) ≡ 0 (mod {p})$, so it is "
            "singular, and at each step either both of its lifts are roots or neither is.",
            r=r,
            p=p,
        )
    return say(
        "Check how many lifts the root {r} modulo {p} has: $f'({r}) ≡ 0 (mod {p})$, so it is "
        "singular, and at each step either all of its lifts are roots or none is.",
        r=r,
        p=p,
    )


def singular_discarded(w: Work) -> SetFound:
    case = _singular(w)
    if case is None:
        return None
    loc, roots = case
    return told(
        w.with_local({loc.p: [x for x in loc.residues if x % loc.p not in roots]}),
        (
            say(
                "That $f'({r}) ≡ 0 (mod {p})$ does not rule out lifts of the root {r} modulo {p}: "
                "test whether {value} is divisible by {square}.",
                r=roots[0],
                p=loc.p,
                value=_value_shown(w, roots[0]),
                square=loc.p**2,
            ),
            *meaning_of_f(w),
        ),
    )


def only_unshifted_tested(w: Work) -> SetFound:
    """Of the lifts r + pt of a singular root only r itself followed, up to p^k."""
    case = _singular(w)
    if case is None or case[0].k < 3:
        return None
    loc, roots = case
    kept = {x for x in loc.residues if x % loc.p not in roots}
    if len(roots) * loc.p > MOST:
        return None
    for r in roots:
        if not value_mod(w.f, r, loc.q):
            kept |= {r + loc.q // loc.p * t for t in range(loc.p)}
    r = next((r for r in roots if value_mod(w.f, r, loc.q)), roots[0])
    return told(
        w.with_local({loc.p: kept}),
        say(
            "If you tested {r} alone at each step: all the lifts $r + {p}t$ of a singular root go "
            "on to the next power, and each of them has to be tested there.",
            r=r,
            p=loc.p,
        ),
    )


# ------------------------------------------------------------ powers of 2


def _squares_modulo_power_of_two(w: Work) -> Local | None:
    """x^2 = a modulo 2^k, k >= 3, as one of the factors; a odd."""
    if not quadratic(w) or w.f[1] or w.f[0] % 2 == 0 or w.f[2] % 2 == 0:
        return None
    return next((loc for loc in w.locals if loc.p == 2 and loc.k >= 3), None)


def odd_rule_at_two(w: Work) -> SetFound:
    loc = _squares_modulo_power_of_two(w)
    if loc is None or len(loc.residues) != 4:
        return None
    r = loc.residues[0]
    return told(
        w.with_local({2: (r, loc.q - r)}),
        say(
            "Modulo {q} the rule for odd primes, two square roots, does not hold: modulo $2^k$ "
            "with $k ≥ 3$ an odd square has more.",
            q=loc.q,
        ),
    )


def tested_modulo_four_only(w: Work) -> SetFound:
    loc = _squares_modulo_power_of_two(w)
    if loc is None or loc.q > MOST:
        return None
    roots = residues_of(w.f, 2, 2) or ()
    if not roots:
        return None
    return told(
        w.with_local({2: [x for x in range(loc.q) if x % 4 in roots]}),
        say(
            "If you tested modulo 4 only: squares of odd numbers are 1 modulo 8, so the test for "
            "$2^k$ with $k ≥ 3$ is made modulo 8, and each lift must be checked."
        ),
    )
