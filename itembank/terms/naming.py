"""Names of terms: which of them may be another, mistyped.

Terms of a bank are named alike but for their numbers: 2027-spring, 2027-autumn, 2028-spring.  A
name whose words are new, and nearly those of a term that the bank knows, may be a slip of the
fingers; as a term of its own it would let every question rest a term less.

The distance counts letters put in, left out or exchanged, and neighbours that changed places
(Damerau 1964, restricted: no letter twice).
"""

import re
from collections.abc import Iterable

_NUMBER = re.compile(r"\d+")


def near_miss(term: str, known: Iterable[str]) -> str | None:
    """The term that may have been meant, with the numbers of this one; None if it is no near miss.

    Near is a slip for every three letters, and two at most: ss and ws are two terms.

    >>> near_miss("2028-sprnig", ["2027-spring", "2027-autumn"])
    '2028-spring'
    >>> near_miss("2028-spring", ["2027-spring"]) is None
    True
    >>> near_miss("2027-ws", ["2027-ss"]) is None
    True
    """
    names = list(known)
    words = _plain(term)
    if term in names or words in map(_plain, names):
        return None
    near = [
        (d, name)
        for name in names
        if (d := distance(words.casefold(), _plain(name).casefold())) <= min(2, _letters(name) // 3)
    ]
    if not near:
        return None
    _d, name = min(near, key=lambda one: one[0])
    numbers = _NUMBER.findall(term)
    if len(numbers) != len(_NUMBER.findall(name)):
        return name
    return _NUMBER.sub(lambda _number: numbers.pop(0), name)


def _plain(term: str) -> str:
    """The name with each number as #."""
    return _NUMBER.sub("#", term)


def _letters(term: str) -> int:
    return sum(c.isalpha() for c in term)


def distance(a: str, b: str) -> int:
    """How many slips of the fingers lead from one to the other.

    >>> distance("spring", "sprnig"), distance("spring", "autumn")
    (1, 6)
    """
    rows = [list(range(len(b) + 1))]
    for i, x in enumerate(a, 1):
        row = [i]
        for j, y in enumerate(b, 1):
            least = min(rows[-1][j] + 1, row[-1] + 1, rows[-1][j - 1] + (x != y))
            if i > 1 and j > 1 and (x, y) == (b[j - 2], a[i - 2]):
                least = min(least, rows[-2][j - 2] + 1)
            row.append(least)
        rows.append(row)
    return rows[-1][-1]
