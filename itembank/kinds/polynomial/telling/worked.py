"""The worked solution of a polynomial congruence, told from its steps.

One function a step, in the order of the method: the modulus split, roots modulo a
prime, lifting, combining. Each yields sentences, displays and tables and computes
nothing but the arithmetic it shows. Sentences are whole, so that they translate, and
written in the unknown x; another letter is put in at the end.
"""

from collections.abc import Callable, Iterator
from itertools import cycle, zip_longest
from typing import Any

from itembank.kinds.base import Solution, Step
from itembank.kinds.polynomial.combination import Combine
from itembank.kinds.polynomial.conclusion import Conclude, CountAll
from itembank.kinds.polynomial.steps import (
    ChainLift,
    DivideOut,
    LevelLift,
    LocalAnswer,
    LocalStep,
    OddSquare,
    PairOff,
    RootsModPrime,
    SimpleLift,
    Split,
    Substitute,
    TreeLift,
)
from itembank.kinds.polynomial.telling import (
    checking,
    combining,
    concluding,
    lifts,
    modulus,
    roots,
)
from itembank.languages import Telling, Told
from itembank.languages.lettering import in_letter, relettered
from itembank.values.answer import ResidueSet

_TOLD: dict[type[Step], Callable[[Any], Iterator[Told]]] = {
    Split: modulus.split,
    DivideOut: modulus.divide_out,
    RootsModPrime: roots.roots_modulo_prime,
    LevelLift: lifts.level_lift,
    OddSquare: lifts.odd_square,
    ChainLift: lifts.chain_lift,
    TreeLift: lifts.tree_lift,
    SimpleLift: lifts.simple_lift,
    LocalAnswer: lifts.local_answer,
    Combine: combining.combine,
    Conclude: concluding.conclude,
    CountAll: concluding.count_all,
    Substitute: checking.substitute,
    PairOff: checking.pair_off,
}
"""How each step is told."""


_QUOTIENTS = "ghGH"
"""Names of the polynomial that is left of f modulo one prime power and another."""


def worked(solution: Solution[ResidueSet], letter: str = "x") -> Telling:
    """The steps of a solution as a teacher would write them on the board."""
    divided = [s.p for s in solution.steps if isinstance(s, DivideOut) and s.v < s.k]
    quotient = dict(zip(divided, cycle(_QUOTIENTS)))
    found: list[Told] = []
    for step, after in zip_longest(solution.steps, solution.steps[1:]):
        told = tuple(_TOLD[type(step)](step))
        if isinstance(step, Split) and isinstance(after, OddSquare):
            told = tuple(modulus.split(step, lifted=False))
        if isinstance(step, LocalStep) and step.p in quotient:
            told = relettered(told, dict.fromkeys("fg", quotient[step.p]))
        found += told
    return in_letter(tuple(found), letter)
