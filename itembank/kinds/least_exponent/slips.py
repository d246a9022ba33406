"""Student errors in finding a least exponent; common practice of the trade."""

from collections.abc import Callable
from dataclasses import dataclass

from itembank.kinds.mistakes import ValueFound
from itembank.languages import say


@dataclass(frozen=True)
class Work:
    """a * b^x = c (mod m): the values to the first repetition, the tail, the least x."""

    b: int
    c: int
    m: int
    values: tuple[int, ...]
    tail: int
    x: int


def _counted_from_one(w: Work) -> ValueFound:
    return w.x + 1, say(
        "Check where the counting begins: the first value belongs to the exponent 0."
    )


def _next_of_the_period(w: Work) -> ValueFound:
    if w.x < w.tail:
        return None
    return w.x + len(w.values) - w.tail, say(
        "With this exponent the value comes again. There is a smaller one."
    )


def _taken_below_the_tail(w: Work) -> ValueFound:
    period = len(w.values) - w.tail
    lower = w.x - period
    if w.x < w.tail or lower < 0:
        return None
    return lower, say(
        "If you went back by a period of {period}: the values repeat only from the "
        "exponent {tail} on.",
        period=period,
        tail=w.tail,
    )


def _multiplied(w: Work) -> ValueFound:
    found = next((n for n in range(w.m) if w.b * n % w.m == w.c % w.m), None)
    if found is None:
        return None
    return found, say(
        "If you multiplied the base by the exponent: a power is wanted, a product of equal factors."
    )


MISTAKES: dict[str, Callable[[Work], ValueFound]] = {
    "taken-below-the-tail": _taken_below_the_tail,
    "next-of-the-period": _next_of_the_period,
    "counted-from-one": _counted_from_one,
    "base-times-exponent": _multiplied,
}
"""In the order of the method."""
