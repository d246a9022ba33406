"""The true work that every slip departs from: modulo each prime power, and combined.

Notation: p prime, k exponent, q = p^k, v the power of p that divides every coefficient.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from math import prod

from itembank.kinds.base import Feedback, Remark, Solution
from itembank.kinds.mistakes import MOST, SetFound
from itembank.kinds.polynomial.prime import ALWAYS_TRIED, completed_square, zero_product
from itembank.kinds.polynomial.steps import RootsModPrime, Split, Square
from itembank.kinds.wording import IN_A_SENTENCE
from itembank.languages import say
from itembank.maths import lifting
from itembank.maths.polynomials import Poly, content_valuation, reduced, value_mod
from itembank.maths.remainders import Weight, crt_weights
from itembank.notation.building import polynomial
from itembank.values.answer import Class, ResidueSet


@dataclass(frozen=True)
class Local:
    """The true work modulo q = p^k.

    `roots` are those modulo p of g = f/p^v, `residues` those of f modulo q; `square` is
    the square completed modulo p, where that is how the roots are found. Where v = k
    nothing is left to solve: g and `roots` are empty, and every residue solves.
    """

    p: int
    k: int
    v: int
    g: Poly
    roots: tuple[int, ...]
    residues: tuple[int, ...]
    square: Square | None

    @property
    def q(self) -> int:
        return int(self.p**self.k)


@dataclass(frozen=True)
class Work:
    """The true work, in the order of the primes; and the key.

    `moved` if f is not what stood on the left side already.
    """

    f: Poly
    m: int
    moved: bool
    locals: tuple[Local, ...]
    key: ResidueSet

    @cached_property
    def weights(self) -> tuple[Weight, ...]:
        return crt_weights([loc.q for loc in self.locals])

    def with_local(self, changed: dict[int, Iterable[int]]) -> tuple[int, ...] | None:
        """Every combination, with the residues modulo some prime powers replaced.

        None if there are more than MOST.
        """
        return self.combined([tuple(changed.get(loc.p, loc.residues)) for loc in self.locals])

    def combined(self, residues: Iterable[Iterable[int]]) -> tuple[int, ...] | None:
        """The residues modulo m of every choice of one residue for each prime power.

        None if there are more than MOST.
        """
        return self.weighted((w.e for w in self.weights), residues)

    def weighted(
        self, weights: Iterable[int], residues: Iterable[Iterable[int]]
    ) -> tuple[int, ...] | None:
        """The weighted sums modulo m of every choice; None if there are more than MOST."""
        multipliers, choices = tuple(weights), [tuple(dict.fromkeys(rs)) for rs in residues]
        if prod(len(rs) for rs in choices) > MOST:
            return None
        return tuple(
            sum(w * r for w, r in zip(multipliers, choice, strict=True)) % self.m
            for choice in product(*choices)
        )

    def failing(self, wrong: Iterable[int] | None) -> int | None:
        """The least residue of a wrong answer that is no solution; None if there is none."""
        return min((x for x in wrong or () if value_mod(self.f, x, self.m)), default=None)


def told(wrong: Iterable[int] | None, feedback: Remark) -> SetFound:
    """The slip, unless its answer could not be listed."""
    return None if wrong is None else (wrong, feedback)


def true_work(f: Poly, m: int, solution: Solution[ResidueSet]) -> Work | None:
    """The local roots and residues; None where they are too many to go wrong with by hand."""
    if not any(f) or m > IN_A_SENTENCE:
        return None
    split = next(s for s in solution.steps if isinstance(s, Split))
    found = {s.p: s for s in solution.steps if isinstance(s, RootsModPrime)}
    parts = {part.modulus: part for part in solution.answer.parts}
    locals_ = []
    for p, k in split.factors:
        q = p**k
        residues = _listed(q, parts[q].classes) if q in parts else residues_of(f, p, k)
        v = min(content_valuation(f, p), k)
        g = reduced(tuple(c // p**v for c in f), p) if v < k else ()
        roots = found[p].roots if p in found else residues_of(g, p, 1) if g else ()
        if residues is None or roots is None or len(roots) > MOST:
            return None
        square = _square_to_complete(f, m, g, p) if not v and p in found else None
        square = square or _pure_square(g, p)
        locals_.append(Local(p, k, v, g, roots, residues, square))
    return Work(f, m, split.moved, tuple(locals_), solution.answer)


def _listed(q: int, classes: Iterable[Class]) -> tuple[int, ...] | None:
    """The residues of disjoint classes modulo q, increasing; None if there are more than MOST."""
    if sum(q // d for _r, d in classes) > MOST:
        return None
    return tuple(sorted([x for r, d in classes for x in range(r, q, d)]))


def _square_to_complete(f: Poly, m: int, g: Poly, p: int) -> Square | None:
    """The square completed modulo p > 5, for whoever does not see that f is a product."""
    seen = zero_product(tuple(c if abs(c) < m else c % m for c in f))
    if len(g) != 3 or p <= ALWAYS_TRIED or (seen and any(g[:2])):
        return None
    return completed_square(g, p)[0]


def _pure_square(g: Poly, p: int) -> Square | None:
    """ax^2 = c modulo an odd prime: by trial too, the roots are seen as ± one number."""
    return completed_square(g, p)[0] if p > 2 and len(g) == 3 and not g[1] else None


def residues_of(f: Poly, p: int, k: int) -> tuple[int, ...] | None:
    """The roots of f modulo p^k, increasing; None if there are more than MOST."""
    return _listed(p**k, lifting.roots_mod_prime_power(f, p, k))


def solutions_of(f: Poly, w: Work) -> tuple[int, ...] | None:
    """The solutions of another polynomial modulo the same m; None if more than MOST."""
    found = []
    for loc in w.locals:
        residues = residues_of(f, loc.p, loc.k)
        if residues is None:
            return None
        found.append(residues)
    return w.combined(found)


def meaning_of_f(w: Work) -> Feedback:
    """What feedback that speaks of f(r) says first, unless f is the left side as it stands."""
    if not w.moved:
        return ()
    return (say("Here $f(x) = {f}$, with everything on the left side.", f=polynomial(w.f)),)


def quadratic(w: Work) -> bool:
    return len(reduced(w.f, w.m)) == 3
