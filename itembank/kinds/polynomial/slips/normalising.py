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
    said = say(
        "You solved ${mistaken} ≡ 0 (mod {m})$. The constant term changes its sign when it crosses "
        "to the other side, and only then.",
        mistaken=polynomial(mistaken),
        m=w.m,
    )
    failing = w.failing(wrong)
    return told(wrong, said if failing is None else (said, not_a_solution(w, failing)))


def leading_coefficient_ignored(w: Work) -> SetFound:
    f = reduced(w.f, w.m)
    if len(f) < 2 or f[-1] == 1:
        return None
    a = w.f[len(f) - 1]
    if gcd(a, w.m) == 1:
        said = say(
            "You solved as if the leading coefficient were 1. It is ${a}$: multiply every "
            "coefficient by the inverse of ${a}$ first.",
            a=a,
        )
    else:
        said = say(
            "You solved as if the leading coefficient were 1. It is ${a}$, which has no "
            "inverse modulo {m}: it has to stay, or the congruence and its modulus are divided "
            "together.",
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
            "You divided the coefficients by {d} but not the modulus {q}. From ${d}u ≡ {d}v (mod "
            "{q})$ follows only $u ≡ v (mod {rest})$, so more residues modulo {q} are solutions.",
            d=d,
            q=loc.q,
            rest=loc.q // d,
        ),
    )


def cancelled_x(w: Work) -> SetFound:
    f = reduced(w.f, w.m)
    if len(f) < 3 or f[0]:
        return None
    return told(
        solutions_of(f[1:], w),
        say(
            "You divided by $x$, and lost the solutions in which $x$ itself is divisible by {m} or "
            "has a common factor with it. Factor $x$ out instead of dividing by it.",
            m=w.m,
        ),
    )


def not_a_solution(w: Work, r: int) -> Said:
    """A wrong residue substituted in left - right."""
    v = value(w.f, r)
    if abs(v) > FITS_ON_THE_BOARD:
        return say("Substitute {r}: the two sides differ by no multiple of {m}.", r=r, m=w.m)
    return say(
        "Substitute {r}: the two sides differ by ${v}$, which {m} does not divide.",
        r=r,
        v=abs(v),
        m=w.m,
    )
