"""What a reviewer can check by hand of two linear congruences: the pairs, put into both."""

from itembank.kinds.linear_pair.steps import Pair, Rows
from itembank.languages import Said, Telling, grid, lead, say
from itembank.notation.building import listed
from itembank.notation.tree import Group

_SUBSTITUTED = 12
"""At most this many pairs are put in."""


def substituted(rows: Rows, pairs: tuple[Pair, ...], m: int) -> Telling:
    """For each pair the left side minus the right side of both congruences, multiples of m."""
    if not pairs:
        return
    yield lead("Substituted.")
    yield say("Left side minus right side, a multiple of ${m}$.", m=m)
    yield grid(
        (say("pair"), say("first"), say("second")),
        [
            (Group(listed((x, y))), *(_multiple(a * x + b * y - c, m) for a, b, c in rows))
            for x, y in pairs[:_SUBSTITUTED]
        ],
        row_heads=True,
    )


def _multiple(value: int, m: int) -> Said:
    return say("${value} = {q} · {m}$", value=value, q=value // m, m=m)
