"""Points as a text tells them: 2, 1½, and with the mark of other languages 1,5 or 1.5."""

import re
from fractions import Fraction

_TOLD = re.compile(r"(?:(\d+)(½|[.,]5(?!\d))?|½)")


def points_told(text: str) -> Fraction | None:
    """The first points of a text, exactly; None where it tells none.

    >>> points_told("(1½ points)"), points_told("2,5"), points_told("½")
    (Fraction(3, 2), Fraction(5, 2), Fraction(1, 2))
    """
    found = _TOLD.search(text)
    if not found:
        return None
    half = Fraction(1, 2) if found[2] or found[1] is None else 0
    return int(found[1] or 0) + half + Fraction(0)


def as_decimal(points: Fraction | None) -> str:
    """Points as tables for machines write them: 2, 1.5; "" for none."""
    if points is None:
        return ""
    whole, rest = divmod(points, 1)
    return f"{whole}.5" if rest == Fraction(1, 2) else str(points)
