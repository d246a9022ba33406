"""The worked solution of an inverse, told from its steps."""

from collections.abc import Iterator

from itembank.kinds.chains import division
from itembank.kinds.euclid import back_substitution, looked_through
from itembank.kinds.inverse.method import (
    AtOnce,
    Backwards,
    Carried,
    Euclid,
    Inspect,
    Inverse,
    Reduce,
)
from itembank.kinds.modular import AboutResidue
from itembank.kinds.wording import Tellers
from itembank.languages import BREAK, Told, grid, lead, say, shown
from itembank.notation.tree import Letter


def _reduced(step: Reduce, c: AboutResidue) -> Iterator[Told]:
    yield lead("Least residue.")
    yield say(
        "${a} ≡ {r} (mod {m})$, so the inverse of {r} is wanted.",
        a=step.a,
        r=step.residue,
        m=c.modulus_told,
    )


def _at_once(step: AtOnce, c: AboutResidue) -> Iterator[Told]:
    yield BREAK
    if step.m == 1:
        yield say("$0 · 0 = 0 ≡ 1 (mod 1)$, so 0 is its own inverse.")
    elif step.a == 1:
        yield say("$1 · 1 = 1$, so 1 is its own inverse.")
    else:
        yield say(
            "Every multiple of 0 is 0, and 0 is not congruent to 1 modulo {m}.", m=c.modulus_told
        )


def _euclid(step: Euclid, c: AboutResidue) -> Iterator[Told]:
    a, m, d = step.a, c.modulus_told, step.d
    yield lead("Euclid's algorithm.")
    yield say("Divide {m} by {a}, then each divisor by its remainder:", m=m, a=a)
    yield shown(*(division(row.dividend, row.divisor) for row in step.rows))
    if d == 1:
        yield say(
            "The last remainder above 0 is 1: $gcd({a}, {m}) = 1$, and the inverse exists.",
            a=a,
            m=m,
        )
    elif len(step.rows) == 1:
        yield say("The division comes out even: $gcd({a}, {m}) = {d}$.", a=a, m=m, d=d)
    else:
        yield say("The last remainder above 0 is {d}: $gcd({a}, {m}) = {d}$.", a=a, m=m, d=d)


def _backwards(step: Backwards, c: AboutResidue) -> Iterator[Told]:
    yield lead("Backwards.")
    if len(step.rows) == 1:
        yield say("The first row says what 1 is made of:")
    else:
        yield say(
            "Begin with the row whose remainder is 1, and substitute for each remainder from the "
            "row above:"
        )
    yield shown(*back_substitution(step.rows))


def _carried(step: Carried, c: AboutResidue) -> Iterator[Told]:
    yield lead("Coefficients.")
    yield say(
        "Carry along the number $u$ for which each remainder is congruent to ${a}u (mod {m})$. "
        "It begins with 0 for {m} and 1 for {a}; each next one is the one before the last, "
        "minus the quotient times the last:",
        a=c.number % c.modulus,
        m=c.modulus_told,
    )
    first = step.rows[0]
    yield grid(
        (say("remainder"), say("quotient"), Letter("u")),
        [
            (first.dividend, "", 0),
            (first.divisor, "", 1),
            *((r.remainder, r.quotient, r.v) for r in step.rows),
        ],
    )


def _inspect(step: Inspect, c: AboutResidue) -> Iterator[Told]:
    yield lead("Inspection.")
    yield looked_through(step.a, step.m)


def _inverse(step: Inverse, c: AboutResidue) -> Iterator[Told]:
    if step.seen:
        return
    a, m, v, y = step.a, c.modulus_told, step.v, step.inverse
    yield lead("Read off.")
    if step.carried and v == y:
        yield say("The last row says that ${a} · {v} ≡ 1 (mod {m})$.", m=m, a=a, v=v)
    elif step.carried:
        yield say(
            "The last row says that ${a} · ({v}) ≡ 1 (mod {m})$, and the least residue of ${v}$ is "
            "${v} + {m} = {y}$.",
            m=m,
            a=a,
            v=v,
            y=y,
        )
    elif v == y:
        yield say(
            "Modulo {m} the multiple of {m} vanishes: ${a} · {v} ≡ 1 (mod {m})$.", m=m, a=a, v=v
        )
    else:
        yield say(
            "Modulo {m} the multiple of {m} vanishes: ${a} · ({v}) ≡ 1 (mod {m})$, and the least "
            "residue of ${v}$ is ${v} + {m} = {y}$.",
            m=m,
            a=a,
            v=v,
            y=y,
        )
    yield lead("Check.")
    yield say(
        "${a} · {y} = {product} = {q} · {m} + 1$.",
        a=a,
        y=y,
        product=a * y,
        q=a * y // step.m,
        m=m,
    )


TELLING: Tellers = {
    Reduce: _reduced,
    AtOnce: _at_once,
    Euclid: _euclid,
    Backwards: _backwards,
    Carried: _carried,
    Inspect: _inspect,
    Inverse: _inverse,
}
"""How each step is told."""
