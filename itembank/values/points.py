"""What a question counts: whole points, or halves of one, exactly.

Whole points are an int, so that all that was said, stored and hashed of them stays as it was;
with a half they are a Fraction. No float ever stands for a mark.
"""

import re
from fractions import Fraction

Points = int | Fraction

MOST_POINTS = 99
"""What one question counts at most: cartridges know no weight beyond it."""

_IN_HALVES = re.compile(r"(?P<whole>0|[1-9][0-9]?)(?:\.(?P<tenth>[05]))?")


def points(number: Points) -> Points:
    """A number of points as it is held: an int where it is whole.

    >>> points(Fraction(4, 2)), points(Fraction(3, 2))
    (2, Fraction(3, 2))
    """
    found = Fraction(number)
    return found.numerator if found.denominator == 1 else found


def points_from(text: str) -> Points | None:
    """The points that a file states, above 0 and at most MOST_POINTS; None for anything else.

    >>> points_from("2"), points_from("1.5"), points_from("0.3")
    (2, Fraction(3, 2), None)
    """
    found = _IN_HALVES.fullmatch(text)
    if not found:
        return None
    read = int(found["whole"]) + (Fraction(1, 2) if found["tenth"] == "5" else 0)
    return points(read) if 0 < read <= MOST_POINTS else None


def decimal(number: Points) -> str:
    """Points as packages and tables write them, in every language: 2, 1.5.

    >>> decimal(2), decimal(Fraction(1, 2))
    ('2', '0.5')
    """
    whole, half = divmod(2 * number, 2)
    return f"{int(whole)}.5" if half else str(int(whole))


def plain(number: Points) -> int | str:
    """Points where only numbers and texts can stand: 2, "1.5"."""
    held = points(number)
    return held if isinstance(held, int) else decimal(held)


def from_plain(held: int | str) -> Points:
    """What `plain` gave, again as points."""
    return held if isinstance(held, int) else points(Fraction(held))
