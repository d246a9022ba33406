"""The squares modulo n: which residues they are, how many there are, the test of one.

Modulo a prime power p^k the squares other than 0 are p^(2j) u with 2j < k and u a
square coprime to p. Whether such a u is a square modulo p^n is seen modulo p if p is
odd, and modulo 2, 4 or 8 if p = 2 (n = 1, 2, or more). So the squares are few classes:
for 2^64 there are 33.

Sources: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th
ed., section 2.9 (Theorem 2.38 and the problems); Stangl, Counting squares in Z_n,
Mathematics Magazine 69 (1996), for the numbers.

Letters: p prime, assumed and not checked; k, n exponents; u coprime to p.
"""

from itembank.maths.prime_roots import is_square_mod_prime
from itembank.maths.primes import valuation
from itembank.values.answer import Class

MOST_CLASSES = 10_000
"""The most classes of squares modulo one prime power that are listed."""


class TooManySquares(ValueError):
    """More classes of squares than are listed."""


def unit_squares(p: int, n: int) -> tuple[Class, ...]:
    """The squares coprime to p modulo p^n, n >= 1, as classes, increasing.

    Raises TooManySquares for p above 2 MOST_CLASSES.

    >>> unit_squares(7, 2), unit_squares(2, 5)
    (((1, 7), (2, 7), (4, 7)), ((1, 8),))
    """
    if p == 2:
        return ((1, 2 ** min(n, 3)),)
    if p > 2 * MOST_CLASSES:
        raise TooManySquares(f"{(p - 1) // 2} classes of squares modulo {p}")
    return tuple((r, p) for r in sorted({x * x % p for x in range(1, (p + 1) // 2)}))


def squares(p: int, k: int) -> tuple[Class, ...]:
    """All squares modulo p^k, 0 among them, as disjoint classes, by (r, d).

    Raises TooManySquares beyond MOST_CLASSES classes.

    >>> squares(3, 3)  # 0, 9 and the classes of 1 modulo 3
    ((0, 27), (1, 3), (9, 27))
    """
    found: list[Class] = [(0, p**k)]
    for j in range((k + 1) // 2):
        q = p ** (2 * j)
        found += [(q * r, q * d) for r, d in unit_squares(p, k - 2 * j)]
        if len(found) > MOST_CLASSES:
            raise TooManySquares(f"more than {MOST_CLASSES} classes of squares modulo {p}^{k}")
    return tuple(sorted(found))


def number_of_unit_squares(p: int, n: int) -> int:
    """How many residues coprime to p are squares modulo p^n.

    >>> number_of_unit_squares(7, 1), number_of_unit_squares(2, 4)
    (3, 2)
    """
    if p == 2:
        return int(2 ** max(n - 3, 0))
    return int(p ** (n - 1) * (p - 1) // 2)


def number_of_squares(p: int, k: int) -> int:
    """How many residues are squares modulo p^k, 0 among them.

    >>> number_of_squares(2, 3), number_of_squares(3, 3)
    (3, 11)
    """
    return 1 + sum(number_of_unit_squares(p, k - 2 * j) for j in range((k + 1) // 2))


def is_unit_square(u: int, p: int, n: int) -> bool:
    """Whether u, coprime to p, is a square modulo p^n, n >= 1."""
    if p == 2:
        return u % (2, 4, 8)[min(n, 3) - 1] == 1
    return is_square_mod_prime(u, p)


def is_square(a: int, p: int, k: int) -> bool:
    """Whether x^2 = a (mod p^k) has a solution.

    >>> is_square(4, 2, 3), is_square(2, 2, 3), is_square(18, 3, 3)
    (True, False, False)
    """
    a %= p**k
    if a == 0:
        return True
    e = valuation(a, p)
    return e % 2 == 0 and is_unit_square(a // p**e, p, k - e)
