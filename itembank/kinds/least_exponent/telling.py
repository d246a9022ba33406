"""How the least exponent is told from its steps, of the unknown x."""

from collections.abc import Iterator

from itembank.kinds.least_exponent.method import Found, Powers, Shared
from itembank.kinds.wording import Tellers
from itembank.languages import Told, each, grid, lead, say
from itembank.notation.building import dotted, number
from itembank.notation.tree import Letter, Math, Power

ROWS = 30
"""At most this many powers are shown."""


def shared(step: Shared) -> Iterator[Told]:
    yield lead("A base without an order.")
    yield say(
        "$gcd({b}, {m}) = {g}$, so no power of {b} but the first is congruent to 1, and indices do "
        "not serve. The powers are followed until a value repeats.",
        b=step.base,
        m=step.m,
        g=step.g,
    )


def powers(step: Powers) -> Iterator[Told]:
    yield lead("The powers.")
    left: Math = Power(number(step.base), Letter("x"))
    if step.factor != 1:
        left = dotted((step.factor, left))
    rows = [(number(x), number(value)) for x, value in enumerate(step.values[:ROWS])]
    yield grid((Letter("x"), say("${left}$ modulo {m}", left=left, m=step.m)), rows)
    n = len(step.values)
    if n > ROWS:
        yield say("And so on, for {n} values in all.", n=n)
    yield say(
        "For ${x}$ the value is that for ${tail}$ again. From there on the values repeat with the "
        "period {period}.",
        x=number(n),
        tail=number(step.tail),
        period=step.period,
    )


def found(step: Found) -> Iterator[Told]:
    yield lead("The exponents.")
    if not step.alone and not step.repeated:
        yield say("{c} is none of these values.", c=step.c)
    if step.alone:
        yield say(
            "{c} stands at {places}, before the values repeat: that happens once.",
            c=step.c,
            places=each(step.alone),
        )
    if step.repeated:
        yield say(
            "{c} stands at {places}, and again after every {period} exponents.",
            c=step.c,
            places=each(step.repeated),
            period=step.period,
        )


TELLING: Tellers = {Shared: shared, Powers: powers, Found: found}
"""How each step is told."""
