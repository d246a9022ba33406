"""Slips in completing the square, whether or not there is a root to be found.

Notation as in `work`; modulo an odd prime power q a quadratic is (x + h)^2 = s.
"""

from collections.abc import Callable, Iterable
from typing import NamedTuple

from itembank.kinds.mistakes import SetFound
from itembank.kinds.polynomial.slips.work import Local, Work, quadratic, told
from itembank.languages import say
from itembank.notation.building import polynomial

_TRIED = 2000
"""Up to this modulus a square root is looked for by trial."""


class _Square(NamedTuple):
    """(x + h)^2 = s modulo q."""

    q: int
    h: int
    s: int


def _squares(w: Work) -> list[tuple[Local, _Square]]:
    """The squares that are solved wrong: all that have no root, or else the last."""
    if not quadratic(w):
        return []
    odd = [loc for loc in w.locals if loc.p > 2 and w.f[2] % loc.p]
    unsolved = [loc for loc in odd if not loc.residues]
    last = [loc for loc in odd if len(loc.residues) == 2][-1:]
    return [(loc, _square(w, loc.q)) for loc in unsolved or last]


def _square(w: Work, q: int) -> _Square:
    c, b, a = w.f[:3]
    inverse = pow(a, -1, q)
    h = b * inverse * pow(2, -1, q) % q
    return _Square(q, h, (h * h - c * inverse) % q)


def _answer(w: Work, root: Callable[[_Square], int | None]) -> tuple[int, ...] | None:
    """Where x + h = ± u leads, with this u in place of the root."""
    changed: dict[int, Iterable[int]] = {}
    for loc, at in _squares(w):
        u = root(at)
        if u is None:
            return None
        changed[loc.p] = {(u - at.h) % at.q, (-u - at.h) % at.q}
    return w.with_local(changed) if changed else None


def half_for_the_root(w: Work) -> SetFound:
    """From (x + h)^2 = s to x + h = ± s/2."""
    found = _answer(w, lambda at: at.s * pow(2, -1, at.q) % at.q)
    if not found:
        return None
    _loc, at = _squares(w)[0]
    return told(
        found,
        say(
            "A square root of {s} modulo {q} is a number whose **square** is {s}, not one whose "
            "double is.",
            s=at.s,
            q=at.q,
        ),
    )


def root_not_taken(w: Work) -> SetFound:
    """From (x + h)^2 = s to x + h = ± s."""
    found = _answer(w, lambda at: at.s)
    if not found:
        return None
    _loc, at = _squares(w)[0]
    return told(
        found,
        say(
            "${y}^2 ≡ {s} (mod {q})$ says what the **square** of ${y}$ is: a square root of "
            "{s} is wanted before $x$ is found.",
            y=polynomial((at.h, 1)),
            s=at.s,
            q=at.q,
        ),
    )


def square_not_added(w: Work) -> SetFound:
    """Half of b squared left out on the right side: (x + h)^2 = s - h^2."""
    found = _answer(w, lambda at: _root_of(at.s - at.h * at.h, at.q) if at.h else None)
    if not found:
        return None
    _loc, at = _squares(w)[0]
    return told(
        found,
        say(
            "Completing the square adds ${h}^2$ to the left side, as ${y}^2 = {expanded}$. It has "
            "to be added to the right side too.",
            h=at.h,
            y=polynomial((at.h, 1)),
            expanded=polynomial((at.h * at.h, 2 * at.h, 1)),
        ),
    )


def _root_of(s: int, q: int) -> int | None:
    """The least square root of s modulo q other than 0."""
    return next((r for r in range(1, q) if (r * r - s) % q == 0), None) if q <= _TRIED else None


def product_not_zero(w: Work) -> SetFound:
    """x(x + b) = -c read as x = -c or x + b = -c."""
    if not quadratic(w) or w.f[2] != 1 or not w.f[1] or not w.f[0] % w.m:
        return None
    c, b = w.f[:2]
    return (-c, -c - b), say(
        "The congruence $x · ({factor}) ≡ {right}$ says nothing about one factor alone: only of a "
        "product that is 0, modulo a prime, can it be said that one factor is 0.",
        factor=polynomial((b, 1)),
        right=-c,
    )
