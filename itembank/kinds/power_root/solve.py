"""Solving x^k = a (mod m): one exponentiation if k can be inverted, else prime power by
prime power, by the methods taught for roots, then lifting and combining.

Notation as in `steps`.  Source: Niven, Zuckerman & Montgomery, An Introduction to the
Theory of Numbers, 5th ed., sections 2.8 and 2.9; see `maths.power_roots`.
"""

from dataclasses import replace
from math import gcd

from itembank.kinds.base import Solution, Step
from itembank.kinds.polynomial.combination import combination
from itembank.kinds.polynomial.conclusion import (
    SUBSTITUTED,
    Conclude,
    CountAll,
    conclusion,
    some_of,
)
from itembank.kinds.power_root.steps import (
    CorrectRoot,
    Criterion,
    Divide,
    Exists,
    Indices,
    InvertExponent,
    LeastResidue,
    Lift,
    Lifts,
    ListPowers,
    LowerExponent,
    Multiply,
    Odd,
    OddPower,
    OneRoot,
    OtherRoots,
    RootByRounds,
    RootFiveModEight,
    RootThreeModFour,
    SamePower,
    SeenRoot,
    SeenSolution,
    Split,
    Substitute,
    Witness,
    Zero,
)
from itembank.maths.groups import least_primitive_root
from itembank.maths.perfect_powers import root_at_sight
from itembank.maths.power_roots import (
    corrected_root,
    criterion,
    lifted_by,
    power_lifts,
    root_of_unity,
    tonelli_shanks,
)
from itembank.maths.primes import Factors, factorisation, valuation
from itembank.maths.primes import phi as totient
from itembank.values.answer import Class, Part, ResidueSet
from itembank.values.worded import worded

_LISTED = 13
"""Up to this prime all k-th powers are listed."""

_INDEXED = 100
"""Up to this prime roots of degree above 2 are found by a table of indices."""

_MOST_ROOTS = 10_000
"""The most roots modulo one prime that are listed."""

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
    return _as_typed(_reduced_and_solved(k, a, m, known_factors, combine))


def _as_typed(solution: Solution[ResidueSet]) -> Solution[ResidueSet]:
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
    phi = totient(m, known_factors)
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
    if a == 0:
        least = -(-e // k)
        return [Zero(k, a, p, e, least)], ((0, p**least),)
    v = valuation(a, p)
    if v:
        return _solve_divided(k, a, p, e, v, sight)
    if q == 2:
        return [Odd(k, a, p, e)], ((1, 2),)
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
        return _solve_two_power(k, a, e, sight)
    steps, roots = _roots_modulo_prime(k, a % p, p, sight)
    if e == 1 or not roots:
        return steps, tuple((r, p) for r in roots)
    return _lifted(steps, roots, k, a, p, e)


def _solve_divided(
    k: int, a: int, p: int, e: int, v: int, sight: bool
) -> tuple[list[Step], Classes]:
    """p^v divides a exactly, 0 < v < e."""
    if v % k:
        return [Divide(k, a, p, e, v, None, None)], ()
    w, b = v // k, a // p**v
    inner, found = solve_prime_power(k, b, p, e - v, sight)
    steps: list[Step] = [Divide(k, a, p, e, v, w, b), *inner]
    if not found:
        return steps, ()
    classes = tuple((p**w * r, p**w * d) for r, d in found)
    return [*steps, Multiply(k, a, p, e, w, found, classes)], classes


def _solve_two_power(k: int, a: int, e: int, sight: bool) -> tuple[list[Step], Classes]:
    """a odd, k even, e >= 2."""
    s = valuation(k, 2)
    deep = min(e, s + 2)
    holds = a % 2**deep == 1
    steps: list[Step] = [OddPower(k, a, 2, e, s, deep, holds)]
    if not holds:
        return steps, ()
    if e == deep:
        return steps, ((1, 2),)
    d = 2 ** (e - s)
    seen = root_at_sight(k, a, 2**e) if sight and k == 2 else None
    if seen is not None:
        classes = tuple(sorted({(seen % d, d), (-seen % d, d)}))
        return [*steps, SeenRoot(k, a, 2, e, seen, None)], classes
    chain = tuple(power_lifts(k, a, 2, e, 1, 2))
    r = lifted_by(list(chain), 1, 2)
    classes = tuple(sorted({(r, d), (-r % d, d)}))
    return [*steps, Lift(k, a, 2, e, s, 2, ((1, chain, r),), True, classes)], classes


def _lifted(
    steps: list[Step], roots: tuple[int, ...], k: int, a: int, p: int, e: int
) -> tuple[list[Step], Classes]:
    """From the roots modulo an odd p to the classes modulo p^e, e >= 2."""
    s = valuation(k, p)
    if s:
        deep = min(e, s + 1)
        powers = tuple((r, pow(r, k, p**deep)) for r in roots)
        roots = tuple(r for r, power in powers if power == a % p**deep)
        steps = [*steps, SamePower(k, a, p, e, s, deep, powers, roots)]
        if deep == e or not roots:
            return steps, tuple((r, p) for r in roots)
    mirrored = k % 2 == 0
    chosen = [r for r in roots if not mirrored or 2 * r < p]
    d = p ** (e - s)
    chains = []
    for r in chosen:
        chain = tuple(power_lifts(k, a, p, e, r, 1))
        chains.append((r, chain, lifted_by(list(chain), r, p)))
    found = {last for _r, _chain, last in chains}
    if mirrored:
        found |= {-r % d for r in found}
    classes = tuple(sorted((r, d) for r in found))
    return [*steps, Lift(k, a, p, e, s, 1, tuple(chains), mirrored, classes)], classes


# ------------------------------------------------------------ one prime


def _roots_modulo_prime(
    k: int, a: int, p: int, sight: bool = True
) -> tuple[list[Step], tuple[int, ...]]:
    """The steps modulo an odd p for 0 < a < p, and the roots, increasing."""
    d = gcd(k, p - 1)
    r = (
        root_at_sight(k, a, p)
        if sight and (d <= 2 or (p > _INDEXED and d <= _MOST_ROOTS))
        else None
    )
    if r is not None:
        return _from_sight(k, a, p, d, r)
    if d == 1 and p > 3:
        step = exponent_inverse(k, a, p, ((p, 1),), p - 1)
        return [step], (step.root,)
    if p <= _LISTED:
        listing = _listed_powers(k, a, p)
        return [listing], listing.roots
    if d > _MOST_ROOTS:
        if criterion(k, a, p) == 1:
            raise TooManyRoots(
                worded(
                    "modulo {p} there are {d} solutions, more than the {most_roots} that are "
                    "listed",
                    p=p,
                    d=d,
                    most_roots=_MOST_ROOTS,
                )
            )
        return [Criterion(k, a, p, 1, d, (p - 1) // d, criterion(k, a, p))], ()
    if k > 2 and p <= _INDEXED:
        table = _by_indices(k, a, p)
        return [table], tuple(sorted(pow(table.g, i, p) for i in table.found))
    return _by_criterion(k, a, p, d, sight)


def _from_sight(k: int, a: int, p: int, d: int, r: int) -> tuple[list[Step], tuple[int, ...]]:
    """The root r that was seen, and from it all d."""
    seen = SeenRoot(k, a, p, 1, r, d)
    if d <= 2:
        return [seen], tuple(sorted({r % p, -r % p} if d == 2 else {r % p}))
    others = _other_roots(d, a, p, r % p)
    return [seen, others], others.roots


def _other_roots(k: int, a: int, p: int, root: int, told: int = 0) -> OtherRoots:
    """All k roots from one, k a divisor of p - 1; `told` as in the step."""
    h, z = (p - 1, p - 1) if k == 2 else root_of_unity(k, p)
    roots, x = [], root
    for _ in range(k):
        roots.append(x)
        x = x * z % p
    return OtherRoots(k, a, p, 1, h, z, root, tuple(sorted(roots)), told)


def _listed_powers(k: int, a: int, p: int) -> ListPowers:
    half = k % 2 == 0 and p > 3
    last = (p - 1) // 2 if half else p - 1
    powers = tuple((x, pow(x, k, p)) for x in range(1, last + 1))
    found = {x for x, power in powers if power == a}
    if half:
        found |= {p - x for x in found}
    return ListPowers(k, a, p, 1, powers, tuple(sorted(found)))


def _by_indices(k: int, a: int, p: int) -> Indices:
    g = least_primitive_root(p)
    assert g is not None
    powers = [1]
    for _ in range(p - 2):
        powers.append(powers[-1] * g % p)
    index = powers.index(a)
    found = tuple(i for i in range(p - 1) if k * i % (p - 1) == index)
    return Indices(k, a, p, 1, gcd(k, p - 1), g, tuple(powers), index, found)


def _by_criterion(
    k: int, a: int, p: int, d: int, sight: bool
) -> tuple[list[Step], tuple[int, ...]]:
    """The criterion first; then one root, and from it all d."""
    value = criterion(k, a, p)
    steps: list[Step] = [Criterion(k, a, p, 1, d, (p - 1) // d, value)]
    if value != 1:
        return steps, ()
    if d < k:
        u = pow(k // d, -1, (p - 1) // d)
        b = pow(a, u, p)
        steps.append(LowerExponent(k, a, p, 1, d, u, b))
        k, a = d, b
        r = root_at_sight(k, a, p) if sight else None
        if r is not None:
            found, roots = _from_sight(k, a, p, d, r)
            return [*steps, *found], roots
    told = (p - 1) // d if len(steps) == 1 else 0
    one, root = _square_root(a, p, told) if k == 2 else _corrected(k, a, p, told)
    told = one.work.q if isinstance(one, CorrectRoot) and one.work.w != 1 else 0
    others = _other_roots(k, a, p, root, told)
    return [*steps, one, others], others.roots


def _square_root(a: int, p: int, told: int) -> tuple[Step, int]:
    """The step that finds a square root of the square a, and the root; `told` as in the step."""
    if p % 4 == 3:
        root = pow(a, (p + 1) // 4, p)
        return RootThreeModFour(2, a, p, 1, root, told), root
    if p % 8 == 5:
        quarter, first = pow(a, (p - 1) // 4, p), pow(a, (p + 3) // 8, p)
        i = None if quarter == 1 else pow(2, (p - 1) // 4, p)
        root = first if i is None else first * i % p
        return RootFiveModEight(2, a, p, 1, quarter, first, i, root, told), root
    work = tonelli_shanks(a, p)
    return RootByRounds(2, a, p, 1, work, told), work.root


def _corrected(k: int, a: int, p: int, told: int) -> tuple[Step, int]:
    work = corrected_root(k, a, p)
    return CorrectRoot(k, a, p, 1, work, told), work.root


# ------------------------------------------------------------ whether there is a root


def decided(
    k: int, a: int, m: int, solution: Solution[ResidueSet], known_factors: tuple[int, ...] = ()
) -> Solution[ResidueSet]:
    """The solution with the steps that show no more than whether there is a root."""
    return _as_typed(_reduced_and_decided(k, a, m, solution, known_factors))


def _reduced_and_decided(
    k: int, a: int, m: int, solution: Solution[ResidueSet], known_factors: tuple[int, ...]
) -> Solution[ResidueSet]:
    factors = factorisation(m, known_factors)
    b = a % m
    if m == 1:
        return solution
    steps: list[Step] = [LeastResidue(k, a, b, m)] if a != b else []
    seen = root_at_sight(k, b, m)
    if seen is not None:
        return Solution(solution.answer, (*steps, Witness(k, b, m, seen)))
    steps.append(Split(k, b, m, factors))
    for p, e in factors:
        found, holds = _decided_locally(k, b % p**e, p, e)
        steps += found
        if not holds:
            end: Step = Conclude(m, factors, (), (), 0, (), failing=(p, e))
            return Solution(solution.answer, (*steps, end))
    return Solution(solution.answer, (*steps, Exists(m, factors)))


def counted(
    found: Solution[ResidueSet], m: int, whole: Solution[ResidueSet]
) -> Solution[ResidueSet]:
    """What was decided, as a number: of at most one root; the whole where it takes the whole."""
    *steps, end = found.steps
    if isinstance(end, Conclude) or not isinstance(end, Exists):
        return found if isinstance(end, Conclude) else whole
    if not all(isinstance(step, LeastResidue | Split | OneRoot | Lifts) for step in steps):
        return whole
    last = CountAll(m, end.factors, tuple(1 for _ in end.factors), 1, any=False)
    return Solution(found.answer, (*steps, last))


def _decided_locally(k: int, a: int, p: int, e: int) -> tuple[list[Step], bool]:
    """The test modulo p^e; the whole work where the test is that."""
    if a % p == 0 or p == 2 or k % p == 0:
        if p == 2 and a % 2 and k % 2 == 0 and e > 1:
            s = valuation(k, 2)
            deep = min(e, s + 2)
            holds = a % 2**deep == 1
            return [OddPower(k, a, p, e, s, deep, holds)], holds
        steps, classes = solve_prime_power(k, a, p, e)
        return steps, bool(classes)
    d = gcd(k, p - 1)
    lifts: list[Step] = [Lifts(k, a, p, e)] if e > 1 else []
    if d == 1:
        return [OneRoot(k, a % p, p, 1), *lifts], True
    r = root_at_sight(k, a % p, p)
    if r is not None:
        return [SeenRoot(k, a % p, p, 1, r, d), *lifts], True
    value = criterion(k, a % p, p)
    test = Criterion(k, a % p, p, 1, d, (p - 1) // d, value)
    return ([test, *lifts], True) if value == 1 else ([test], False)
