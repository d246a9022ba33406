"""How the least exponent is told from its steps, of the unknown x."""

from collections.abc import Iterator

from itembank.kinds.chains import calculated, congruent
from itembank.kinds.index.telling import multiplier
from itembank.kinds.least_exponent.method import Powers, Shared
from itembank.kinds.wording import Tellers
from itembank.languages import Told, grid, lead, say
from itembank.notation.building import dotted, number
from itembank.notation.tree import Letter, Math, Power

_ROWS = 30
"""At most this many powers are shown."""


def _shared(step: Shared) -> Iterator[Told]:
    yield lead("A base without an order.")
    yield say(
        "$gcd({b}, {m}) = {g}$, so no power ${power}$ with $k ≥ 1$ is congruent to 1 modulo {m}: "
        "there is no order to calculate with, and the exponents are tried one by one.",
        b=step.base,
        m=step.m,
        g=step.g,
        power=Power(number(step.base), Letter("k")),
    )


def _powers(step: Powers) -> Iterator[Told]:
    """The values in a table, and from where they repeat."""
    yield from _table(step, len(step.values))
    n = len(step.values)
    yield say(
        "For ${x}$ the value is that for ${tail}$ again. From there on the values repeat with the "
        "period {period}.",
        x=number(n),
        tail=number(step.tail),
        period=step.period,
    )


def _table(step: Powers, shown: int) -> Iterator[Told]:
    """The first values, each made from the one before."""
    b, m = step.base, step.m
    near = multiplier(b, m)
    yield lead("Table of values.")
    if near == b:
        yield say("Each value is the one before times ${b}$:", b=b)
    else:
        yield say(
            "As ${b} ≡ {near} (mod {m})$, each value is the one before times ${near}$:",
            b=b,
            near=near,
            m=m,
        )
    left: Math = Power(number(b), Letter("x"))
    if step.factor != 1:
        left = dotted((step.factor, left))
    rows = [(number(x), _calculation(step, x, near)) for x in range(min(shown, _ROWS))]
    yield grid((Letter("x"), say("${left}$ modulo {m}", left=left, m=m)), rows)
    if shown > _ROWS:
        yield say("And so on, for {n} values in all.", n=shown)


def _calculation(step: Powers, x: int, near: int) -> Math:
    """22 · (-4) = -88 ≡ 38, from the value before."""
    if x == 0:
        first = step.factor
        return number(first) if 0 <= first < step.m else congruent(first, first % step.m)
    before = step.values[x - 1]
    return calculated(dotted((before, near)), before * near, step.m)


def told_until_found(powers: Powers, c: int) -> Iterator[Told]:
    """The table as far as the first c, which is all that is asked."""
    k = powers.values.index(c)
    yield from _table(powers, k + 1)
    yield say("{c} appears here for the first time.", c=c)


TELLING: Tellers = {Shared: _shared, Powers: _powers}
"""How each step is told where the whole cycle is needed."""
