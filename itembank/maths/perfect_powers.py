"""Powers of integers, and residues that are one or become one: roots that are seen at once."""

from math import isqrt

_ADDED = 4
"""The modulus is added at most so often to make a perfect power."""


def root_at_sight(k: int, a: int, m: int) -> int | None:
    """An r with r^k = a + jm for a few j, j = 0 first; None if there is none.

    It is negative only for an odd k, where one of the a - jm is a power.
    Requires 0 <= a < m and k >= 2: unchecked.

    >>> root_at_sight(2, 26, 37), root_at_sight(3, 27, 1009), root_at_sight(2, 2, 37)
    (10, 3, None)
    >>> root_at_sight(3, 12, 13)
    -1
    """
    for j in range(_ADDED + 1):
        if (r := whole_root(k, a + j * m)) is not None:
            return r
        if k % 2 and (r := whole_root(k, (j + 1) * m - a)) is not None:
            return -r
    return None


def whole_root(k: int, n: int) -> int | None:
    """The r >= 0 with r^k = n, n >= 0; None if n is no k-th power.

    >>> whole_root(3, 64), whole_root(3, 65), whole_root(10**12, 1), whole_root(10**12, 2)
    (4, None, 1, None)
    """
    if n < 2:
        return n
    if k == 2:
        r = isqrt(n)
        return r if r * r == n else None
    if k >= n.bit_length():  # 2^k > n
        return None
    low, high = 1, 1 << -(-n.bit_length() // k)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if middle**k <= n else (low, middle - 1)
    return low if low**k == n else None
