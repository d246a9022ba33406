"""Slips in finding the roots modulo one prime: squares, halves, signs, zero.

Notation as in `work`; a square completed modulo p is (x + h)^2 = s, h half of b.
"""

from math import isqrt
from typing import NamedTuple

from itembank.kinds.mistakes import SetFound
from itembank.kinds.polynomial.slips.work import Local, Work, quadratic, told
from itembank.languages import say
from itembank.notation.building import polynomial


def needs_a_square_number(w: Work) -> SetFound:
    if not quadratic(w) or w.f[1] or w.f[2] != 1 or not w.key:
        return None
    s = -w.f[0] % w.m
    if isqrt(s) ** 2 == s:
        return None
    return (), say(
        "{s} is not the square of an integer, but a congruence asks for less: one of {s}, {next}, "
        "{after}, … may be a square. List the squares modulo each prime.",
        s=s,
        next=s + w.m,
        after=s + 2 * w.m,
    )


class _Completed(NamedTuple):
    """(x + h)^2 = s modulo p, with two roots; s = root^2."""

    loc: Local
    b: int
    h: int
    s: int
    root: int


def _completed(w: Work, prime_only: bool = False) -> _Completed | None:
    """The last prime at which a square was completed and has two roots."""
    for loc in reversed(w.locals):
        sq = loc.square
        if sq and sq.root and len(loc.roots) == 2 and (loc.k == 1 or not prime_only):
            return _Completed(loc, sq.b, sq.h, sq.s, sq.root)
    return None


def one_square_root(w: Work) -> SetFound:
    at = _completed(w)
    if at is None:
        return None
    p = at.loc.p
    kept = (at.root - at.h) % p
    wrong = w.with_local({p: [r for r in at.loc.residues if r % p == kept]})
    return told(
        wrong,
        say(
            "Check the square roots of {s} modulo {p}: if $u$ is one of them, which other number "
            "has the same square?",
            p=p,
            s=at.s,
        ),
    )


def halved_in_the_integers(w: Work) -> SetFound:
    at = _completed(w, prime_only=True)
    if at is None or at.b % 2 == 0:
        return None
    p, h = at.loc.p, at.b // 2
    return told(
        w.with_local({p: {(at.root - h) % p, (-at.root - h) % p}}),
        say(
            "If you took {h} for half of {b} modulo {p}: half of {b} is the number that doubled "
            "gives {b} modulo {p}. Multiply {b} by the inverse of 2.",
            p=p,
            h=h,
            b=at.b,
        ),
    )


def shift_sign(w: Work) -> SetFound:
    at = _completed(w, prime_only=True)
    if at is None or not at.h:
        return None
    p, h = at.loc.p, at.h
    found = w.with_local({p: {(at.root + h) % p, (-at.root + h) % p}})
    if h < 0:
        return told(
            found,
            say(
                "Check the shift: ${y} ≡ ±u (mod {p})$ gives $x ≡ ±u + {h}$, so {h} is "
                "added, not subtracted.",
                y=polynomial((h, 1)),
                p=p,
                h=-h,
            ),
        )
    return told(
        found,
        say(
            "Check the shift: ${y} ≡ ±u (mod {p})$ gives $x ≡ ±u - {h}$, so {h} is "
            "subtracted, not added.",
            y=polynomial((h, 1)),
            p=p,
            h=h,
        ),
    )


def zero_taken_for_no_root(w: Work) -> SetFound:
    """Modulo a prime only a power of x is left, and 0 = 0 was read as "nothing"."""
    loc = next((loc for loc in w.locals if len(loc.g) > 2 and not any(loc.g[:-1])), None)
    if loc is None or not w.key:
        return None
    return (), say(
        "Modulo {p} the congruence is ${power} ≡ 0$. A right side of 0 is like any other: which "
        "residues have such a power divisible by {p}?",
        p=loc.p,
        power=polynomial((*(0,) * (len(loc.g) - 1), 1)),
    )
