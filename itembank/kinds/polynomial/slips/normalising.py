"""Slips before anything is solved: signs, the leading coefficient, division.

Notation as in `work`: w the true work, m the modulus, f = left - right.
"""

from math import gcd

from itembank.kinds.mistakes import SetFound
from itembank.kinds.polynomial.slips.work import Work, residues_of, solutions_of, told
from itembank.kinds.wording import FITS_ON_THE_BOARD
from itembank.languages import Said, say
from itembank.maths.polynomials import reduced, value
from itembank.notation.building import polynomial


def constant_sign(w: Work) -> SetFound:
    if not w.f[0] % w.m:
        return None
    mistaken = (-w.f[0], *w.f[1:])
    wrong = solutions_of(mistaken, w)
    if wrong == ():
        return wrong, say(
            "There are solutions. If you met ${mistaken} ≡ 0 (mod {m})$, check the sign of the "
            "constant term: it changes when the term crosses to the other side, and only then.",
            mistaken=polynomial(mistaken),
            m=w.m,
        )
    said = say(
        "If you solved ${mistaken} ≡ 0 (mod {m})$, check the sign of the constant term: it changes "
        "when the term crosses to the other side, and only then.",
        mistaken=polynomial(mistaken),
        m=w.m,
    )
    failing = w.failing(wrong)
    return told(wrong, said if failing is None else (said, _not_a_solution(w, failing)))


def leading_coefficient_ignored(w: Work) -> SetFound:
    f = reduced(w.f, w.m)
    if len(f) < 2 or f[-1] == 1:
        return None
    a = w.f[len(f) - 1]
    if gcd(a, w.m) == 1:
        said = say(
            "If you solved as if the leading coefficient were 1: it is ${a}$. Multiply every "
            "coefficient by the inverse of ${a}$ first.",
            a=a,
        )
    else:
        said = say(
            "If you solved as if the leading coefficient were 1: it is ${a}$, which has no inverse "
            "modulo {m}. It has to stay, or the congruence and its modulus are divided together.",
            a=a,
            m=w.m,
        )
    return told(solutions_of((*f[:-1], 1), w), said)


def modulus_kept(w: Work) -> SetFound:
    """All coefficients divided by a power of p, and the modulus not."""
    loc = next((loc for loc in w.locals if 0 < loc.v < loc.k), None)
    if loc is None:
        return None
    d = loc.p**loc.v
    kept = residues_of(tuple(c // d for c in w.f), loc.p, loc.k)
    if kept is None:
        return None
    return told(
        w.with_local({loc.p: kept}),
        say(
            "If you divided the coefficients by {d}, check the modulus {q}: ${d}u ≡ {d}v (mod "
            "{q})$ implies $u ≡ v (mod {q}/{d})$ only.",
            d=d,
            q=loc.q,
        ),
    )


def cancelled_x(w: Work) -> SetFound:
    f = reduced(w.f, w.m)
    if len(f) < 3 or f[0]:
        return None
    return told(
        solutions_of(f[1:], w),
        say(
            "If you divided by $x$: solutions in which $x$ itself is divisible by {m} or has a "
            "common factor with it get lost. Factor $x$ out instead.",
            m=w.m,
        ),
    )


def _not_a_solution(w: Work, r: int) -> Said:
    """A wrong residue substituted in f = left - right."""
    v, f = value(w.f, r), polynomial(w.f)
    if abs(v) > FITS_ON_THE_BOARD:
        return say("With $f(x) = {f}$, $f({r})$ is not divisible by {m}.", f=f, r=r, m=w.m)
    return say("With $f(x) = {f}$, $f({r}) = {v}$ is not divisible by {m}.", f=f, r=r, v=v, m=w.m)
