"""The worked solution of x^k = a (mod m), told from its steps.

One function a step; sentences are whole and written in the unknown x.  After p has been
divided out the unknown is y = x/p^w, until the classes are multiplied back.
"""

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from importlib import import_module
from typing import Any

from itembank.kinds.base import Solution, Step
from itembank.kinds.power_root.steps import LocalStep, SeenRoot, Split
from itembank.languages import Said, Telling, Told, say
from itembank.languages.lettering import in_letter, relettered

_OURS = "itembank.kinds.power_root.telling"
_OF_POLYNOMIALS = "itembank.kinds.polynomial.telling"

TOLD = {
    "LeastResidue": (f"{_OURS}.modulus", "least_residue"),
    "Split": (f"{_OURS}.modulus", "split"),
    "InvertExponent": (f"{_OURS}.modulus", "invert_exponent"),
    "SeenSolution": (f"{_OURS}.sight", "seen_solution"),
    "SeenRoot": (f"{_OURS}.sight", "seen_root"),
    "Witness": (f"{_OURS}.sight", "witness"),
    "OneRoot": (f"{_OURS}.decision", "one_root"),
    "Lifts": (f"{_OURS}.decision", "lifts"),
    "Exists": (f"{_OURS}.decision", "exists"),
    "Zero": (f"{_OURS}.divisible", "zero"),
    "Divide": (f"{_OURS}.divisible", "divide"),
    "Multiply": (f"{_OURS}.divisible", "multiply"),
    "Odd": (f"{_OURS}.divisible", "odd"),
    "ListPowers": (f"{_OURS}.roots", "list_powers"),
    "Criterion": (f"{_OURS}.roots", "criterion"),
    "RootThreeModFour": (f"{_OURS}.square_roots", "root_three_mod_four"),
    "RootFiveModEight": (f"{_OURS}.square_roots", "root_five_mod_eight"),
    "RootByRounds": (f"{_OURS}.square_roots", "root_by_rounds"),
    "Indices": (f"{_OURS}.roots", "indices"),
    "LowerExponent": (f"{_OURS}.roots", "lower_exponent"),
    "CorrectRoot": (f"{_OURS}.roots", "correct_root"),
    "OtherRoots": (f"{_OURS}.roots", "other_roots"),
    "SamePower": (f"{_OURS}.lifts", "same_power"),
    "OddPower": (f"{_OURS}.lifts", "odd_power"),
    "Lift": (f"{_OURS}.lifts", "lift"),
    "Substitute": (f"{_OURS}.check", "substitute"),
    "Combine": (f"{_OF_POLYNOMIALS}.combining", "combine"),
    "Conclude": (f"{_OF_POLYNOMIALS}.concluding", "conclude"),
    "CountAll": (f"{_OF_POLYNOMIALS}.concluding", "count_all"),
}
"""How each step is told, by the name of its class: loaded with the first such step."""


@cache
def teller(step: str) -> Callable[[Any], Iterator[Told]]:
    """The function that tells the steps of a class, by its name."""
    module, name = TOLD[step]
    found: Callable[[Any], Iterator[Told]] = getattr(import_module(module), name)
    return found


_UNDIVIDED = frozenset({"multiply back", "combine", "answer", "multiply"})
"""The steps from which on the unknown is x again."""

_OF_THE_RIGHT_SIDE = frozenset({"a root at sight", "criterion", "indices"})
"""The steps that begin with the congruence modulo one prime."""


def _whole_right_side(steps: Sequence[Step]) -> int | None:
    """The right side of the congruence that was split; None where it was not."""
    return next((step.a for step in steps if isinstance(step, Split)), None)


def _is_whole(step: LocalStep, steps: Sequence[Step]) -> bool:
    """Whether the congruence modulo p is the one that is asked about."""
    return any(isinstance(s, Split) and (s.modulus, s.a) == (step.p, step.a) for s in steps)


def _reduced(step: LocalStep) -> Said:
    """The congruence modulo one prime, where its right side is smaller there."""
    return say("The congruence is $x^{k} ≡ {a} (mod {p})$.", k=step.k, a=step.a, p=step.q)


def _divided_right_side(step: Step) -> int | None:
    """That of the congruence in y, after a power of p was divided out."""
    from itembank.kinds.power_root.lifting_steps import Divide

    assert isinstance(step, Divide)
    return step.b


def worked(solution: Solution[Any], letter: str = "x") -> Telling:
    """The steps as a teacher would write them on the board."""
    found: list[Told] = []
    divided = False
    right: int | None = None
    prime = 0
    for step in solution.steps:
        if isinstance(step, LocalStep) and step.p != prime:
            prime, right = step.p, _whole_right_side(solution.steps)
        divided = divided and step.name not in _UNDIVIDED
        told = tuple(teller(type(step).__name__)(step))
        if isinstance(step, SeenRoot) and step.d is None:
            told = told[1:]  # `Odd` begins the paragraph of 2
        elif isinstance(step, LocalStep) and step.name == "list the powers":
            told = (told[0], *told[2:]) if _is_whole(step, solution.steps) else told
        elif isinstance(step, LocalStep) and step.name in _OF_THE_RIGHT_SIDE:
            reduced = right not in (None, step.a)
            told = (told[0], _reduced(step), *told[1:]) if reduced else told
            right = step.a if reduced else right
        found += relettered(told, {"x": "y"}) if divided else told
        if step.name == "divide out a power of p":
            divided, right = True, _divided_right_side(step)
    return in_letter(tuple(found), letter)
