"""The evidence that every kind has: solutions substituted, counts, the second way, wrong answers.

Everything is derived anew from an item's statement: nothing that was known when the item was
made is used.  What can be checked by hand of one kind alone, its record says (`kinds/base.py`).
It is told as messages: a packet says them in the language of its reader.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed., 2.3
(local counts multiply).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import prod
from typing import Any

from itembank.kinds.base import Problem, Solution
from itembank.kinds.congruence import Congruence
from itembank.kinds.power_root.kind import PowerRoot
from itembank.kinds.solution_count.kind import SolutionCount
from itembank.kinds.statement import problem_from
from itembank.kinds.system.kind import System
from itembank.kinds.table import KINDS
from itembank.languages import BREAK, Said, Told, counted, grid, lead, say
from itembank.languages.saying import Cell
from itembank.maths.polynomials import Poly, value, value_mod
from itembank.maths.primes import Unfactored, factorisation
from itembank.notation.building import dotted, equal, polynomial
from itembank.notation.tree import Letter
from itembank.pipeline.selection import claim_of
from itembank.second_way import table as second_way
from itembank.second_way.table import Verdict
from itembank.values.answer import Absent, ResidueSet, TooMany
from itembank.values.errors import ItemBankError

_SUBSTITUTED = 12
"""Solutions substituted one by one."""

_TABLED = 32
"""A failing prime power up to this has the table of its values."""

_LOCAL = 2_000
"""Prime powers up to this are counted by trying every residue."""

_LEGIBLE = 10**15
"""Values beyond this are shown as residues."""

_EXACT_BITS = 10_000
"""Binary digits of a value that is computed whole; a longer one is shown modulo the modulus."""

_DEGREE = 1_000
"""Powers of the unknown beyond this have no table of values."""

_TRIED = 1_000_000
"""Products in counting the solutions modulo all prime powers."""


@lru_cache(maxsize=256)
def _factorised(m: int) -> tuple[tuple[int, int], ...] | None:
    """The prime powers of m; None where that is too much work, which is found once."""
    try:
        return factorisation(m)
    except Unfactored:
        return None


@dataclass(frozen=True)
class Sides:
    """left(x) = right(x) (mod modulus), polynomials in one letter."""

    left: Poly
    right: Poly
    modulus: int
    letter: str

    @property
    def f(self) -> Poly:
        n = max(len(self.left), len(self.right))
        pad = (0,) * n
        return tuple(
            a - b for a, b in zip((*self.left, *pad)[:n], (*self.right, *pad)[:n], strict=True)
        )

    def holds(self, x: int) -> bool:
        return value_mod(self.f, x, self.modulus) == 0


def _sides_of(problem: Problem) -> tuple[Sides, ...]:
    """The congruences in one unknown of which the problem speaks; () if it speaks of none."""
    match problem:
        case Congruence():
            return (Sides(problem.left, problem.right, problem.modulus, problem.letter),)
        case PowerRoot() if problem.exponent <= _DEGREE:
            left = (0,) * problem.exponent + (1,)
            return (Sides(left, (problem.power,), problem.modulus, problem.letter),)
        case System():
            return tuple(s for c in problem.congruences for s in _sides_of(c))
        case SolutionCount():
            return _sides_of(problem.congruence)
    return ()


@dataclass(frozen=True)
class Evidence:
    """A statement solved anew, and what a second method says of the whole answer."""

    problem: Problem
    solution: Solution[Any]
    verdict: Verdict

    @cached_property
    def sides(self) -> tuple[Sides, ...]:
        return _sides_of(self.problem)

    @cached_property
    def certificates(self) -> tuple[Told, ...]:
        return tuple(_certificates(self))

    @property
    def residues(self) -> tuple[int, ...] | None:
        """The solutions, if the answer is a set of residues that can be listed."""
        if not isinstance(self.solution.answer, ResidueSet):
            return None
        try:
            return self.solution.answer.residues()
        except TooMany:
            return None


def evidence(statement: Sequence[str]) -> Evidence:
    """The evidence for what a statement asks; StatementError if it cannot be read."""
    problem = problem_from(statement)
    solution = problem.solve()
    verdict = second_way.decide(problem.statement, *claim_of(solution.answer))
    return Evidence(problem, solution, verdict)


# ------------------------------------------------------------ certificates


def _certificates(found: Evidence) -> Iterator[Told]:
    """Each solution substituted, what the kind says, why there is no other solution, or none."""
    problem, answer = found.problem, found.solution.answer
    if found.sides and found.residues:
        yield from _substitutions(found.sides, found.residues)
    by_kind = tuple(KINDS[problem.kind].certificate(problem, answer))
    yield from by_kind
    if len(found.sides) == 1:
        yield from _local_counts(found.sides[0], found.residues)
    if isinstance(answer, Absent) and answer.reason not in by_kind:
        yield BREAK
        yield answer.reason


def _substitutions(sides: Sequence[Sides], solutions: tuple[int, ...]) -> Iterator[Told]:
    for c in sides:
        yield lead("Substituted.")
        yield say(
            "Left and right side at each solution; their difference is a multiple of ${m}$.",
            m=c.modulus,
        )
        left, right = polynomial(c.left, c.letter), polynomial(c.right, c.letter)
        yield grid(
            (Letter(c.letter), left, right, say("difference")),
            [_row(c, x) for x in solutions[:_SUBSTITUTED]],
            row_heads=True,
        )
    if len(solutions) > _SUBSTITUTED:
        yield say(
            "The first {n} of {all} solutions are shown; the second way tried them all.",
            n=_SUBSTITUTED,
            all=len(solutions),
        )


def _row(c: Sides, x: int) -> tuple[Cell, ...]:
    return x, _side_at(c, c.left, x), _side_at(c, c.right, x), _multiple(c, x)


def _side_at(c: Sides, f: Poly, x: int) -> Cell:
    """The value of one side at x: itself, how long it is, or what it leaves."""
    if _too_long(f, x):
        return _residue(value_mod(f, x, c.modulus), c.modulus)
    n = value(f, x)
    return n if abs(n) < _LEGIBLE else say("a number of {n} digits", n=len(str(abs(n))))


def _too_long(f: Poly, x: int) -> bool:
    """Whether f(x) may have more than _EXACT_BITS binary digits."""
    largest = max((abs(c) for c in f), default=0)
    return len(f) * x.bit_length() + largest.bit_length() > _EXACT_BITS


def _residue(r: int, m: int) -> Said:
    return say("${r}$ modulo ${m}$", r=r, m=m)


def _multiple(c: Sides, x: int) -> Cell:
    """The difference of the sides as a multiple of the modulus, or what it leaves."""
    remainder = value_mod(c.f, x, c.modulus)
    if remainder or _too_long(c.f, x):
        return _residue(remainder, c.modulus)
    difference = value(c.f, x)
    if abs(difference) >= _LEGIBLE:
        return _residue(0, c.modulus)
    return equal(difference, dotted((difference // c.modulus, c.modulus)))


def _local_counts(c: Sides, solutions: tuple[int, ...] | None) -> Iterator[Told]:
    """The number of solutions is the product of the numbers modulo the prime powers."""
    factors = _factorised(c.modulus)
    if factors is None or any(p**k > _LOCAL for p, k in factors):
        return
    if sum(p**k for p, k in factors) * len(c.f) > _TRIED:
        return
    counts = {p**k: sum(value_mod(c.f, x, p**k) == 0 for x in range(p**k)) for p, k in factors}
    for p, k in factors:
        if not counts[p**k]:
            yield from _failing(c, p, k)
            return
    if len(factors) > 1:
        yield lead("Complete.")
        for q, n in counts.items():
            yield counted("{n} solution modulo ${q}$.", "{n} solutions modulo ${q}$.", n, q=q)
        product = dotted(counts.values())
        yield say("In all ${product} = {n}$.", product=product, n=prod(counts.values()))
    elif solutions is not None:
        yield lead("Complete.")
        yield counted(
            "All ${m}$ residues tried: {n} solution.",
            "All ${m}$ residues tried: {n} solutions.",
            counts[c.modulus] if counts else 1,
            m=c.modulus,
        )


def _failing(c: Sides, p: int, k: int) -> Iterator[Told]:
    """The smallest power of p modulo which nothing solves the congruence, with every value."""
    j = next(j for j in range(1, k + 1) if not any(
        value_mod(c.f, x, p**j) == 0 for x in range(p**j)))  # fmt: skip
    q = p**j
    yield lead("No solution.")
    yield say("Modulo ${q}$, which divides ${m}$, no residue solves it.", q=q, m=c.modulus)
    if q <= _TABLED:
        yield grid(
            (Letter(c.letter), say("${f}$ modulo ${q}$", f=polynomial(c.f, c.letter), q=q)),
            [(x, value_mod(c.f, x, q)) for x in range(q)],
            row_heads=True,
        )


# ------------------------------------------------------------ where a wrong answer fails


def first_failure(found: Evidence, claim: Sequence[Any]) -> Said | None:
    """The first step at which a wrong answer fails; None where the kind has no such test."""
    key = found.residues
    if not found.sides or key is None or any(not isinstance(x, int) for x in claim):
        return None
    for x in claim:
        for c in found.sides:
            if not c.holds(x):
                return _fails_at(c, x)
    missing = [x for x in key if x not in claim]
    if not missing:
        return None
    if not claim:
        return say("${x}$ is a solution.", x=missing[0])
    return say("All of it solves the congruence, but ${x}$ is missing.", x=missing[0])


def _fails_at(c: Sides, x: int) -> Said:
    """The first prime power of the modulus, and the least exponent, at which x is no solution."""
    for p, k in _factorised(c.modulus) or ():
        for j in range(1, k + 1):
            if r := value_mod(c.f, x, p**j):
                return _fails_at_power(x, p, j, r)
    return say(
        "${x}$: the difference of the sides is ${r}$ modulo ${m}$.",
        x=x,
        r=value_mod(c.f, x, c.modulus),
        m=c.modulus,
    )


def _fails_at_power(x: int, p: int, j: int, r: int) -> Said:
    """x solves modulo p^(j - 1); modulo p^j the sides differ by r."""
    if j == 1:
        return say(
            "${x}$: no root modulo the prime ${p}$; the difference of the sides is ${r}$ modulo "
            "${p}$.",
            x=x,
            p=p,
            r=r,
        )
    return say(
        "${x}$: a root modulo ${before}$ that is not lifted; the difference of the sides is "
        "${r}$ modulo ${q}$.",
        x=x,
        before=p ** (j - 1),
        r=r,
        q=p**j,
    )


def evidence_or_none(statement: Sequence[str]) -> Evidence | None:
    """The evidence, or None where the statement cannot be read or solved."""
    try:
        return evidence(statement)
    except ItemBankError:
        return None


def prime_power_of(c: Sides) -> tuple[tuple[int, int], ...]:
    """The prime powers with exponent 2 or more, where lifting happens."""
    return tuple((p, k) for p, k in _factorised(c.modulus) or () if k > 1)


__all__ = ["Evidence", "Sides", "evidence", "evidence_or_none", "first_failure", "prime_power_of"]
