"""Roots of x^k = a modulo primes and their powers, with the numbers that a solution shows.

Letters: p prime and e an exponent (unchecked everywhere), k >= 1, a prime to p,
d = gcd(k, p - 1), s the power of p in k.  Modulo p there are d roots or none, by
the value of a^((p-1)/d); none is ever found by trying residues.

Sources: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers,
5th ed., sections 2.8 (the criterion) and 2.9 (square roots); Cohen, A
Course in Computational Algebraic Number Theory, 1.5.1 (Tonelli-Shanks);
Adleman, Manders & Miller, On taking roots in finite fields, FOCS 1977, for the
correction in a small subgroup.
"""

from dataclasses import dataclass
from math import gcd, prod

from itembank.maths.groups import index_in_prime_power
from itembank.maths.prime_roots import least_non_residue, square_root_mod_prime
from itembank.maths.primes import Factors, factorisation, valuation
from itembank.maths.remainders import combine

# ------------------------------------------------------------ how many


def criterion(k: int, a: int, p: int) -> int:
    """a^((p-1)/d) mod p with d = gcd(k, p - 1): x^k = a (mod p) is solvable if it is 1.

    >>> criterion(4, 13, 17), criterion(3, 2, 7)
    (1, 4)
    """
    return pow(a, (p - 1) // gcd(k, p - 1), p)


def count_of_unit_roots(k: int, a: int, p: int, e: int) -> int:
    """How many x modulo p^e have x^k = a (mod p^e), for an a that p does not divide.

    The units modulo p^e form a cyclic group if p is odd; for p = 2 an even power is 1
    modulo 2^(s+2), s the power of 2 in k, and 3^(2^i) generates what is left.

    >>> count_of_unit_roots(2, 17, 2, 5), count_of_unit_roots(3, 1, 3, 3)
    (4, 3)
    """
    if p == 2:
        if k % 2:
            return 1
        s = valuation(k, 2)
        if (a - 1) % 2 ** min(e, s + 2):
            return 0
        return 1 << min(e - 1, s + 1)
    group = p ** (e - 1) * (p - 1)
    d = gcd(k, group)
    return d if pow(a, group // d, p**e) == 1 else 0


# ------------------------------------------------------------ square roots, step by step


@dataclass(frozen=True, slots=True)
class Round:
    """One round of Tonelli-Shanks: r^2 = a t, t of order 2^i, 0 < i < m, c of order 2^m.

    b = c^(2^(m-i-1)); the next r and t are r b and t b^2.
    """

    r: int
    t: int
    c: int
    m: int
    i: int
    b: int


@dataclass(frozen=True, slots=True)
class TonelliShanks:
    """p - 1 = 2^s q with q odd; z is no square; the rounds from r = a^((q+1)/2), t = a^q."""

    s: int
    q: int
    z: int
    rounds: tuple[Round, ...]
    root: int


def tonelli_shanks(a: int, p: int) -> TonelliShanks:
    """The rounds that find a root of the square a modulo p > 2; z is the least non-square.

    Requires that a is a square prime to p: unchecked.

    >>> tonelli_shanks(5, 41).root, len(tonelli_shanks(5, 41).rounds)
    (28, 2)
    """
    s = valuation(p - 1, 2)
    q = (p - 1) >> s
    z = least_non_residue(p)
    r, t, c, m = pow(a, (q + 1) // 2, p), pow(a, q, p), pow(z, q, p), s
    rounds = []
    while t != 1:
        i, power = 0, t
        while power != 1:
            power, i = power * power % p, i + 1
        b = pow(c, 1 << (m - i - 1), p)
        rounds.append(Round(r, t, c, m, i, b))
        c, m = b * b % p, i
        r, t = r * b % p, t * c % p
    return TonelliShanks(s, q, z, tuple(rounds), r)


# ------------------------------------------------------------ roots of any degree


@dataclass(frozen=True, slots=True)
class CorrectedRoot:
    """A root of x^d = b modulo p, d | p - 1, by one guess and its correction.

    p - 1 = D q, where D holds the primes of d and q is prime to D; d v = 1 (mod q).
    The guess b^v has (b^v)^d = b w with w^D = 1.  z = h^q has order D and w z^j = 1
    with d | j, so root = b^v z^(j/d).
    """

    D: int
    q: int
    v: int
    guess: int
    w: int
    h: int
    z: int
    j: int
    root: int


def corrected_root(d: int, b: int, p: int) -> CorrectedRoot:
    """As `CorrectedRoot`.  Requires d | p - 1 (ValueError), and that b has a root: unchecked.

    >>> corrected_root(3, 8, 31).root ** 3 % 31
    8
    """
    if (p - 1) % d:
        raise ValueError(f"{d} does not divide {p} - 1")
    primes = tuple((ell, valuation(p - 1, ell)) for ell, _ in factorisation(d))
    D = prod(ell**f for ell, f in primes)
    q = (p - 1) // D
    v = pow(d, -1, q)
    guess = pow(b, v, p)
    w = pow(guess, d, p) * pow(b, -1, p) % p
    h = 2
    while any(pow(h, (p - 1) // ell, p) == 1 for ell, _ in primes):
        h += 1
    z = pow(h, q, p)
    j = -_index_in_group(w, z, primes, p) % D
    return CorrectedRoot(D, q, v, guess, w, h, z, j, guess * pow(z, j // d, p) % p)


def _index_in_group(w: int, z: int, primes: Factors, p: int) -> int:
    """The i in [0, D) with z^i = w (mod p), z of order D = the product of the primes' powers.

    Requires that w is a power of z (ValueError).
    """
    D = prod(ell**f for ell, f in primes)
    digits = []
    for ell, f in primes:
        n = ell**f
        i = index_in_prime_power(pow(w, D // n, p), pow(z, D // n, p), p, ell, f)
        if i is None:
            raise ValueError(f"{w} is no power of {z} modulo {p}")
        digits.append(i)
    return combine(digits, [ell**f for ell, f in primes])


def root_of_unity(d: int, p: int) -> tuple[int, int]:
    """(h, z): the least h >= 2 for which z = h^((p-1)/d) has order d modulo p.

    Requires d | p - 1 (ValueError).

    >>> root_of_unity(3, 7)
    (2, 4)
    """
    if (p - 1) % d:
        raise ValueError(f"{d} does not divide {p} - 1")
    primes = [ell for ell, _f in factorisation(d)]
    h, z = 2, pow(2, (p - 1) // d, p)
    while z == 0 or any(pow(z, d // ell, p) == 1 for ell in primes):
        h += 1
        z = pow(h, (p - 1) // d, p)
    return h, z


def least_root(q: int, a: int, p: int) -> int:
    """The least b >= 0 with b^q = a (mod p), q a prime divisor of p - 1.

    Requires that there is one, and that p does not divide a: unchecked.

    >>> least_root(2, 2, 7), least_root(3, 8, 31)
    (3, 2)
    """
    if q == 2:
        b = square_root_mod_prime(a, p)
        assert b is not None
        return b
    b, (_h, z) = corrected_root(q, a, p).root, root_of_unity(q, p)
    least = b
    for _ in range(q - 1):
        b = b * z % p
        least = min(least, b)
    return least


# ------------------------------------------------------------ lifting


@dataclass(frozen=True, slots=True)
class PowerLift:
    """r mod p^j made right one power of p further: r becomes r + p^j t.

    power = r^k mod p^(j+s+1), quotient = (r^k - a)/p^(j+s) and slope = (k/p^s) r^(k-1),
    least residues modulo p; quotient + slope * t = 0 (mod p).
    """

    j: int
    r: int
    power: int
    quotient: int
    slope: int
    t: int


def power_lifts(k: int, a: int, p: int, e: int, r: int, start: int) -> list[PowerLift]:
    """From r mod p^start to the class of roots of x^k = a modulo p^e: j = start, ..., e - s - 1.

    With s the power of p in k: (r + p^j t)^k = r^k + k r^(k-1) p^j t (mod p^(j+s+1)), for
    j >= 1, and j >= 2 if p = 2 and k is even.  So r^k = a (mod p^(start+s)) is required
    (ValueError); then the digits are determined, and every x = r (mod p^(e-s)) is a root.

    >>> [(step.j, step.r, step.t) for step in power_lifts(2, 14, 5, 2, 2, 1)]
    [(1, 2, 3)]
    """
    s = valuation(k, p)
    cofactor = k // p**s
    steps = []
    place, q = p**start, p ** (start + s)
    square = r * r
    for j in range(start, e - s):
        power = _residue(square, q * p, p) if k == 2 else pow(r, k, q * p)
        gap = _residue(power - a, q * p, p)
        if gap % q:
            raise ValueError(f"{r}^{k} is not congruent to {a} modulo {p}^{j + s}")
        quotient = gap // q
        slope = cofactor * pow(r, k - 1, p) % p
        t = -quotient * pow(slope, -1, p) % p
        steps.append(PowerLift(j, r, power, quotient, slope, t))
        if t:
            if k == 2:  # from one square to the next, without multiplying it out
                square += (2 * r + place) << j if p == 2 else place * t * (2 * r + place * t)
            r += place * t
        place, q = place * p, q * p
    return steps


def _residue(n: int, q: int, p: int) -> int:
    """n modulo a power q of p; of 2 it is the last digits, which take no division.

    >>> _residue(-3, 8, 2), _residue(-3, 9, 3)
    (5, 6)
    """
    return n & (q - 1) if p == 2 else n % q


def lifted_by(steps: list[PowerLift], r: int, p: int) -> int:
    """The r that the steps end with; without any, r itself."""
    return steps[-1].r + p ** steps[-1].j * steps[-1].t if steps else r
