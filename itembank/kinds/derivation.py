"""What a kind tells of its derivation, for questions about the way and not the answer alone.

Steps to be put in order, roots to be matched with their lifts, stages to be filled in one by
one: a kind that has them satisfies `Derived`.  Notation: m modulus, p prime, k exponent.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Protocol, runtime_checkable

from itembank.kinds.base import Feedback, Slip, Solution
from itembank.languages import Said
from itembank.notation.tree import Math
from itembank.values.answer import ResidueSet


@dataclass(frozen=True)
class StepLine:
    """One step of the method told in a line, with this problem's numbers; `name` is its kind."""

    name: str
    text: Said


@dataclass(frozen=True)
class Misorder:
    """A slip in the order of the steps: `order` holds their right places, as they were put."""

    name: str
    order: tuple[int, ...]
    feedback: Feedback


@dataclass(frozen=True)
class Lifting:
    """The last lift of a congruence modulo p^k: `roots` are all solutions modulo `below`.

    below is p^(k-1), k at least 2.
    """

    p: int
    below: int
    roots: tuple[int, ...]


@dataclass(frozen=True)
class RootStage:
    """All solutions modulo `answer.modulus` are asked for; `slips` go wrong in this stage."""

    answer: ResidueSet
    slips: tuple[Slip, ...]


@dataclass(frozen=True)
class SingularStage:
    """At how many of the `roots` modulo p is the derivative of `polynomial` divisible by p?

    `singular` are those where it is.
    """

    p: int
    polynomial: Math
    roots: tuple[int, ...]
    singular: tuple[int, ...]


Stage = RootStage | SingularStage


@runtime_checkable
class Derived(Protocol):
    """A problem that can be asked about its derivation; () or None where it has too little."""

    def outline(self, solution: Solution[Any]) -> tuple[StepLine, ...]:
        """The steps of the method in their one possible order."""

    def misorders(self, lines: Sequence[StepLine]) -> tuple[Misorder, ...]:
        """The slips in the order of these steps."""

    def lifting(self, solution: Solution[Any]) -> Lifting | None:
        """The last lift, where the modulus is a power of a prime with one."""

    def stages(self, solution: Solution[Any]) -> tuple[Stage, ...]:
        """The stages that lead to the answer, which is that of the last."""
