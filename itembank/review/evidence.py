"""Small certificates, each to be checked by hand, and what the second way says.

Everything is derived anew from an item's statement: nothing that was known when the item was
made is used.  A certificate is prose and tables in the notation tree.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed., 2.3
(local counts multiply); for other kinds see `other_kinds`.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import gcd, prod
from typing import Any

from itembank.kinds.base import Problem, Solution
from itembank.kinds.congruence import Congruence
from itembank.kinds.lifting_step.kind import LiftingStep
from itembank.kinds.linear.kind import LinearCongruence
from itembank.kinds.power_root.kind import PowerRoot
from itembank.kinds.solution_count.kind import SolutionCount
from itembank.kinds.statement import problem_from
from itembank.kinds.system.kind import System
from itembank.languages import Speaker
from itembank.languages.words import _, ngettext
from itembank.maths.polynomials import Poly, value, value_mod
from itembank.notation.building import plain_polynomial
from itembank.notation.prose import paragraph, table
from itembank.notation.tree import Block, Blocks
from itembank.pipeline.selection import claim_of
from itembank.review.other_kinds import SUBSTITUTED, certificates_by_kind, factorised
from itembank.second_way import table as second_way
from itembank.second_way.table import Verdict
from itembank.values.answer import Absent, ResidueSet, TooMany
from itembank.values.errors import ItemBankError

TABLED = 32
"""A failing prime power up to this has the table of its values."""

LOCAL = 2_000
"""Prime powers up to this are counted by trying every residue."""

LEGIBLE = 10**15
"""Values beyond this are shown as residues."""

EXACT_BITS = 10_000
"""Binary digits of a value that is computed whole; a longer one is shown modulo the modulus."""

DEGREE = 1_000
"""Powers of the unknown beyond this have no table of values."""

TRIED = 1_000_000
"""Products in counting the solutions modulo all prime powers."""


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


def sides_of(problem: Problem) -> tuple[Sides, ...]:
    """The congruences in one unknown of which the problem speaks; () if it speaks of none."""
    match problem:
        case Congruence():
            return (Sides(problem.left, problem.right, problem.modulus, problem.letter),)
        case PowerRoot() if problem.exponent <= DEGREE:
            left = (0,) * problem.exponent + (1,)
            return (Sides(left, (problem.power,), problem.modulus, problem.letter),)
        case System():
            return tuple(s for c in problem.congruences for s in sides_of(c))
        case SolutionCount():
            return sides_of(problem.congruence)
    return ()


@dataclass(frozen=True)
class Evidence:
    """A statement solved anew, and what a second method says of the whole answer."""

    problem: Problem
    solution: Solution[Any]
    verdict: Verdict

    @cached_property
    def sides(self) -> tuple[Sides, ...]:
        return sides_of(self.problem)

    @cached_property
    def certificates(self) -> Blocks:
        return tuple(certificates(self))

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


def certificates(found: Evidence) -> Iterator[Block]:
    problem, answer = found.problem, found.solution.answer
    if found.sides:
        yield from about_congruences(found)
    elif isinstance(problem, LiftingStep) and found.residues:
        lifted = problem.prime ** (problem.exponent + 1)
        sides = Sides(problem.left, problem.right, lifted, problem.letter)
        yield from substitutions([sides], found.residues)
    yield from certificates_by_kind(problem, answer)
    if isinstance(answer, Absent):
        reason = answer.reason
        yield from (paragraph(reason),) if isinstance(reason, str) else Speaker().blocks((reason,))


def about_congruences(found: Evidence) -> Iterator[Block]:
    """Each solution substituted; then why there is no other, or none at all."""
    solutions = found.residues
    if solutions:
        yield from substitutions(found.sides, solutions)
    if len(found.sides) != 1:
        return
    (c,) = found.sides
    if isinstance(found.problem, LinearCongruence):
        yield from linear(c, solutions)
    yield from local_counts(c, solutions)


def substitutions(sides: Sequence[Sides], solutions: tuple[int, ...]) -> Iterator[Block]:
    for c in sides:
        rows = [
            [f"${x}$", shown(c, c.left, x), shown(c, c.right, x), multiple(c, x)]
            for x in solutions[:SUBSTITUTED]
        ]
        left, right = (plain_polynomial(p, c.letter) for p in (c.left, c.right))
        yield paragraph(
            _(
                "Left and right side at each solution; their difference is a multiple of ${m}$."
            ).format(m=c.modulus),
            _("Substituted."),
        )
        yield table([f"${c.letter}$", f"${left}$", f"${right}$", _("difference")], rows, True)
    if len(solutions) > SUBSTITUTED:
        yield paragraph(
            _("The first {n} of {all} solutions are shown; the second way tried them all.").format(
                n=SUBSTITUTED, all=len(solutions)
            )
        )


def shown(c: Sides, f: Poly, x: int) -> str:
    """The value of one side at x: itself, how long it is, or what it leaves."""
    if too_long(f, x):
        return residue(c, f, x)
    n = value(f, x)
    return f"${n}$" if abs(n) < LEGIBLE else _("a number of {n} digits").format(n=len(str(abs(n))))


def too_long(f: Poly, x: int) -> bool:
    """Whether f(x) may have more than EXACT_BITS binary digits."""
    largest = max((abs(c) for c in f), default=0)
    return len(f) * x.bit_length() + largest.bit_length() > EXACT_BITS


def residue(c: Sides, f: Poly, x: int) -> str:
    return f"${value_mod(f, x, c.modulus)}$ {_('modulo')} ${c.modulus}$"


def multiple(c: Sides, x: int) -> str:
    if too_long(c.f, x):
        return residue(c, c.f, x)
    difference = value(c.f, x)
    if difference % c.modulus:
        return f"${difference % c.modulus}$ {_('modulo')} ${c.modulus}$"
    if abs(difference) >= LEGIBLE:
        return f"$0$ {_('modulo')} ${c.modulus}$"
    return f"${difference} = {difference // c.modulus} · {c.modulus}$"


def linear(c: Sides, solutions: tuple[int, ...] | None) -> Iterator[Block]:
    """ax = b has d = gcd(a, m) solutions, m/d apart, if d divides b, and else none."""
    f = (*c.f, 0, 0)
    b, a, m = -f[0], f[1], c.modulus
    d = gcd(a, m)
    if b % d:
        text = _("$gcd({a}, {m}) = {d}$ does not divide ${b}$: no solution.")
    elif d == 1:
        text = _("$gcd({a}, {m}) = 1$: exactly one solution.")
    else:
        text = _("$gcd({a}, {m}) = {d}$ divides ${b}$: {d} solutions, ${step}$ apart.")
    yield paragraph(text.format(a=a, m=m, d=d, b=b, step=m // d), _("Number of solutions."))


def local_counts(c: Sides, solutions: tuple[int, ...] | None) -> Iterator[Block]:
    """The number of solutions is the product of the numbers modulo the prime powers."""
    factors = factorised(c.modulus)
    if factors is None or any(p**k > LOCAL for p, k in factors):
        return
    if sum(p**k for p, k in factors) * len(c.f) > TRIED:
        return
    counts = {p**k: sum(value_mod(c.f, x, p**k) == 0 for x in range(p**k)) for p, k in factors}
    for p, k in factors:
        if not counts[p**k]:
            yield from failing(c, p, k)
            return
    if len(factors) > 1:
        found = ", ".join(
            ngettext("{n} solution modulo ${q}$", "{n} solutions modulo ${q}$", n).format(n=n, q=q)
            for q, n in counts.items()
        )
        product = " · ".join(map(str, counts.values()))
        yield paragraph(f"{found}: ${product} = {prod(counts.values())}$.", _("Complete."))
    elif solutions is not None:
        yield paragraph(
            ngettext(
                "All ${m}$ residues tried: {n} solution.",
                "All ${m}$ residues tried: {n} solutions.",
                len(solutions),
            ).format(m=c.modulus, n=counts[c.modulus] if counts else 1),
            _("Complete."),
        )


def failing(c: Sides, p: int, k: int) -> Iterator[Block]:
    """The smallest power of p modulo which nothing solves the congruence, with every value."""
    j = next(j for j in range(1, k + 1) if not any(
        value_mod(c.f, x, p**j) == 0 for x in range(p**j)))  # fmt: skip
    q = p**j
    yield paragraph(
        _("Modulo ${q}$, which divides ${m}$, no residue solves it.").format(q=q, m=c.modulus),
        _("No solution."),
    )
    if q <= TABLED:
        f = plain_polynomial(c.f, c.letter)
        yield table(
            [f"${c.letter}$", f"${f}$ {_('modulo')} ${q}$"],
            [[f"${x}$", f"${value_mod(c.f, x, q)}$"] for x in range(q)],
            True,
        )


# ------------------------------------------------------------ where a wrong answer fails


def first_failure(found: Evidence, claim: Sequence[Any]) -> str:
    """Prose: the first step at which a wrong answer fails; "" where the kind has no such test."""
    key = found.residues
    if not found.sides or key is None or any(not isinstance(x, int) for x in claim):
        return ""
    for x in claim:
        for c in found.sides:
            if not c.holds(x):
                return fails_at(c, x)
    missing = [x for x in key if x not in claim]
    if not missing:
        return ""
    if not claim:
        return _("${x}$ is a solution.").format(x=missing[0])
    return _("All of it solves the congruence, but ${x}$ is missing.").format(x=missing[0])


def fails_at(c: Sides, x: int) -> str:
    """The first prime power of the modulus, and the least exponent, at which x is no solution."""
    for p, k in factorised(c.modulus) or ():
        for j in range(1, k + 1):
            r = value_mod(c.f, x, p**j)
            if r:
                where = (
                    _("no root modulo the prime ${p}$") if j == 1
                    else _("a root modulo ${before}$ that is not lifted")
                )  # fmt: skip
                return _(
                    "${x}$: {where}; the difference of the sides is ${r}$ modulo ${q}$."
                ).format(x=x, where=where.format(p=p, before=p ** (j - 1)), r=r, q=p**j)
    return _("${x}$: the difference of the sides is ${r}$ modulo ${m}$.").format(
        x=x, r=value_mod(c.f, x, c.modulus), m=c.modulus
    )


def evidence_or_none(statement: Sequence[str]) -> Evidence | None:
    """The evidence, or None where the statement cannot be read or solved."""
    try:
        return evidence(statement)
    except ItemBankError:
        return None


def prime_power_of(c: Sides) -> tuple[tuple[int, int], ...]:
    """The prime powers with exponent 2 or more, where lifting happens."""
    return tuple((p, k) for p, k in factorised(c.modulus) or () if k > 1)


__all__ = ["Evidence", "Sides", "evidence", "evidence_or_none", "first_failure", "prime_power_of"]
