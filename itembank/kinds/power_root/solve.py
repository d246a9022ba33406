"""Solving x^k = a (mod m): one exponentiation if k can be inverted, else prime power by
prime power, by the methods taught for roots, then lifting and combining.

Notation as in `steps`.  Source: Niven, Zuckerman & Montgomery, An Introduction to the
Theory of Numbers, 5th ed., sections 2.8 and 2.9; see `maths.power_roots`.
"""

from dataclasses import replace
from math import gcd

from itembank.kinds.base import Solution, Step
from itembank.kinds.polynomial.conclusion import SUBSTITUTED, Conclude, conclusion, some_of
from itembank.kinds.power_root.steps import (
    InvertExponent,
    LeastResidue,
    SeenRoot,
    SeenSolution,
    Split,
    Substitute,
    Witness,
)
from itembank.maths.perfect_powers import root_at_sight
from itembank.maths.primes import Factors, factorisation, phi_of
from itembank.values.answer import Class, Part, ResidueSet

Classes = tuple[Class, ...]


class TooManyRoots(ValueError):
    """Modulo one prime there are more roots than can be listed."""


def solve(
    k: int, a: int, m: int, known_factors: tuple[int, ...] = (), combine: str = ""
) -> Solution[ResidueSet]:
    """The complete solution of x^k = a (mod m), k >= 2, m >= 1.

    `known_factors` help to factor m, `combine` is how a course combines.  Raises TooManyRoots,
    and Unfactored.
    """
    return as_typed(_reduced_and_solved(k, a, m, known_factors, combine))


def as_typed(solution: Solution[ResidueSet]) -> Solution[ResidueSet]:
    """The solution with the right side as it was, where that is a power of the root at sight.

    Reduced first, x^2 = 100 (mod 37) would have 26 ≡ 26 + 2 · 37 = 100.
    """
    match solution.steps:
        case (LeastResidue(k, a, _b, m), *others):
            seen = [s for s in others if isinstance(s, SeenRoot | SeenSolution | Witness)]
            roots = {s.root for s in seen if not isinstance(s, SeenRoot) or s.q == m}
            if len(seen) == 1 and a in {r**k for r in roots}:
                at_sight = (SeenRoot, SeenSolution, Witness, Split)
                steps = (replace(s, a=a) if isinstance(s, at_sight) else s for s in others)
                return Solution(solution.answer, tuple(steps))
    return solution


def _reduced_and_solved(
    k: int, a: int, m: int, known_factors: tuple[int, ...], combine: str
) -> Solution[ResidueSet]:
    factors = factorisation(m, known_factors)
    b = a % m
    steps: list[Step] = [LeastResidue(k, a, b, m)] if a != b else []
    phi = phi_of(factors)
    if m > 2 and gcd(b, m) == 1 and gcd(k, phi) == 1:
        r = root_at_sight(k, b, m)
        if r is not None:
            answer = ResidueSet.of(m, ((r % m, m),))
            seen = SeenSolution(k, b, m, factors, phi, r)
            return Solution(answer, (*steps, seen, conclusion(answer, factors)))
        step = exponent_inverse(k, b, m, factors, phi)
        answer = ResidueSet.of(m, ((step.root, m),))
        return _finished([*steps, step], answer, k, b, factors)
    steps.append(Split(k, b, m, factors))
    parts = []
    for p, e in factors:
        found, classes = solve_prime_power(k, b % p**e, p, e)
        steps += found
        if not classes:
            none = ResidueSet.of(m, ())
            end = Conclude(m, factors, (), (), 0, (), failing=(p, e))
            return Solution(none, (*steps, end))
        parts.append(Part(p**e, classes))
    answer = ResidueSet.product(parts)
    if len(factors) > 1:
        from itembank.kinds.polynomial.combination import combination

        steps.append(combination(parts, factors, combine))
    return _finished(steps, answer, k, b, factors)


def _finished(
    steps: list[Step], answer: ResidueSet, k: int, a: int, factors: Factors
) -> Solution[ResidueSet]:
    """The solution, with its conclusion and the check by substitution.

    A root that was seen to be one is not substituted again.
    """
    if len(factors) == 1 and isinstance(steps[-1], SeenRoot):
        return Solution(answer, (*steps, conclusion(answer, factors)))
    complete = answer.count <= SUBSTITUTED
    chosen = answer.residues() if complete else some_of(answer)
    check = Substitute(k, a, answer.modulus, factors, chosen, complete)
    return Solution(answer, (*steps, conclusion(answer, factors), check))


def exponent_inverse(k: int, a: int, q: int, factors: Factors, phi: int) -> InvertExponent:
    u = pow(k, -1, phi)
    return InvertExponent(k, a, q, factors, phi, u, pow(a, u, q))


# ------------------------------------------------------------ one prime power


def solve_prime_power(
    k: int, a: int, p: int, e: int, sight: bool = True
) -> tuple[list[Step], Classes]:
    """The steps modulo p^e for a least residue a, and the classes (r, p^j), j <= e.

    Without `sight` a right side that is a perfect power is treated like any other.
    """
    q = p**e
    if a % p == 0 or q == 2:
        from itembank.kinds.power_root import lifting

        return lifting.solve_without_method(k, a, p, e, sight)
    phi = q // p * (p - 1)
    d = gcd(k, phi)
    r = root_at_sight(k, a, q) if sight and p > 2 and d <= 2 else None
    if r is not None:
        classes = ((r % q, q),) if d == 1 else ((r % q, q), (-r % q, q))
        return [SeenRoot(k, a, p, e, r, d)], tuple(sorted(classes))
    if d == 1:
        step = exponent_inverse(k, a, q, ((p, e),), phi)
        return [step], ((step.root, q),)
    if p == 2:
        from itembank.kinds.power_root import lifting

        return lifting.solve_two_power(k, a, e, sight)
    from itembank.kinds.power_root import prime

    steps, roots = prime.roots_modulo_prime(k, a % p, p, sight)
    if e == 1 or not roots:
        return steps, tuple((r, p) for r in roots)
    from itembank.kinds.power_root import lifting

    return lifting.lifted(steps, roots, k, a, p, e)
