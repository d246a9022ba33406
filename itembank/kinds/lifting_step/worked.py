"""One lifting step, told from its steps.

One function a step; sentences are whole and written in the unknown x.
"""

from collections.abc import Iterator

from itembank.kinds.base import Solution
from itembank.kinds.lifting_step.steps import Lifts, Root, Slope, SolveForT
from itembank.kinds.wording import (
    FITS_ON_THE_BOARD,
    Piece,
    Tellers,
    both_or_all,
    equal_to,
    flowing,
    listing,
    multiple_of,
    polynomial,
    residue_chain,
    told,
)
from itembank.languages import Telling
from itembank.languages.lettering import in_letter
from itembank.languages.words import _
from itembank.maths.polynomials import derivative, value
from itembank.notation.prose import display
from itembank.notation.tree import Block
from itembank.values.answer import ResidueSet

LISTED = 24
"""At most this many lifts of a singular root are written out."""


def worked(solution: Solution[ResidueSet], letter: str) -> Telling:
    """The steps as a teacher would write them on the board."""
    return in_letter(tuple(told(solution.steps, TOLD)), letter)


def told_given(step: Root) -> Iterator[Block]:
    p, k, r = step.p, step.k, step.r
    q = p**k
    sentences = []
    if step.moved:
        sentences.append(_("Move everything to the left side."))
    sentences.append(_("Write $f(x) = {f}$.").format(f=polynomial(step.f)))
    sentences.append(
        _("${r}$ is a root modulo {q}: $f({r}) = {value}$.").format(
            r=r, q=q, value=multiple_of(step.value, q)
        )
    )
    sentences.append(
        _(
            "Every number that is {r} modulo {q} is $x = {r} + {q}t$, and modulo {next} it is a "
            "root exactly when $f({r})/{q} + f'({r})·t ≡ 0 (mod {p})$."
        ).format(r=r, q=q, next=q * p, p=p)
    )
    yield from flowing(sentences, _("What is sought."))


def told_slope(step: Slope) -> Iterator[Block]:
    slope = derivative(step.f)
    yield from flowing(
        [
            _("$f'(x) = {slope}$, so ${value}$.").format(
                slope=polynomial(slope), value=reduced_to(f"f'({step.r})", step.value, step.p)
            )
        ],
        _("The derivative."),
    )


def reduced_to(text: str, value: int, p: int) -> str:
    """text = 8 ≡ 3 (mod 5), or text = 3 where that is a least residue already."""
    if 0 <= value < p:
        return f"{text} = {value}"
    return f"{text} {equal_to(value, p)} (mod {p})"


def told_solve(step: SolveForT) -> Iterator[Block]:
    yield from flowing(solved(step), _("The next digit."))


def solved(step: SolveForT) -> Iterator[Piece]:
    r, p, q, slope = step.r, step.p, step.p**step.k, step.slope
    exact = step.value // q
    yield f"${reduced_to(f'f({r})/{q} = {step.value}/{q}', exact, p)}$."
    if slope:
        (t,) = step.ts or ()
        inverse = pow(slope, -1, p)
        yield _("So $t$ must satisfy")
        yield display(f"{step.quotient} + {polynomial((0, slope), 't')} == 0 mod {p}")
        yield _("The derivative is not divisible by {p}, so there is exactly one $t$.").format(p=p)
        if slope == 1:
            yield _("$t ≡ -{quotient} ≡ {t} (mod {p})$.").format(quotient=step.quotient, t=t, p=p)
        else:
            yield _(
                "${slope} · {inverse} {one} (mod {p})$, so $t ≡ -{quotient} · {inverse} = {value}$."
            ).format(
                slope=slope,
                inverse=inverse,
                one=equal_to(slope * inverse, p),
                p=p,
                quotient=step.quotient,
                value=residue_chain(-step.quotient * inverse, p),
            )
        return
    yield _(
        "The derivative is divisible by {p}: the root {r} is singular, and $t$ drops out of the "
        "condition."
    ).format(p=p, r=r)
    if step.ts is None:
        yield _(
            "What is left, $0 ≡ 0 (mod {p})$, holds, so every $t$ will do: {all} lifts of {r} are "
            "roots."
        ).format(p=p, r=r, all=both_or_all(p))
    else:
        yield _("But $f({r})/{q} ≢ 0 (mod {p})$, so no $t$ will do.").format(r=r, q=q, p=p)


def told_lifts(step: Lifts) -> Iterator[Block]:
    p, q, r = step.p, step.p**step.k, step.r
    m = q * p
    lead = _("Answer.")
    if step.ts == ():
        yield from flowing(
            [
                _(
                    "No root modulo {m} is congruent to {r} modulo {q}: there are no solutions."
                ).format(m=m, r=r, q=q)
            ],
            lead,
        )
        return
    if step.ts is None:
        shown = f"$x ≡ {r} (mod {q})$"
        if p <= LISTED:
            shown = _("{classes}, that is {listed}").format(
                classes=shown, listed=f"$x ≡ {listing(range(r, m, q))} (mod {m})$"
            )
        yield from flowing(
            [_("{shown}: {p} solutions modulo {m}.").format(shown=shown, p=p, m=m)], lead
        )
        found = [r, r + q]
    else:
        (t,) = step.ts
        found = [r + q * t]
        yield from flowing(
            [
                _("$x ≡ {r} + {q} · {t} = {x} (mod {m})$, the only solution.").format(
                    r=r, q=q, t=t, x=found[0], m=m
                )
            ],
            lead,
        )
    values = [value(step.f, x) for x in found]
    if max(map(abs, values)) <= FITS_ON_THE_BOARD**2:
        checks = ", ".join(
            f"$f({x}) = {multiple_of(v, m)}$" for x, v in zip(found, values, strict=True)
        )
        yield from flowing([checks + ("." if step.ts else _(", and so on."))], _("Check."))


TOLD: Tellers = {
    Root: told_given,
    Slope: told_slope,
    SolveForT: told_solve,
    Lifts: told_lifts,
}
"""How each step is told."""
