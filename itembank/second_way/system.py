"""The second way for a system of congruences in one unknown: every residue tried, or sifted.

The system is a list of congruences f(x) ≡ 0 (mod m_i) and the modulus N under which
solutions are listed, a multiple of every m_i; L is the least common multiple.

Small L: every residue is put into every congruence. Larger: the residues that solve the
congruence with the largest m_i are found by trial, and of these numbers, counted up to L
by that modulus, those that solve the next congruence are kept, and so on: no inverse is
ever taken. Only where that takes too long are linear congruences left to sympy, and what
it finds is put into all of them; that nothing is found is believed only where two of
them contradict each other modulo their common divisor.

A lifting step (`lift x = 2 mod 5 to x^2 + 4x + 23 = 0 mod 25`) is such a system: the
congruence above, and the root below.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import combinations
from math import gcd, lcm

from itembank.second_way import budget, listed
from itembank.second_way.budget import Work
from itembank.second_way.congruence import solutions_by_trial, value
from itembank.second_way.kind import Kind
from itembank.second_way.reading import Congruence, congruence
from itembank.second_way.verdict import Method, Undecided, done
from itembank.values.errors import StatementError

_TRIED = 100_000
"""The largest modulus all of whose residues are tried."""

_SIFTED = 2_000_000
"""The most numbers that are sifted by one congruence."""

_LISTED = 100_000
"""The most solutions that are listed."""

_MOST = 50
"""The most congruences of a system."""


@dataclass(frozen=True)
class System:
    """The congruences, each with least residues, in the order of size; and the modulus N."""

    congruences: tuple[Congruence, ...]
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


# ------------------------------------------------------------ statements

_BOUND = re.compile(r"0\s*(?:<=|≤)\s*[A-Za-z]\s*<\s*(\d{1,2000})")
_LIFT = re.compile(r"lift (?P<below>.+? mod .+?) to (?P<above>.+)", re.I)


def read(lines: Sequence[str]) -> System:
    """The system of several lines; the last may be the range in which solutions are listed."""
    *first, last = lines
    bound = _BOUND.fullmatch(" ".join(last.split()).rstrip("."))
    rows = tuple(map(congruence, first if bound else lines))
    letters = {letter for line in lines for letter in unknowns(line)}
    if len(rows) > _MOST or len(letters) > 1:
        raise StatementError(
            f"statement: expected at most {_MOST} congruences in one unknown, got {len(rows)} "
            f"in {', '.join(sorted(letters))}"
        )
    return _of(rows, int(bound[1]) if bound else lcm(*(row.modulus for row in rows)))


def read_lift(line: str) -> System | None:
    """The system that a lifting step is; None for a line of another form."""
    match = _LIFT.fullmatch(" ".join(line.split()))
    return read([match["above"], match["below"]]) if match else None


def _of(rows: Sequence[Congruence], modulus: int) -> System:
    if not rows or modulus < 1 or any(modulus % row.modulus for row in rows):
        raise StatementError(
            f"statement: expected a multiple of every modulus as the range, got {modulus}"
        )
    ordered = sorted(rows, key=lambda row: (row.modulus, row.coefficients))
    return System(tuple(ordered), modulus, tuple(h for row in rows for h in row.hints))


def unknowns(line: str) -> set[str]:
    """The single letters of a line."""
    return set(re.findall(r"(?<![A-Za-z])[A-Za-z](?![A-Za-z])", line))


# ------------------------------------------------------------ solutions


def _members(question: System) -> tuple[tuple[int, ...], Method]:
    """All solutions among the residues modulo N, increasing, and how they were found."""
    found, whole, method = _solutions_modulo_lcm(question)
    copies = question.modulus // whole
    if len(found) * copies > _LISTED:
        raise Undecided(f"there are {len(found) * copies} solutions, {_LISTED} are listed")
    return tuple(x + whole * i for i in range(copies) for x in found), method


@lru_cache(maxsize=256)
def _solutions_modulo_lcm(question: System) -> tuple[tuple[int, ...], int, Method]:
    """The solutions modulo L, increasing; L; and how they were found."""
    rows = question.congruences
    whole = lcm(*(row.modulus for row in rows))
    if whole <= _TRIED:
        Work("trying all residues").spend(whole * sum(len(row.coefficients) for row in rows))
        found = tuple(x for x in range(whole) if all(_holds(row, x) for row in rows))
        return found, whole, done("all {whole} residues tried in every congruence", whole=whole)
    sifted = by_sifting(rows)
    if sifted is not None:
        return sifted, whole, done("solutions of one congruence sifted by the others")
    return linear_by_sympy(rows), whole, done("found by sympy, and put into every congruence")


def _holds(row: Congruence, x: int) -> bool:
    return value(row.coefficients, x, row.modulus) == 0


def by_sifting(rows: Sequence[Congruence]) -> tuple[int, ...] | None:
    """The solutions modulo the lcm, increasing; None where there is too much to sift."""
    *others, largest = rows
    start = solutions_by_trial(largest)
    if start is None:
        return None
    found, d, products = list(start), largest.modulus, 0
    for row in reversed(others):
        n = lcm(d, row.modulus)
        sifted = len(found) * (n // d)
        products += sifted * len(row.coefficients)
        if sifted > _SIFTED or products > budget.PRODUCTS:
            return None
        found = [x for r in found for x in range(r, n, d) if _holds(row, x)]
        d = n
    return tuple(sorted(found))


def linear_by_sympy(rows: Sequence[Congruence]) -> tuple[int, ...]:
    """The solution of linear congruences x ≡ r (mod m) with huge moduli, or none."""
    from sympy.ntheory.modular import solve_congruence

    classes = []
    for row in rows:
        f, m = row.coefficients, row.modulus
        if len(f) != 2 or f[1] != 1:
            raise Undecided("congruences other than x ≡ r modulo large numbers")
        classes.append((-f[0] % m, m))
    if any((r - s) % gcd(m, n) for (r, m), (s, n) in combinations(classes, 2)):
        return ()
    found = solve_congruence(*classes)
    if found is None or not all(_holds(row, int(found[0])) for row in rows):
        raise Undecided("a system whose solution was not found")
    return (int(found[0]),)


def _solutions(question: System) -> tuple[int, ...] | None:
    try:
        return _members(question)[0]
    except Undecided:
        return None


KIND = Kind(checks=listed.checks(_members), solutions=_solutions)
