"""Solving f(x) = 0 (mod m): split, solve modulo each prime, lift, combine, check.

Returns the answer with the typed steps that found it. The method shown is the one
taught (trial, completing the square, factoring; level by level); only where that
would fill pages - large primes, roots that fan out - is it the faster method, and
then that is what is shown.

Notation: m modulus, p prime, k exponent. Source: Niven, Zuckerman & Montgomery,
An Introduction to the Theory of Numbers, 5th ed., sections 2.3, 2.6; for classes
Berthomieu, Lecerf & Quintin, AAECC 24 (2013).
"""

from dataclasses import replace

from itembank.kinds.base import USUAL, Solution, Step
from itembank.kinds.polynomial import prime
from itembank.kinds.polynomial.combination import combination
from itembank.kinds.polynomial.conclusion import (
    SUBSTITUTED,
    Conclude,
    CountAll,
    conclusion,
    some_of,
)
from itembank.kinds.polynomial.steps import (
    ChainLift,
    DivideOut,
    LevelLift,
    LocalAnswer,
    OddSquare,
    PairOff,
    RootsModPrime,
    SimpleLift,
    Split,
    Substitute,
    TreeLift,
    ZeroProduct,
)
from itembank.kinds.wording import LEGIBLE
from itembank.maths import lifting, prime_roots
from itembank.maths.perfect_powers import root_at_sight
from itembank.maths.polynomials import (
    Poly,
    content_valuation,
    derivative,
    reduced,
    trimmed,
    value,
    value_mod,
)
from itembank.maths.primes import Factors, factorisation
from itembank.maths.remainders import nearest_residue
from itembank.values.answer import Class, Part, ResidueSet
from itembank.values.course import Methods

_ROWS = 24
"""At most this many rows of level-by-level lifting are shown for one prime power."""

_LIFTED = 40
"""At most this many roots are listed at the last of these levels."""

LEAST_RULED = 3
"""From this power of 2 on the square roots of an odd number are found by their own rule."""

_LEVELS = 3
"""Simple roots are lifted level by level up to this exponent, beyond it root by root."""

_PUT_IN = 4
"""At most this many solutions are put into f."""


def solve(
    f: Poly,
    m: int,
    known_factors: tuple[int, ...] = (),
    moved: bool = False,
    methods: Methods = USUAL,
) -> Solution[ResidueSet]:
    """The complete solution of f(x) = 0 (mod m); m >= 1, `known_factors` help to factor it."""
    original, f = f, f if prime.integer_roots(f) else _shortened(f, m) if m > 1 else f
    factors = factorisation(m, known_factors)
    prime_roots.refuse_long_splitting(len(f) - 1, (p for p, _k in factors))
    steps: list[Step] = [
        Split(f, m, factors, moved=moved, reduced_from=original if f != original else None)
    ]
    parts = []
    for p, k in factors:
        factored = any(shows_the_factors(step) for step in steps)
        local_steps, classes = solve_prime_power(f, p, k, factored, methods)
        alone = len(factors) == 1
        steps += [s for s in local_steps if not (alone and isinstance(s, LocalAnswer))]
        if not classes:
            none = ResidueSet.of(m, ())
            return Solution(none, (*steps, Conclude(m, factors, (), (), 0, (), failing=(p, k))))
        parts.append(Part(p**k, classes))
    answer = ResidueSet.product(parts)
    if len(factors) > 1:
        steps.append(combination(parts, factors, methods.combine))
    steps.append(conclusion(answer, factors))
    steps += _checks(f, answer, factors)
    return Solution(answer, tuple(steps))


def _shortened(f: Poly, m: int) -> Poly:
    """f modulo m: coefficients that are not short already become the residues nearest to 0."""
    return trimmed(tuple(c if abs(c) < m else nearest_residue(c, m) for c in f))


def shows_the_factors(step: Step) -> bool:
    return isinstance(step, RootsModPrime) and isinstance(step.method, ZeroProduct)


# ------------------------------------------------------------ one prime power


def solve_prime_power(
    f: Poly, p: int, k: int, factored: bool = False, methods: Methods = USUAL
) -> tuple[list[Step], tuple[Class, ...]]:
    """The steps modulo p^k and the classes (r, p^j), j <= k, that they find.

    `factored` if the product that f is over the integers was shown before.
    """
    steps: list[Step] = []
    v = min(content_valuation(f, p), k) if any(f) else k
    if v:
        f = _shortened(tuple(c // p**v for c in f), p ** (k - v)) if v < k else ()
        steps.append(DivideOut(p, k, v, f))
    if v == k:
        return [*steps, LocalAnswer(p, k, ((0, 1),))], ((0, 1),)
    if p == 2 and k - v >= LEAST_RULED and f[1:] == (0, 1) and f[0] % 2:
        classes = lifting.roots_mod_prime_power(f, p, k - v)
        steps.append(OddSquare(2, k - v, -f[0], _odd_square_roots(-f[0], k - v)))
        return [*steps, LocalAnswer(p, k, classes)] if classes else steps, classes
    found = _roots_step(f, p, factored and not v, methods)
    steps.append(found)
    if not found.roots:
        return steps, ()
    if k - v == 1:
        classes = tuple((r, p) for r in found.roots)
    else:
        classes = lifting.roots_mod_prime_power(f, p, k - v)
        steps += _lifts(f, p, k - v, found.roots, classes, methods.lift)
    if classes and (k > 1 or v):
        steps.append(LocalAnswer(p, k, classes))
    return steps, classes


def _odd_square_roots(c: int, k: int) -> tuple[tuple[int, int], ...]:
    """(j, r) with r^2 = c (mod 2^j) for j = 3, ..., k; () if c is not 1 modulo 8.

    From 2^j to 2^(j+1): r stays, or r + 2^(j-1) takes its place.  The last row alone where
    c or c + 2^k, ... is a perfect square.

    >>> _odd_square_roots(73, 7), _odd_square_roots(41, 6)
    (((3, 1), (4, 5), (5, 13), (6, 29), (7, 29)), ((6, 13),))
    """
    if c % 8 != 1:
        return ()
    if k > LEAST_RULED and (seen := root_at_sight(2, c % 2**k, 2**k)) is not None:
        return ((k, seen),)
    rows = [(3, 1)]
    for j in range(3, k):
        r = rows[-1][1]
        rows.append((j + 1, r if (r * r - c) % 2 ** (j + 1) == 0 else r + 2 ** (j - 1)))
    return tuple(rows)


def _roots_step(f: Poly, p: int, factored: bool = False, methods: Methods = USUAL) -> RootsModPrime:
    """The roots modulo p of f, whose coefficients p does not all divide."""
    g = reduced(f, p)
    return RootsModPrime(p, f, g, *prime.roots_by_method(f, g, p, factored, methods))


def _lifts(
    f: Poly,
    p: int,
    k: int,
    roots: tuple[int, ...],
    classes: tuple[Class, ...],
    method: str = "",
) -> list[Step]:
    """The lifting steps from the roots mod p to p^k, in the form that stays readable."""
    slope = derivative(f)
    simple = tuple(r for r in roots if value_mod(slope, r, p))
    if len(simple) < len(roots) or k <= _LEVELS:
        levels = lifting.levels(f, p, k, _ROWS)
        if levels is not None and sum(len(row.ts) for row in levels[-1]) <= _LIFTED:
            return [
                LevelLift(p, j, f, slope, tuple(rows), method)
                for j, rows in enumerate(levels, 1)
                if rows
            ]
    steps: list[Step] = []
    for r in simple:
        rows = tuple(lifting.regular_lifts(f, r, p, k))
        lifted = next(s for s, d in classes if s % p == r)
        steps.append(ChainLift(p, k, f, slope, r, rows, lifted, first=r == simple[0]))
    if len(simple) < len(roots):
        singular = tuple(c for c in classes if c[0] % p not in simple)
        steps.append(TreeLift(p, k, f, lifting.tree(f, p, k), singular))
    return steps


# ------------------------------------------------------------ all together


def _checks(f: Poly, answer: ResidueSet, factors: Factors) -> list[Step]:
    """Substitution of solutions nearest to 0, and the pairs of a monic quadratic."""
    m = answer.modulus
    few = answer.count <= SUBSTITUTED
    residues = answer.residues() if few else some_of(answer)
    paired = few and len(f) == 3 and f[2] == 1 and answer.count > 1
    pairs = tuple((r, s) for r in residues if r <= (s := (-f[1] - r) % m)) if paired else ()
    classes = few and answer.class_count < answer.count
    sample = tuple(r for r, _d in answer.classes()) if classes else residues
    chosen = tuple(easiest(f, r, m) for r in (sample if not paired else [r for r, _s in pairs]))
    chosen = tuple(x for x in chosen if abs(value(f, x)) <= LEGIBLE) or chosen
    chosen = chosen[:_PUT_IN]
    complete = few and len(chosen) == (len(pairs) if paired else answer.count)
    values = tuple(value(f, x) for x in chosen)
    legible = max(map(abs, values)) <= LEGIBLE
    steps: list[Step] = [Substitute(m, factors, f, chosen, values if legible else None, complete)]
    if paired:
        steps.append(PairOff(f[1], pairs))
    return steps


def easiest(f: Poly, r: int, m: int) -> int:
    """The residue r as it stands while f(r) is legible, else the one nearest to 0."""
    return r if abs(value(f, r)) <= LEGIBLE else nearest_residue(r, m)


# ------------------------------------------------------------ whether, and how many


def decided(solution: Solution[ResidueSet], ask: str) -> Solution[ResidueSet]:
    """The solution as far as it takes to say whether there is a solution, or how many.

    Local solutions are not combined and nothing is substituted; where any will do, a simple root
    need not be lifted.
    """
    answer = solution.answer
    end = next((s for s in solution.steps if isinstance(s, Conclude)), None)
    if not answer or end is None:
        return solution
    kept = [s for s in solution.steps if s.name not in ("combine", "answer", "check", "pair off")]
    kept = simple_lifts_cut(kept, all_roots=ask == "how many")
    if ask == "whether any":
        alone = {p for p, k in end.factors if k == 1}
        kept = [
            replace(s, any=True) if isinstance(s, RootsModPrime) and s.p in alone else s
            for s in kept
        ]
    counts = tuple(part.count for part in answer.parts)
    last = CountAll(answer.modulus, end.factors, counts, answer.count, ask == "whether any")
    return Solution(answer, (*kept, last))


def simple_lifts_cut(steps: list[Step], all_roots: bool) -> list[Step]:
    """Without the lifts of primes that have a simple root, or simple ones alone: these lift."""
    cut: list[Step] = []
    simple: dict[int, SimpleLift] = {}
    for found in (step for step in steps if isinstance(step, RootsModPrime)):
        lifted = [s for s in steps if isinstance(s, _LIFTING) and s.p == found.p]
        slope = next((s.slope for s in lifted if isinstance(s, LevelLift | ChainLift)), None)
        if slope is None:
            continue
        roots = tuple(r for r in found.roots if value_mod(slope, r, found.p))
        if roots and (not all_roots or roots == found.roots):
            simple[found.p] = SimpleLift(found.p, slope, roots if all_roots else roots[:1])
    for step in steps:
        if isinstance(step, OddSquare):
            cut.append(replace(step, counted=True))
        elif not (isinstance(step, _LIFTING) and step.p in simple):
            cut.append(step)
        elif simple[step.p] not in cut:
            cut.append(simple[step.p])
    return cut


_LIFTING = (LevelLift, ChainLift, TreeLift, LocalAnswer)
"""The steps from the roots modulo p to those modulo p^k."""
