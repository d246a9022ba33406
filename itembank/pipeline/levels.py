"""What the level of a family says, held against the work that its variants measure, and against
what classes are expected to do.

A step is one action of hand work: an evaluation, an inverse, a combination. The bands overlap,
since steps are not alike; a level outside of its band misleads whoever makes a form of it.
"""

from collections.abc import Mapping

from itembank.values.worded import worded

STEPS: Mapping[str, tuple[int, int | None]] = {
    "very easy": (0, 8),
    "easy": (0, 12),
    "medium": (2, 20),
    "difficult": (10, None),
    "very difficult": (25, None),
}
"""The fewest and the most steps that half of the variants of a level may take."""


_RIGHT: Mapping[str, tuple[float, float]] = {
    "very easy": (0.75, 1.0),
    "easy": (0.6, 1.0),
    "medium": (0.35, 0.85),
    "difficult": (0.1, 0.65),
    "very difficult": (0.0, 0.45),
}
"""The least and the greatest share of a class that is right at a question of a level, where results
tell it (common practice)."""


def misfit(level: str, low: float, high: float) -> str:
    """What a share right, known to lie between two numbers, says against a level; "" for nothing.

    >>> misfit("difficult", 0.8, 0.9), misfit("easy", 0.55, 0.7)
    ('easier than its level, difficult', '')
    """
    least, most = _RIGHT[level]
    if low > most:
        return worded("easier than its level, {level}", level=level)
    return worded("harder than its level, {level}", level=level) if high < least else ""


def middle(times: Mapping[int, int]) -> int:
    """The steps that at least half of the variants take at most; `times`: how often each number.

    >>> middle({4: 1, 6: 1, 9: 3})
    9
    """
    variants, met = sum(times.values()), 0
    for steps in sorted(times):
        met += times[steps]
        if 2 * met >= variants:
            return steps
    raise ValueError("no variants")


def fitting(steps: int) -> list[str]:
    """The levels that so many steps may have."""
    return [
        level
        for level, (least, most) in STEPS.items()
        if steps >= least and (most is None or steps <= most)
    ]
