"""Solving a system of congruences in one unknown.

Each congruence alone first; then together: by weights where the moduli are coprime, by
substitution with the test of the greatest common divisor where two are not, and prime by
prime where more congruences, or congruences with several solutions, share factors.

Notation as in `steps`.  Source: Niven, Zuckerman & Montgomery, An Introduction to the
Theory of Numbers, 5th ed., section 2.3 (Theorem 2.18; Theorem 2.19 for any moduli).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from math import gcd, lcm, prod

from itembank.kinds.base import USUAL, Solution, Step, taught
from itembank.kinds.linear.kind import LinearCongruence
from itembank.kinds.one_unknown import OneUnknown
from itembank.kinds.polynomial.combination import Combine, combination
from itembank.kinds.polynomial.conclusion import some_of
from itembank.kinds.system.steps import (
    AddWeighted,
    Agree,
    AllTogether,
    Check,
    Column,
    Conclude,
    Coprime,
    Decide,
    Isolate,
    LeastResidue,
    SolveAlone,
    SplitPrimes,
    Stated,
    Substitute,
)
from itembank.kinds.wording import FITS_ON_THE_BOARD, WRITTEN_OUT
from itembank.maths.primes import factorisation, valuation
from itembank.maths.remainders import crt_weights, merges
from itembank.values.answer import Class, Part, ResidueSet
from itembank.values.course import Methods

_CHECKED = 3
"""At most this many solutions are put into the congruences in the working."""


@dataclass(frozen=True)
class _Condition:
    """What a congruence says of x: it lies in every part (parts of coprime moduli).

    `stated` is what is shown of it.
    """

    stated: Stated
    parts: tuple[Part, ...]

    @property
    def modulus(self) -> int:
        """The modulus that the condition depends on: the product of those of its classes."""
        return prod(max((d for _r, d in part.classes), default=part.modulus) for part in self.parts)

    @property
    def single(self) -> Class | None:
        """The one class that it is; None if there are several."""
        classes = ResidueSet(self.parts).classes(1) if self.counted == 1 else ()
        return classes[0] if classes else None

    @property
    def counted(self) -> int:
        return prod(len(part.classes) for part in self.parts)


def solve(
    problems: Sequence[OneUnknown], modulus: int, methods: Methods = USUAL
) -> Solution[ResidueSet]:
    """The complete solution, listed modulo `modulus`, a multiple of every modulus of the system.

    Raises TooMany where the modulus makes it too long to list, and Unfactored.
    """
    whole = lcm(*(p.modulus for p in problems))
    steps: list[Step] = []
    conditions: list[_Condition] = []
    for i, problem in enumerate(problems, 1):
        found, condition = _alone(i, problem, methods)
        steps += found
        if condition is None:
            return _finished(steps, problems, ResidueSet.of(whole, ()), modulus, whole)
        conditions.append(condition)
    simple = [c for c in conditions if c.modulus > 1]
    if any(not isinstance(s, LeastResidue) for s in steps) and all(c.single for c in simple):
        steps.append(AllTogether(tuple(c.single for c in simple if c.single)))
    answer = _together(simple, whole, steps, methods)
    return _finished(steps, problems, answer, modulus, whole)


def _finished(
    steps: list[Step],
    problems: Sequence[OneUnknown],
    answer: ResidueSet,
    modulus: int,
    whole: int,
) -> Solution[ResidueSet]:
    """The solution under the modulus wanted, with its conclusion and its check."""
    if modulus != whole:
        answer = ResidueSet.of(modulus, answer.classes())
    classes = answer.classes() if answer.class_count <= WRITTEN_OUT else None
    residues = answer.residues() if answer.count <= WRITTEN_OUT else None
    steps.append(Conclude(modulus, whole, classes, residues, answer.count))
    if answer:
        complete = answer.count <= _CHECKED
        chosen = answer.residues() if complete else some_of(answer)
        steps.append(Check(tuple(problems), chosen, complete))
    return Solution(answer, tuple(steps))


# ------------------------------------------------------------ each congruence alone


def _alone(i: int, problem: OneUnknown, methods: Methods) -> tuple[list[Step], _Condition | None]:
    """The steps that solve the i-th congruence, and its condition; None without a solution."""
    if not isinstance(problem, LinearCongruence):
        return _alone_by_its_kind(i, problem, methods)
    m = problem.modulus
    if problem.left == (0, 1) and len(problem.right) <= 1:
        a = sum(problem.right)
        steps: list[Step] = [LeastResidue(i, a, a % m, m)] if a != a % m else []
        return steps, _one_class(a % m, m, m)
    a, b = problem.a, problem.b
    d = gcd(a, m)
    collected = problem.left == (0, a) and sum(problem.right) == b and len(problem.right) <= 1
    if b % d:
        return [Isolate(i, collected, a, b, m, d, a // d, b, None, None)], None
    a1, b1, m1 = a // d, b // d, m // d
    inverse = pow(a1, -1, m1)
    r = inverse * b1 % m1
    step = Isolate(i, collected, a, b, m, d, a1, b1, inverse, r, methods.inverse)
    return [step], _one_class(r, m1, m)


def _one_class(r: int, d: int, m: int) -> _Condition:
    return _Condition((r, d), (Part(m, ((r, d),)),))


def _alone_by_its_kind(
    i: int, problem: OneUnknown, methods: Methods
) -> tuple[list[Step], _Condition | None]:
    solution = taught(problem, problem.solve(), methods)
    answer = solution.answer
    step = SolveAlone(i, problem, solution.steps, answer)
    return [step], _Condition(problem, answer.parts) if answer else None


# ------------------------------------------------------------ putting them together


def _together(
    conditions: Sequence[_Condition], whole: int, steps: list[Step], methods: Methods
) -> ResidueSet:
    """The solutions modulo `whole` of the conditions, and the steps to them."""
    if len(conditions) < 2:
        classes = ((0, 1),) if not conditions else ResidueSet(conditions[0].parts).classes()
        return ResidueSet.of(whole, classes)
    moduli = [c.modulus for c in conditions]
    singles = [c.single for c in conditions if c.single]
    if methods.combine == "substitution" and len(singles) == len(conditions):
        return _by_substitution(singles, whole, steps, methods)
    if lcm(*moduli) == prod(moduli):
        if len(singles) == len(conditions):
            return _by_weights(singles, whole, steps)
        return _every_choice(conditions, whole, steps, methods)
    if len(singles) == len(conditions) and (
        len(conditions) == 2 or max(moduli) > FITS_ON_THE_BOARD
    ):
        return _by_substitution(singles, whole, steps, methods)
    return _prime_by_prime(conditions, whole, steps, methods)


def _by_weights(conditions: Sequence[Class], whole: int, steps: list[Step]) -> ResidueSet:
    residues = tuple(r for r, _d in conditions)
    weights = crt_weights([d for _r, d in conditions])
    modulus = prod(d for _r, d in conditions)
    total = sum(r * w.e for r, w in zip(residues, weights, strict=True))
    steps.append(AddWeighted(residues, weights, total, modulus))
    return ResidueSet.of(whole, ((total % modulus, modulus),))


def _every_choice(
    conditions: Sequence[_Condition], whole: int, steps: list[Step], methods: Methods
) -> ResidueSet:
    """Coprime moduli, several classes: each choice of one class for each congruence."""
    parts = [_coarse(part) for c in conditions for part in _condition_parts(c)]
    moduli = tuple((part.modulus, 1) for part in parts)
    steps.append(combination(parts, moduli, methods.combine))
    return _raised(ResidueSet.product(parts), whole)


def _condition_parts(condition: _Condition) -> tuple[Part, ...]:
    """One part for the whole condition while its classes can be listed."""
    if condition.counted > WRITTEN_OUT:
        return condition.parts
    answer = ResidueSet(condition.parts)
    return ResidueSet.of(answer.modulus, answer.classes()).parts


def _coarse(part: Part) -> Part:
    """The part under the least modulus that its classes need."""
    return Part(lcm(*(d for _r, d in part.classes)), part.classes)


def _raised(answer: ResidueSet, whole: int) -> ResidueSet:
    """The same classes modulo a multiple of their modulus, part by part where primes allow it."""
    if answer.modulus == whole:
        return answer
    parts, rest = [], whole
    for part in answer.parts:
        q = part.modulus
        while (more := gcd(rest // q, q)) > 1:
            q *= more
        parts.append(Part(q, part.classes))
        rest //= q
    return ResidueSet.product([*parts, Part(rest, ((0, 1),))] if rest > 1 else parts)


def _by_substitution(
    conditions: Sequence[Class], whole: int, steps: list[Step], methods: Methods
) -> ResidueSet:
    found = merges([r for r, _d in conditions], [d for _r, d in conditions])
    steps += [Substitute(merge, not i, methods.inverse) for i, merge in enumerate(found)]
    last = found[-1].merged
    return ResidueSet.of(whole, () if last is None else (last,))


def _prime_by_prime(
    conditions: Sequence[_Condition], whole: int, steps: list[Step], methods: Methods
) -> ResidueSet:
    """Every condition split into conditions modulo prime powers; what each prime is left with."""
    hints = [c.modulus for c in conditions]
    primes = sorted({p for c in conditions for p, _e in factorisation(c.modulus, hints)})
    columns = tuple(_column(p, conditions) for p in primes)
    steps.append(SplitPrimes(tuple(c.stated for c in conditions), columns))
    if not all(c.together for c in columns):
        return ResidueSet.of(whole, ())
    parts = [_coarse(Part(c.p ** _highest(c.p, c.together), c.together)) for c in columns]
    parts = [part for part in parts if part.modulus > 1]
    if len(parts) > 1:
        moduli = tuple((part.modulus, 1) for part in parts)
        steps.append(combination(parts, moduli, methods.combine))
    return _raised(ResidueSet.product(parts), whole)


def _highest(p: int, classes: Sequence[Class]) -> int:
    return max(valuation(d, p) for _r, d in classes)


def _column(p: int, conditions: Sequence[_Condition]) -> Column:
    said = tuple(_modulo_powers_of(p, c) for c in conditions)
    together = reduce(_common, (classes for classes in said if classes is not None))
    return Column(p, said, together)


def _modulo_powers_of(p: int, condition: _Condition) -> tuple[Class, ...] | None:
    """The classes modulo powers of p that the condition leaves; None if it leaves all residues."""
    for part in condition.parts:
        if part.modulus % p:
            continue
        q = p ** valuation(part.modulus, p)
        if len(part.classes) > 1 and q != part.modulus:
            raise AssertionError("several classes under a modulus that is no prime power")
        classes = tuple(sorted({(r % gcd(d, q), gcd(d, q)) for r, d in part.classes}))
        return None if classes == ((0, 1),) else classes
    return None


def _common(first: Sequence[Class], second: Sequence[Class]) -> tuple[Class, ...]:
    """The classes modulo powers of one prime that lie in both: the finer of each nested pair."""
    found = set()
    for r, d in first:
        for s, e in second:
            if (r - s) % min(d, e) == 0:
                found.add((r, d) if d > e else (s, e))
    return tuple(sorted(found))


# ------------------------------------------------------------ whether, and how many


def decided(solution: Solution[ResidueSet], modulus: int, ask: str) -> Solution[ResidueSet]:
    """The solution as far as it takes to say whether there is a solution, or how many.

    Coprime moduli are enough, or a greatest common divisor that divides the difference.
    """
    if not solution.answer:
        return solution
    steps: list[Step] = []
    put_in = [step.merge for step in solution.steps if isinstance(step, Substitute)]
    coprime = all(merge.g == 1 for merge in put_in)
    for step in solution.steps:
        match step:
            case Substitute(merge, first) if coprime:
                if first:
                    steps.append(Coprime((merge.d, *(m.m for m in put_in))))
            case AddWeighted(_residues, weights):
                steps.append(Coprime(tuple(w.modulus for w in weights)))
            case Substitute(merge, True) if not any(
                isinstance(s, Substitute) and not s.first for s in solution.steps
            ):
                steps.append(Agree(merge))
            case Combine() | Conclude() | Check():
                continue
            case _:
                steps.append(step)
    end = Decide(modulus, solution.answer.count, ask == "whether any")
    return Solution(solution.answer, (*steps, end))
