"""Solving two linear congruences in two unknowns, ax + by = c (mod m) twice.

If the determinant is a unit, by elimination (Cramer's rule); else one unknown is expressed
by the other from a coefficient that is a unit, and what is left is a linear congruence in one
unknown; where no coefficient is a unit, prime power by prime power.

Notation as in `steps`.  Source: Rosen, Elementary Number Theory and Its Applications,
section "Systems of linear congruences" (cited from memory).
"""

from dataclasses import replace
from itertools import product
from math import gcd, prod

from itembank.kinds.base import Solution, Step
from itembank.kinds.linear_pair.steps import (
    Check,
    Combine,
    Conclude,
    Decide,
    Determinant,
    DivideOut,
    Eliminate,
    Express,
    LeastResidues,
    Local,
    OneUnknown,
    Pair,
    Row,
    Rows,
    Split,
    Spread,
    Unknown,
)
from itembank.maths.primes import factorisation
from itembank.maths.remainders import crt_weights, nearest_residue
from itembank.values.answer import LISTED, Pairs
from itembank.values.worded import worded

_CHECKED = 2
"""At most this many pairs are put into the congruences in the working."""


class TooManyPairs(ValueError):
    """There are more pairs than can be listed."""


def solve(rows: Rows, m: int, known_factors: tuple[int, ...] = ()) -> Solution[Pairs]:
    """All pairs (x, y) of least residues.  Raises TooManyPairs, and Unfactored."""
    least = reduced(rows, m)
    steps: list[Step] = [LeastResidues(least, m)] if least != rows else []
    pairs = _solve_modulo(least, m, known_factors, steps)
    steps.append(Conclude(m, pairs))
    if pairs:
        chosen = pairs[:_CHECKED]
        steps.append(Check(least, m, chosen, len(chosen) == len(pairs)))
    return Solution(Pairs(m, pairs), tuple(steps))


def reduced(rows: Rows, m: int) -> Rows:
    (a1, b1, c1), (a2, b2, c2) = rows
    return (a1 % m, b1 % m, c1 % m), (a2 % m, b2 % m, c2 % m)


def _solve_modulo(
    rows: Rows, m: int, known_factors: tuple[int, ...], steps: list[Step]
) -> tuple[Pair, ...]:
    """The pairs, increasing; rows of least residues; the steps are appended."""
    D = determinant(rows) % m
    g = gcd(D, m)
    if m == 1:
        return ((0, 0),)
    coefficients = [n for a, b, _c in rows for n in (a, b)]
    if any(coefficients):
        steps.append(Determinant(rows, m, D, g))
    if g == 1 and all(coefficients):
        return (_eliminated(rows, m, D, steps),)
    if (pivot := unit_coefficient(rows, m)) is not None:
        return by_substitution(rows, m, *pivot, steps)
    factors = factorisation(m, known_factors)
    if len(factors) > 1:
        return _prime_powers(rows, m, factors, steps)
    return _divided(rows, m, factors[0][0], steps)


def determinant(rows: Rows) -> int:
    (a1, b1, _c1), (a2, b2, _c2) = rows
    return a1 * b2 - a2 * b1


def right_sides(rows: Rows) -> Pair:
    """D x and D y, as elimination gives them."""
    (a1, b1, c1), (a2, b2, c2) = rows
    return c1 * b2 - c2 * b1, a1 * c2 - a2 * c1


def _eliminated(rows: Rows, m: int, D: int, steps: list[Step]) -> Pair:
    """The one pair, D a unit."""
    inverse = pow(D, -1, m)
    right_x, right_y = (n % m for n in right_sides(rows))
    x, y = inverse * right_x % m, inverse * right_y % m
    steps.append(Eliminate(rows, m, "x", D, right_x, x))
    steps.append(Eliminate(rows, m, "y", D, right_y, y))
    return x, y


# ------------------------------------------------------------ substitution


def unit_coefficient(rows: Rows, m: int) -> tuple[int, Unknown] | None:
    """The row and the unknown of a coefficient that is a unit: 1 or -1 if there is one."""
    places: list[tuple[int, int, Unknown]] = []
    for i, (a, b, _c) in enumerate(rows):
        places += [(a, i, "x"), (b, i, "y")]
    units = [(n, i, unknown) for n, i, unknown in places if gcd(n, m) == 1]
    if not units:
        return None
    best = min(units, key=lambda place: 0 if place[0] == 1 else 1 if place[0] == m - 1 else 2)
    return best[1], best[2]


def by_substitution(
    rows: Rows, m: int, row: int, unknown: Unknown, steps: list[Step]
) -> tuple[Pair, ...]:
    """unknown = r + s * other from one row, put into the other row."""
    u, v, c = _in_order(rows[row], unknown)
    inverse = nearest_residue(pow(u, -1, m), m)
    r, s = nearest_residue(inverse * c, m), nearest_residue(-inverse * v, m)
    if u == 1 and 2 * c <= m and 2 * v <= m:
        r, s = c, -v
    steps.append(Express(rows, m, row, unknown, inverse, r, s))
    into = u2, v2, c2 = _in_order(rows[1 - row], unknown)
    A, B = (v2 + u2 * s) % m, (c2 - u2 * r) % m
    g = gcd(A, m)
    if B % g:
        steps.append(OneUnknown(m, unknown, into, r, s, A, B, g, (), ()))
        return ()
    if g > LISTED:
        raise TooManyPairs(
            worded(
                "there are {g} solutions, more than the {listed} that are listed",
                g=g,
                listed=LISTED,
            )
        )
    n = m // g
    first = pow(A // g, -1, n) * (B // g) % n
    values = tuple(range(first, m, n))
    pairs = tuple(pair_with(value, unknown, r, s, m) for value in values)
    steps.append(OneUnknown(m, unknown, into, r, s, A, B, g, values, pairs))
    return tuple(sorted(pairs))


def pair_with(other: int, unknown: Unknown, r: int, s: int, m: int) -> Pair:
    """(x, y) for a value of the other unknown, where unknown = r + s * other."""
    value = (r + s * other) % m
    return (value, other) if unknown == "x" else (other, value)


def _in_order(row: Row, unknown: Unknown) -> Row:
    """The row with the coefficient of the unknown first."""
    a, b, c = row
    return (a, b, c) if unknown == "x" else (b, a, c)


# ------------------------------------------------------------ no coefficient a unit


def _prime_powers(
    rows: Rows, m: int, factors: tuple[tuple[int, int], ...], steps: list[Step]
) -> tuple[Pair, ...]:
    steps.append(Split(m, factors))
    found: list[tuple[Pair, ...]] = []
    for p, k in factors:
        q = p**k
        local = reduced(rows, q)
        steps.append(Local(q, local))
        pairs = _solve_modulo(local, q, (p,), steps)
        if not pairs:
            return ()
        found.append(pairs)
    _bounded(prod(map(len, found)))
    weights = crt_weights([p**k for p, k in factors])
    choices = []
    for choice in product(*found):
        x, y = (
            sum(w.e * pair[i] for w, pair in zip(weights, choice, strict=True)) % m for i in (0, 1)
        )
        choices.append((choice, (x, y)))
    steps.append(Combine(weights, tuple(choices), m))
    return tuple(sorted(pair for _choice, pair in choices))


def _divided(rows: Rows, m: int, p: int, steps: list[Step]) -> tuple[Pair, ...]:
    """p divides every coefficient, and m is a power of p."""
    if any(c % p for _a, _b, c in rows):
        steps.append(DivideOut(p, m, rows, None))
        return ()
    (a1, b1, c1), (a2, b2, c2) = rows
    n = m // p
    smaller: Rows = (a1 // p, b1 // p, c1 // p), (a2 // p, b2 // p, c2 // p)
    steps.append(DivideOut(p, m, rows, smaller))
    found = _solve_modulo(smaller, n, (p,), steps)
    _bounded(len(found) * p * p)
    pairs = tuple(
        sorted((x + n * i, y + n * j) for x, y in found for i in range(p) for j in range(p))
    )
    if found:
        steps.append(Spread(p, m, found, pairs))
    return pairs


def _bounded(count: int) -> None:
    if count > LISTED:
        raise TooManyPairs(
            worded(
                "there are {count} solutions, more than the {listed} that are listed",
                count=count,
                listed=LISTED,
            )
        )


# ------------------------------------------------------------ whether, and how many


def decided(solution: Solution[Pairs], ask: str) -> Solution[Pairs]:
    """The solution as far as it takes to say whether there is a pair, or how many.

    A determinant with an inverse is enough; so is the greatest common divisor where one unknown
    is left.
    """
    if not solution.answer.pairs:
        return solution
    left_out = (Eliminate, Conclude, Check, Combine, *((Spread,) if ask == "whether any" else ()))
    steps: list[Step] = []
    counts: tuple[int, ...] = ()
    for step in solution.steps:
        if isinstance(step, Combine):
            chosen = zip(*(choice for choice, _pair in step.choices), strict=True)
            counts = tuple(len(set(pairs)) for pairs in chosen)
        if isinstance(step, OneUnknown):
            steps.append(replace(step, pairs=()))
        elif not isinstance(step, left_out):
            steps.append(step)
    answer = solution.answer
    end = Decide(answer.modulus, counts, len(answer.pairs), ask == "whether any")
    return Solution(answer, (*steps, end))
