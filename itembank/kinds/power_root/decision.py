"""Whether x^k = a (mod m) has a root, and the number of them where that is seen with it.

Notation as in `steps`.
"""

from math import gcd

from itembank.kinds.base import Solution, Step
from itembank.kinds.polynomial.conclusion import Conclude, CountAll
from itembank.kinds.power_root.decision_steps import Exists, Lifts, OneRoot
from itembank.kinds.power_root.lifting_steps import OddPower
from itembank.kinds.power_root.prime_steps import Criterion
from itembank.kinds.power_root.solve import as_typed, solve_prime_power
from itembank.kinds.power_root.steps import LeastResidue, SeenRoot, Split, Witness
from itembank.maths.perfect_powers import root_at_sight
from itembank.maths.power_roots import criterion
from itembank.maths.primes import factorisation, valuation
from itembank.values.answer import ResidueSet


def decided(
    k: int, a: int, m: int, solution: Solution[ResidueSet], known_factors: tuple[int, ...] = ()
) -> Solution[ResidueSet]:
    """The solution with the steps that show no more than whether there is a root."""
    return as_typed(_reduced_and_decided(k, a, m, solution, known_factors))


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
