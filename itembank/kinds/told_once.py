"""What a kind tells of a way, kept for a while: it is asked for it whether a form fits, and again
where the item is made.

Equal problems with equal solutions tell the same.
"""

from functools import lru_cache
from typing import Any

from itembank.kinds.base import Solution
from itembank.kinds.derivation import Derived, Misorder, SpareLine, Stage, StepLine, WithSpares
from itembank.kinds.lines import Inference, InLines, Line, Reasoned

_KEPT = 256
"""Solutions whose way is kept: more than are met between a draw and the making of its item."""


@lru_cache(maxsize=_KEPT)
def steps_told(problem: Derived, solution: Solution[Any]) -> tuple[StepLine, ...]:
    """The steps of its method in their one possible order."""
    return problem.outline(solution)


@lru_cache(maxsize=_KEPT)
def misorders_told(problem: Derived, solution: Solution[Any]) -> tuple[Misorder, ...]:
    """The slips in the order of its steps."""
    return problem.misorders(steps_told(problem, solution))


@lru_cache(maxsize=_KEPT)
def spares_told(problem: WithSpares, solution: Solution[Any]) -> tuple[SpareLine, ...]:
    """What slips make of its steps."""
    return problem.spares(solution, steps_told(problem, solution))


@lru_cache(maxsize=_KEPT)
def stages_told(problem: Derived, solution: Solution[Any]) -> tuple[Stage, ...]:
    """The stages of its derivation, to be filled in."""
    return problem.stages(solution)


@lru_cache(maxsize=_KEPT)
def lines_told(problem: InLines, solution: Solution[Any]) -> tuple[Line, ...]:
    """The lines of its solution, with the slips that can be made in them."""
    return problem.lines(solution)


@lru_cache(maxsize=_KEPT)
def inferences_told(problem: Reasoned, solution: Solution[Any]) -> tuple[Inference, ...]:
    """The steps that follow, with their reasons."""
    return problem.inferences(solution)
