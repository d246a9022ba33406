"""One lifting step, told from its steps.

One function a step; sentences are whole and written in the unknown x.
"""

from collections.abc import Iterator, Sequence

from itembank.kinds.base import Solution
from itembank.kinds.chains import congruent
from itembank.kinds.lifting_step.steps import Lifts, Root, Slope, SolveForT
from itembank.kinds.linear.isolating import isolated
from itembank.kinds.polynomial.solve import easiest
from itembank.kinds.polynomial.steps import Substitute
from itembank.kinds.polynomial.telling.checking import substitute
from itembank.kinds.polynomial.telling.phrases import (
    congruent_to,
    multiple_shown,
    related,
)
from itembank.kinds.wording import FITS_ON_THE_BOARD, LEGIBLE, Tellers, told
from itembank.languages import Said, Telling, Told, lead, say, shown, spelled
from itembank.languages.lettering import in_letter
from itembank.maths.polynomials import derivative, value
from itembank.notation.building import (
    added,
    applied,
    congruence,
    equal,
    listed,
    polynomial,
)
from itembank.notation.tree import Math, Minus, Number, Quotient
from itembank.values.answer import ResidueSet

_LISTED = 24
"""At most this many lifts of a singular root are written out."""


def worked(solution: Solution[ResidueSet], letter: str) -> Telling:
    """The steps as a teacher would write them on the board."""
    return in_letter(tuple(told(solution.steps, _TOLD)), letter)


def _told_given(step: Root) -> Iterator[Told]:
    p, r, q = step.p, step.r, step.p**step.k
    yield lead("What is sought.")
    if step.moved:
        yield say("Move everything to the left side.")
    yield say("Write $f(x) = {f}$.", f=polynomial(step.f))
    yield say(
        "${r}$ is a root modulo {q}: $f({r}) = {value}$.",
        r=r,
        q=q,
        value=multiple_shown(step.value, q),
    )
    yield say(
        "Every number that is {r} modulo {q} is $x = {r} + {q}t$, and modulo {next} it is a root "
        "exactly when $f({r})/{q} + f'({r})·t ≡ 0 (mod {p})$.",
        r=r,
        q=q,
        next=q * p,
        p=p,
    )


def _told_slope(step: Slope) -> Iterator[Told]:
    yield lead("The derivative.")
    yield say(
        "$f'(x) = {slope}$, so ${value}$.",
        slope=polynomial(derivative(step.f)),
        value=_with_modulus(applied("f", step.r, primes=1), step.value, step.p),
    )


def _with_modulus(left: Math, value: int, p: int) -> Math:
    """left = 8 ≡ 3 (mod 5), or left = 3 where that is a least residue already."""
    return related(left, "=", Number(value)) if 0 <= value < p else congruent_to(left, value, p)


# ------------------------------------------------------------ the next digit


def _told_solve(step: SolveForT) -> Iterator[Told]:
    r, p, q = step.r, step.p, step.p**step.k
    yield lead("The next digit.")
    exact = equal(Quotient(applied("f", r), Number(q)), _fraction(step.value, q))
    yield say("${value}$.", value=_with_modulus(exact, step.value // q, p))
    if step.slope:
        yield from _simple(step)
        return
    yield say(
        "The derivative is divisible by {p}: the root {r} is singular, and $t$ drops out of the "
        "condition.",
        p=p,
        r=r,
    )
    if step.ts is None:
        yield _every_digit(r, p)
    else:
        yield say("But $f({r})/{q} ≢ 0 (mod {p})$, so no $t$ will do.", r=r, q=q, p=p)


def _fraction(n: int, d: int) -> Math:
    """n/d, a sign before it."""
    return Quotient(Number(n), Number(d)) if n >= 0 else Minus(Quotient(Number(-n), Number(d)))


def _simple(step: SolveForT) -> Iterator[Told]:
    """The one t where the derivative can be inverted."""
    p, slope, quotient = step.p, step.slope, step.quotient
    yield say("So $t$ must satisfy")
    condition = added((quotient, polynomial((0, slope), "t")))
    yield shown(congruence(condition, Number(0), p))
    yield say("The derivative is not divisible by {p}, so there is exactly one $t$.", p=p)
    if not quotient:
        yield say("So $t ≡ 0 (mod {p})$.", p=p)
        return
    right = Number(-quotient) if slope != 1 else congruent(-quotient, -quotient % p)
    yield say(
        "The condition is ${left} ≡ {right} (mod {p})$.",
        left=polynomial((0, slope), "t"),
        right=right,
        p=p,
    )
    if slope != 1 and step.way:
        yield from isolated(step.way, "t")


def _every_digit(r: int, p: int) -> Said:
    if p == 2:
        return say(
            "What is left, $0 ≡ 0 (mod 2)$, holds, so every $t$ will do: both lifts of {r} are "
            "roots.",
            r=r,
        )
    return say(
        "What is left, $0 ≡ 0 (mod {p})$, holds, so every $t$ will do: all {p} lifts of {r} are "
        "roots.",
        p=p,
        r=r,
    )


# ------------------------------------------------------------ the answer


def _told_lifts(step: Lifts) -> Iterator[Told]:
    p, q, r = step.p, step.p**step.k, step.r
    yield lead("Answer.")
    if step.ts is None:
        yield _every_lift(r, q, p)
        yield from _checked(step, (r, r + q), complete=p == 2)
        return
    if not step.ts:
        yield say(
            "No root modulo {m} is congruent to {r} modulo {q}: there are no solutions.",
            m=q * p,
            r=r,
            q=q,
        )
        return
    (t,) = step.ts
    x = r + q * t
    yield say(
        "$x ≡ {r} + {q} · {t} = {x} (mod {m})$, the only solution.", r=r, q=q, t=t, x=x, m=q * p
    )
    yield from _checked(step, (x,), complete=True)


def _every_lift(r: int, q: int, p: int) -> Said:
    if p <= _LISTED:
        return say(
            "$x ≡ {r} (mod {q})$, that is $x ≡ {lifts} (mod {m})$: {n} solutions modulo {m}.",
            r=r,
            q=q,
            lifts=listed(range(r, q * p, q)),
            n=spelled(p),
            m=q * p,
        )
    return say("$x ≡ {r} (mod {q})$: {n} solutions modulo {m}.", r=r, q=q, n=spelled(p), m=q * p)


def _checked(step: Lifts, found: Sequence[int], complete: bool) -> Iterator[Told]:
    """The lifts put into f, long values reduced; `complete` if these are all."""
    m = step.p ** (step.k + 1)
    near = tuple(easiest(step.f, x, m) for x in found)
    values = tuple(value(step.f, x) for x in near)
    legible = max(map(abs, values)) <= LEGIBLE
    if legible or m <= FITS_ON_THE_BOARD:
        yield from substitute(
            Substitute(
                m, ((step.p, step.k + 1),), step.f, near, values if legible else None, complete
            )
        )


_TOLD: Tellers = {
    Root: _told_given,
    Slope: _told_slope,
    SolveForT: _told_solve,
    Lifts: _told_lifts,
}
"""How each step is told."""
