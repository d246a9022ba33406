"""Solving f(x) = 0 (mod m): split, solve modulo each prime, lift, combine, check.

Returns the answer with the typed steps that found it. The method shown is the one
taught (trial, completing the square, factoring; level by level); only where that
would fill pages - large primes, roots that fan out - is it the faster method, and
then that is what is shown.

Notation: m modulus, p prime, k exponent. Source: Niven, Zuckerman & Montgomery,
An Introduction to the Theory of Numbers, 5th ed., sections 2.3, 2.6; for classes
Berthomieu, Lecerf & Quintin, AAECC 24 (2013).
"""

from itertools import islice, product
from math import isqrt, prod

from itembank.kinds.base import Solution, Step
from itembank.kinds.polynomial.steps import (
    ChainLift,
    Choice,
    Combine,
    Conclude,
    Constant,
    DivideOut,
    Isolate,
    LevelLift,
    LocalAnswer,
    Method,
    PairOff,
    RootsModPrime,
    Split,
    Splitting,
    Square,
    Substitute,
    TreeLift,
    Trial,
    ZeroProduct,
)
from itembank.kinds.wording import FITS_ON_THE_BOARD, WRITTEN_OUT
from itembank.maths import lifting, prime_roots
from itembank.maths.polynomials import (
    Poly,
    content_valuation,
    derivative,
    reduced,
    trimmed,
    value,
    value_mod,
)
from itembank.maths.polynomials import product as times
from itembank.maths.primes import Factors, factorisation
from itembank.maths.remainders import crt_weights
from itembank.values.answer import Class, Part, ResidueSet

ALWAYS_TRIED = 5
"""Up to this prime every residue is tried, whatever the degree."""

TRIED = 31
"""Up to this prime every residue is tried when the degree is 3 or more."""

ROWS = 24
"""At most this many rows of level-by-level lifting are shown for one prime power."""

LIFTED = 40
"""At most this many roots are listed at the last of these levels."""

LEVELS = 3
"""Simple roots are lifted level by level up to this exponent, beyond it root by root."""

COMBINED = 36
"""At most this many combinations are written out ..."""

EXAMPLES = 4
"""... and of more only the first few."""

EXPANDED = 12
"""Classes of different moduli are written out as residues up to this number."""

SUBSTITUTED = 12
"""At most this many solutions are substituted back in the working."""


def solve(
    f: Poly, m: int, known_factors: tuple[int, ...] = (), moved: bool = False
) -> Solution[ResidueSet]:
    """The complete solution of f(x) = 0 (mod m); m >= 1, `known_factors` help to factor it."""
    original, f = f, shortened(f, m) if m > 1 else f
    factors = factorisation(m, known_factors)
    prime_roots.refuse_long_splitting(len(f) - 1, (p for p, _k in factors))
    steps: list[Step] = [
        Split(f, m, factors, moved=moved, reduced_from=original if f != original else None)
    ]
    parts = []
    for p, k in factors:
        local_steps, classes = solve_prime_power(f, p, k)
        steps += local_steps
        if not classes:
            none = ResidueSet.of(m, ())
            return Solution(none, (*steps, Conclude(m, factors, (), (), 0, (), failing=(p, k))))
        parts.append(Part(p**k, classes))
    answer = ResidueSet.product(parts)
    if len(factors) > 1:
        steps.append(combination(parts, factors))
    steps.append(conclusion(answer, factors))
    steps += checks(f, answer, factors)
    return Solution(answer, tuple(steps))


def shortened(f: Poly, m: int) -> Poly:
    """f modulo m, with a coefficient replaced by its residue only where it is not short already."""
    return trimmed(tuple(c if abs(c) < m else c % m for c in f))


# ------------------------------------------------------------ one prime power


def solve_prime_power(f: Poly, p: int, k: int) -> tuple[list[Step], tuple[Class, ...]]:
    """The steps modulo p^k and the classes (r, p^j), j <= k, that they find."""
    steps: list[Step] = []
    v = min(content_valuation(f, p), k) if any(f) else k
    if v:
        f = shortened(tuple(c // p**v for c in f), p ** (k - v)) if v < k else ()
        steps.append(DivideOut(p, k, v, f))
    if v == k:
        return [*steps, LocalAnswer(p, k, ((0, 1),))], ((0, 1),)
    found = roots_step(f, p)
    steps.append(found)
    if not found.roots:
        return steps, ()
    if k - v == 1:
        classes: tuple[Class, ...] = tuple((r, p) for r in found.roots)
    else:
        classes = lifting.roots_mod_prime_power(f, p, k - v)
        steps += lifts(f, p, k - v, found.roots, classes)
    if classes and (k > 1 or v):
        steps.append(LocalAnswer(p, k, classes))
    return steps, classes


def roots_step(f: Poly, p: int) -> RootsModPrime:
    """The roots modulo p of f, whose coefficients p does not all divide."""
    g = reduced(f, p)
    return RootsModPrime(p, f, g, *roots_by_method(f, g, p))


def roots_by_method(f: Poly, g: Poly, p: int) -> tuple[Method, tuple[int, ...]]:
    """The method taught for g modulo p, and the roots, increasing."""
    degree = len(g) - 1
    if degree == 0:
        return Constant(g[0]), ()
    if degree == 1:
        inverse = pow(g[1], -1, p)
        return Isolate(g[1], g[0], inverse), (-g[0] * inverse % p,)
    if p <= ALWAYS_TRIED or (degree > 2 and p <= TRIED):
        tried = tuple((x, value_mod(g, x, p)) for x in range(p))
        return Trial(tried), tuple(x for x, y in tried if y == 0)
    if degree == 2:
        roots_in_integers = zero_product(f)
        if roots_in_integers and any(g[:2]):
            u, v = roots_in_integers
            return ZeroProduct(u, v), tuple(sorted({u % p, v % p}))
        return completed_square(g, p)
    roots = prime_roots.roots_mod_prime(g, p)
    common: Poly = (1,)
    for r in roots:
        common = reduced(times(common, (-r, 1)), p)
    return Splitting(common), roots


def zero_product(f: Poly) -> tuple[int, int] | None:
    """(u, v), u <= v, with f = (x - u)(x - v) over the integers; None if there are none."""
    if len(f) != 3 or f[2] != 1:
        return None
    discriminant = f[1] ** 2 - 4 * f[0]
    if discriminant < 0 or isqrt(discriminant) ** 2 != discriminant or f[1] == 0 == f[0]:
        return None
    root = isqrt(discriminant)
    return (-f[1] - root) // 2, (-f[1] + root) // 2


def completed_square(g: Poly, p: int) -> tuple[Square, tuple[int, ...]]:
    """The roots of the quadratic g modulo the odd prime p: (x + h)^2 = s."""
    c0, b0, a = g
    a_inverse = pow(a, -1, p)
    b, c = b0 * a_inverse % p, c0 * a_inverse % p
    h = b // 2 if b % 2 == 0 else b * pow(2, -1, p) % p
    s = (h * h - c) % p
    root = prime_roots.square_root_mod_prime(s, p)
    roots = () if root is None else tuple(sorted({(root - h) % p, (-root - h) % p}))
    return Square(a, a_inverse, b, c, h, s, root), roots


def lifts(
    f: Poly, p: int, k: int, roots: tuple[int, ...], classes: tuple[Class, ...]
) -> list[Step]:
    """The lifting steps from the roots mod p to p^k, in the form that stays readable."""
    slope = derivative(f)
    simple = tuple(r for r in roots if value_mod(slope, r, p))
    if len(simple) < len(roots) or k <= LEVELS:
        levels = lifting.levels(f, p, k, ROWS)
        if levels is not None and sum(len(row.ts) for row in levels[-1]) <= LIFTED:
            return [
                LevelLift(p, j, f, slope, tuple(rows)) for j, rows in enumerate(levels, 1) if rows
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


def combination(parts: list[Part], factors: Factors) -> Combine:
    """Every choice of one local solution for each modulus, by weights that are 1 and 0."""
    chosen_from = [choosable(part) for part in parts if part.classes != ((0, 1),)]
    weights = crt_weights([max(d for _r, d in classes) for classes in chosen_from])
    total = prod(map(len, chosen_from))
    choices = []
    for choice in islice(product(*chosen_from), total if total <= COMBINED else EXAMPLES):
        residues = tuple(r for r, _d in choice)
        added = sum(w.e * r for w, r in zip(weights, residues, strict=True))
        m = prod(d for _r, d in choice)
        choices.append(Choice(residues, added, (added % m, m)))
    told = {choice.joined for choice in choices}
    classes = ResidueSet.product(parts).classes() if total == len(choices) else ()
    return Combine(
        weights=weights,
        factors=factors,
        residues=tuple(tuple(r for r, _d in classes) for classes in chosen_from),
        modulus=prod(w.modulus for w in weights),
        choices=tuple(choices),
        total=total,
        wider=tuple(c for c in classes if c not in told),
    )


def choosable(part: Part) -> tuple[Class, ...]:
    """The classes of a part; its residues where classes of several moduli hold only a few."""
    if len({d for _r, d in part.classes}) == 1 or part.count > EXPANDED:
        return part.classes
    return tuple((r, part.modulus) for r in ResidueSet((part,)).residues())


def conclusion(answer: ResidueSet, factors: Factors) -> Conclude:
    return Conclude(
        modulus=answer.modulus,
        factors=factors,
        classes=answer.classes() if answer.class_count <= WRITTEN_OUT else None,
        residues=answer.residues() if answer.count <= WRITTEN_OUT else None,
        count=answer.count,
        local_counts=tuple(p.count for p in answer.parts),
    )


def checks(f: Poly, answer: ResidueSet, factors: Factors) -> list[Step]:
    """Substitution of the solutions, and the pairs of a monic quadratic."""
    m = answer.modulus
    complete = answer.count <= SUBSTITUTED
    chosen = answer.residues() if complete else some_of(answer)
    values = tuple(value(f, x) for x in chosen)
    legible = max(map(abs, values)) <= FITS_ON_THE_BOARD**2
    steps: list[Step] = [Substitute(m, factors, chosen, values if legible else None, complete)]
    if complete and len(f) == 3 and f[2] == 1 and answer.count > 1:
        b = f[1]
        pairs = tuple((r, (-b - r) % m) for r in chosen)
        steps.append(PairOff(b, tuple((r, s) for r, s in pairs if r <= s)))
    return steps


def some_of(answer: ResidueSet) -> tuple[int, ...]:
    """A few solutions, from several classes and, where a class holds more, more of each."""
    few = SUBSTITUTED // 3
    classes = answer.sample_classes(few)
    each = few // len(classes)
    return tuple(sorted(x for r, d in classes for x in range(r, answer.modulus, d)[:each]))
