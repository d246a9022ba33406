"""Squares modulo m: listed from a table, or put together from the prime powers of m.

Method taught: square 0, 1, ..., m/2. For a large m: a residue is a square modulo m exactly
if it is one modulo each prime power of m (Chinese remainder theorem), and modulo a prime
power the squares are known from those modulo p, or modulo 8.
"""

from math import gcd, prod

from itembank.kinds.base import Solution, Step
from itembank.kinds.squares.steps import (
    Level,
    LocalSquares,
    MultiplyCounts,
    SplitModulus,
    SquareTable,
)
from itembank.maths.primes import Factors, is_prime
from itembank.maths.remainders import crt_weights
from itembank.maths.squares import (
    TooManySquares,
    number_of_squares,
    number_of_unit_squares,
    squares,
    unit_squares,
)
from itembank.values.answer import Part, ResidueSet, Value
from itembank.values.errors import StatementError
from itembank.values.worded import worded

_WRITTEN_OUT = 24
"""At most so many squares are put together one by one."""

_TABLE = 60
"""Largest modulus whose residues are squared one by one."""


def whole_set(m: int, factors: Factors, units: bool, statement: str) -> Solution[ResidueSet]:
    """All squares modulo m; StatementError where they are too many to list."""
    if m <= _TABLE:
        return Solution(_by_table(m, units), (_square_table(m, units),))
    try:
        parts = [Part(p**k, _classes(p, k, units)) for p, k in factors]
        local = _all_local(factors, units, listed=True)
    except TooManySquares:
        total = prod(_number(p, k, units) for p, k in factors)
        raise StatementError(
            worded(
                "{statement}: they are {total}, too many to list; 'number of {statement}' "
                "tells how they are counted",
                statement=statement,
                total=total,
            )
        ) from None
    return Solution(
        ResidueSet.product(parts), (*_split(m, factors), *local, *_product(m, local, True))
    )


def count(m: int, factors: Factors, units: bool) -> Solution[Value]:
    """How many squares there are modulo m."""
    local = _all_local(factors, units, listed=False)
    total = prod(step.count for step in local)
    return Solution(Value(total), (*_split(m, factors), *local, *_product(m, local, False)))


# ------------------------------------------------------------ from a table


def _square_table(m: int, units: bool) -> SquareTable:
    rows = [(x, x * x, x * x % m) for x in range(m // 2 + 1) if not units or gcd(x, m) == 1]
    return SquareTable(m, units, is_prime(m), tuple(rows))


def _by_table(m: int, units: bool) -> ResidueSet:
    found = {residue for _x, _square, residue in _square_table(m, units).rows}
    return ResidueSet.of(m, [(r, m) for r in found])


# ------------------------------------------------------------ from the prime powers


def _split(m: int, factors: Factors) -> list[Step]:
    return [SplitModulus(m, factors)] if len(factors) > 1 or any(k > 1 for _p, k in factors) else []


def _product(m: int, local: list[LocalSquares], listed: bool) -> list[Step]:
    if len(local) < 2:
        return []
    counts = tuple((step.p, step.k, step.count) for step in local)
    weights = [w.e for w in crt_weights([p**k for p, k, _n in counts])] if listed else []
    total = prod(step.count for step in local)
    few = listed and total <= _WRITTEN_OUT
    residues = tuple(_residues_of(step) for step in local) if few else ()
    return [MultiplyCounts(m, counts, total, tuple(weights), residues)]


def _residues_of(step: LocalSquares) -> tuple[int, ...]:
    """The squares modulo p^k, 0 among them unless only the coprime ones are wanted."""
    q = step.p**step.k
    found = _classes(step.p, step.k, step.units)
    return tuple(sorted({x for r, d in found for x in range(r, q, d)}))


def _classes(p: int, k: int, units: bool) -> tuple[tuple[int, int], ...]:
    return unit_squares(p, k) if units else squares(p, k)


def _number(p: int, k: int, units: bool) -> int:
    return number_of_unit_squares(p, k) if units else number_of_squares(p, k)


def _all_local(factors: Factors, units: bool, listed: bool) -> list[LocalSquares]:
    """The squares modulo each prime power; what holds for odd primes is told of the first."""
    first = next((p for p, _k in factors if p > 2), 0)
    return [_local_squares(p, k, units, listed, again=p > first > 0) for p, k in factors]


def _local_squares(p: int, k: int, units: bool, listed: bool, again: bool = False) -> LocalSquares:
    last = 1 if units else (k + 1) // 2
    levels = [_level(p, k, j, listed) for j in range(last)]
    return LocalSquares(p, k, units, tuple(levels), _number(p, k, units), again)


def _level(p: int, k: int, j: int, listed: bool) -> Level:
    q, n = p ** (2 * j), k - 2 * j
    found = tuple((q * r, q * d) for r, d in unit_squares(p, n)) if listed else ()
    return Level(p, k, q, n, found, number_of_unit_squares(p, n))
