"""When a difference is beyond chance: small tests, and many of them at once.

A flag that changes what is drawn (a key in doubt, a problem that has become known) is a test with
a stated rate of error, not a threshold: of sound and unchanged questions at most `A_QUESTION` are
flagged, and a pool where nothing is wrong shows a flag in at most `OVER_POOL` of its terms.

Sources: Fisher's exact test (Fisher 1934) and his z of a correlation (Fisher 1921), Holm's
sequential correction (Holm 1979), all from memory; `tests/terms/test_significance.py` holds them
to scipy, `tests/bench/false_alarms.py` simulates the rates.
"""

from collections.abc import Hashable, Mapping
from math import atanh, comb, erfc, sqrt
from typing import TypeVar

K = TypeVar("K", bound=Hashable)

A_QUESTION = 0.01
"""The most that a sound question is flagged, one by one."""

OVER_POOL = 0.05
"""The most that a pool of sound questions has a flag at all."""


def chance_of_rise(right: int, n: int, before: int, of: int) -> float:
    """How likely so many right of n, or more, are by chance where before of `of` were.

    One-sided, exact, given how many were right in both together; n and of at least 1.

    >>> round(chance_of_rise(3, 3, 0, 3), 3)
    0.05
    """
    both = right + before
    ways = sum(comb(n, x) * comb(of, both - x) for x in range(right, min(n, both) + 1))
    return ways / comb(n + of, both)


def chance_of_correlation(r: float, n: int) -> float:
    """How likely a correlation of r or more is by chance, of n at least 4 persons.

    One-sided; Fisher's z is normal with variance 1/(n - 3).
    """
    if r >= 1:
        return 0.0
    if r <= -1:
        return 1.0
    return erfc(atanh(r) * sqrt((n - 3) / 2)) / 2


def beyond_chance(chances: Mapping[K, float | None]) -> set[K]:
    """Which of many tests count: each below `A_QUESTION`, and by Holm's steps over them all.

    None where there is no test.

    >>> sorted(beyond_chance({"a": 0.0001, "b": 0.02, "c": 0.5, "d": None}))
    ['a']
    """
    tested = {one: chance for one, chance in chances.items() if chance is not None}
    found: set[K] = set()
    for i, (one, chance) in enumerate(sorted(tested.items(), key=lambda pair: pair[1])):
        if chance > min(A_QUESTION, OVER_POOL / (len(tested) - i)):
            break
        found.add(one)
    return found
