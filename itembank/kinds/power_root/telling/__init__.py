"""The worked solution of x^k = a (mod m), told from its steps.

One function a step; sentences are whole and written in the unknown x.  After p has been
divided out the unknown is y = x/p^w, until the classes are multiplied back.
"""

from collections.abc import Sequence
from typing import Any

from itembank.kinds.base import Solution, Step
from itembank.kinds.polynomial.combination import Combine
from itembank.kinds.polynomial.conclusion import Conclude, CountAll
from itembank.kinds.polynomial.telling.worked import TOLD as TOLD_FOR_POLYNOMIALS
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
    LocalStep,
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
from itembank.kinds.power_root.telling import (
    check,
    decision,
    divisible,
    lifts,
    modulus,
    roots,
    sight,
    square_roots,
)
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Telling, Told, say
from itembank.languages.lettering import in_letter, relettered

TOLD: Tellers = {
    LeastResidue: modulus.least_residue,
    Split: modulus.split,
    InvertExponent: modulus.invert_exponent,
    SeenSolution: sight.seen_solution,
    SeenRoot: sight.seen_root,
    Witness: sight.witness,
    OneRoot: decision.one_root,
    Lifts: decision.lifts,
    Exists: decision.exists,
    Zero: divisible.zero,
    Divide: divisible.divide,
    Multiply: divisible.multiply,
    Odd: divisible.odd,
    ListPowers: roots.list_powers,
    Criterion: roots.criterion,
    RootThreeModFour: square_roots.root_three_mod_four,
    RootFiveModEight: square_roots.root_five_mod_eight,
    RootByRounds: square_roots.root_by_rounds,
    Indices: roots.indices,
    LowerExponent: roots.lower_exponent,
    CorrectRoot: roots.correct_root,
    OtherRoots: roots.other_roots,
    SamePower: lifts.same_power,
    OddPower: lifts.odd_power,
    Lift: lifts.lift,
    Substitute: check.substitute,
    Combine: TOLD_FOR_POLYNOMIALS[Combine],
    Conclude: TOLD_FOR_POLYNOMIALS[Conclude],
    CountAll: TOLD_FOR_POLYNOMIALS[CountAll],
}
"""How each step is told."""


def _whole_right_side(steps: Sequence[Step]) -> int | None:
    """The right side of the congruence that was split; None where it was not."""
    return next((step.a for step in steps if isinstance(step, Split)), None)


def _is_whole(step: ListPowers, steps: Sequence[Step]) -> bool:
    """Whether the congruence modulo p is the one that is asked about."""
    return any(isinstance(s, Split) and (s.modulus, s.a) == (step.p, step.a) for s in steps)


def _reduced(step: LocalStep) -> Said:
    """The congruence modulo one prime, where its right side is smaller there."""
    return say("The congruence is $x^{k} ≡ {a} (mod {p})$.", k=step.k, a=step.a, p=step.q)


def worked(solution: Solution[Any], letter: str = "x") -> Telling:
    """The steps as a teacher would write them on the board."""
    found: list[Told] = []
    divided = False
    right: int | None = None
    prime = 0
    for step in solution.steps:
        if isinstance(step, LocalStep) and step.p != prime:
            prime, right = step.p, _whole_right_side(solution.steps)
        divided = divided and not isinstance(step, Multiply | Combine | Conclude | CountAll)
        told = tuple(TOLD[type(step)](step))
        if isinstance(step, SeenRoot) and step.d is None:
            told = told[1:]  # `Odd` begins the paragraph of 2
        elif isinstance(step, ListPowers) and _is_whole(step, solution.steps):
            told = (told[0], *told[2:])
        elif isinstance(step, SeenRoot | Criterion | Indices) and right not in (None, step.a):
            told, right = (told[0], _reduced(step), *told[1:]), step.a
        right = step.b if isinstance(step, Divide) else right
        found += relettered(told, {"x": "y"}) if divided else told
        divided = divided or isinstance(step, Divide)
    return in_letter(tuple(found), letter)
