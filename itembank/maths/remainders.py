"""Inverses, the Euclidean algorithm as a table, and Chinese remainders.

Letters: a a residue, m a modulus, M the product of the moduli, e_i the weight
of the i-th modulus.  Every function gives, beside the result, the numbers a
written solution shows.

Sources: Niven, Zuckerman & Montgomery, An Introduction to the Theory of
Numbers, 5th ed., sections 1.2 (Euclid) and 2.3 (Chinese remainders); Knuth, The
Art of Computer Programming 2, 3rd ed., section 4.5.2 (the extended algorithm).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd, lcm, prod


def inverse(a: int, m: int) -> int:
    """The x in [0, m) with a*x = 1 (mod m).

    Raises ValueError if a and m have a common factor, or m < 1.

    >>> inverse(2, 13)
    7
    """
    if m < 1:
        raise ValueError(f"a modulus is at least 1, got {m}")
    try:
        return pow(a, -1, m)
    except ValueError:
        raise ValueError(f"{a} has no inverse modulo {m}: they share {gcd(a, m)}") from None


def nearest_residue(a: int, m: int) -> int:
    """The residue of a modulo m >= 1 that is nearest to 0; of two, the positive one.

    >>> nearest_residue(929, 1000), nearest_residue(7, 8), nearest_residue(4, 8)
    (-71, -1, 4)
    """
    r = a % m
    return r - m if 2 * r > m else r


# ------------------------------------------------------------ Euclid


@dataclass(frozen=True, slots=True)
class EuclidStep:
    """dividend = quotient * divisor + remainder, and remainder = u*m + v*a."""

    dividend: int
    divisor: int
    quotient: int
    remainder: int
    u: int
    v: int


def euclid_steps(a: int, m: int) -> tuple[EuclidStep, ...]:
    """The rows of the extended Euclidean algorithm, m divided by a mod m first.

    The a of the coefficients is the least residue of a.  The last remainder is 0;
    the divisor of the last row is gcd(a, m), and the row before it, if any, says
    how it is made of m and a.  No row at all if m divides a.  Requires m >= 1
    (ValueError).

    >>> [(s.dividend, s.divisor, s.quotient, s.remainder, s.u, s.v) for s in euclid_steps(5, 13)]
    [(13, 5, 2, 3, 1, -2), (5, 3, 1, 2, -1, 3), (3, 2, 1, 1, 2, -5), (2, 1, 2, 0, -5, 13)]
    """
    if m < 1:
        raise ValueError(f"a modulus is at least 1, got {m}")
    dividend, divisor = m, a % m
    u, v, next_u, next_v = 1, 0, 0, 1
    steps = []
    while divisor:
        q, remainder = divmod(dividend, divisor)
        u, v, next_u, next_v = next_u, next_v, u - q * next_u, v - q * next_v
        steps.append(EuclidStep(dividend, divisor, q, remainder, next_u, next_v))
        dividend, divisor = divisor, remainder
    return tuple(steps)


# ------------------------------------------------------------ coprime moduli


@dataclass(frozen=True, slots=True)
class Weight:
    """e = others * inverse is 1 modulo `modulus` and 0 modulo every other modulus."""

    modulus: int
    others: int
    """M_i, the product of the other moduli."""
    residue: int
    """M_i mod m_i, in [0, m_i)."""
    inverse: int
    """The inverse of M_i modulo m_i, in [0, m_i)."""
    e: int
    """In [0, M)."""


def crt_weights(moduli: Sequence[int]) -> tuple[Weight, ...]:
    """The weights e_i, in the order of the moduli: x = a_i (mod m_i) means x = sum a_i e_i.

    Raises ValueError unless the moduli are >= 1 and pairwise coprime.

    >>> [w.e for w in crt_weights([9, 13])]
    [91, 27]
    """
    if any(m < 1 for m in moduli):
        raise ValueError(f"moduli are at least 1, got {list(moduli)}")
    M = prod(moduli)
    if lcm(*moduli) != M:
        raise ValueError(f"the moduli {list(moduli)} are not pairwise coprime")
    weights = []
    for m in moduli:
        others = M // m
        unit = pow(others, -1, m)
        weights.append(Weight(m, others, others % m, unit, others * unit))
    return tuple(weights)


def combine(residues: Sequence[int], moduli: Sequence[int]) -> int:
    """The x in [0, M) with x = a_i (mod m_i) for every i; 0 for no congruences.

    Raises ValueError unless the moduli are >= 1 and pairwise coprime, one residue each.

    >>> combine([7, 10], [9, 13])
    88
    """
    weights = crt_weights(moduli)
    return sum(a * w.e for a, w in zip(residues, weights, strict=True)) % prod(moduli)


# ------------------------------------------------------------ any moduli


@dataclass(frozen=True, slots=True)
class Merge:
    """One congruence x = a (mod m) met by all x = r + d*t of those before it.

    d*t = gap (mod m) with gap = (a - r) mod m.  Where g = gcd(d, m) divides the gap,
    (d/g) t = gap/g (mod m/g) has the one solution t, and x = r + d*t modulo lcm(d, m):
    `merged`.  Otherwise t and merged are None: the congruences contradict each other.
    """

    r: int
    d: int
    a: int
    m: int
    g: int
    gap: int
    t: int | None
    merged: tuple[int, int] | None


def merges(residues: Sequence[int], moduli: Sequence[int]) -> tuple[Merge, ...]:
    """The congruences x = a_i (mod m_i) taken in one after another, up to a contradiction.

    One step fewer than there are congruences, or fewer still if the last step has no
    solution.  Residues are taken least; r in [0, d), t in [0, m/g).  Raises ValueError
    unless the moduli are >= 1, one residue each.

    >>> [s.merged for s in merges([3, 5, 1], [4, 6, 5])]
    [(11, 12), (11, 60)]
    """
    if any(m < 1 for m in moduli):
        raise ValueError(f"moduli are at least 1, got {list(moduli)}")
    congruences = [(a % m, m) for a, m in zip(residues, moduli, strict=True)]
    steps: list[Merge] = []
    if not congruences:
        return ()
    r, d = congruences[0]
    for a, m in congruences[1:]:
        g, gap = gcd(d, m), (a - r) % m
        if gap % g:
            steps.append(Merge(r, d, a, m, g, gap, None, None))
            break
        t = gap // g * pow(d // g, -1, m // g) % (m // g)
        merged = (r + d * t, d * m // g)
        steps.append(Merge(r, d, a, m, g, gap, t, merged))
        r, d = merged
    return tuple(steps)


def combine_general(residues: Sequence[int], moduli: Sequence[int]) -> tuple[int, int] | None:
    """(r, d): x = a_i (mod m_i) for every i means x = r (mod d); d is the lcm, 0 <= r < d.

    None if no x satisfies all; (0, 1) for no congruences.  Raises ValueError unless
    the moduli are >= 1, one residue each.

    >>> combine_general([3, 5], [4, 6])
    (11, 12)
    >>> combine_general([3, 4], [4, 6]) is None  # odd and even
    True
    """
    steps = merges(residues, moduli)
    if steps:
        return steps[-1].merged
    return (residues[0] % moduli[0], moduli[0]) if moduli else (0, 1)
