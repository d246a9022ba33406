"""What a kind tells of its derivation, for questions about the way and not the answer alone.

Steps to be put in order, roots to be matched with their lifts, stages to be filled in one by
one: a kind that has them satisfies `Derived`.  Notation: m modulus, p prime, k exponent.
"""

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Protocol, TypeGuard, runtime_checkable

from itembank.kinds.base import Feedback, Slip, Solution, satisfies
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
class SpareLine:
    """A step gone wrong by a named slip: a line that does not belong.

    It is told as the line of its place is (from 0), and claims what is not so.  `feedback` says
    what is wrong in it, and nothing of the right line.
    """

    name: str
    place: int
    text: Said
    feedback: Said


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


@dataclass(frozen=True)
class NumberStage:
    """The numbers `values`, increasing, are asked for by `prompt`, which names its stage."""

    prompt: Said
    values: tuple[int, ...]
    slips: tuple[Slip, ...] = ()


Stage = RootStage | SingularStage | NumberStage


@dataclass(frozen=True)
class Matching:
    """Numbers on the way, each to be matched with its value, as `instruction` says.

    `wrong` are the values of a slip, one for each source, under its name with what is said of it.
    """

    instruction: Said
    sources: tuple[int, ...]
    values: tuple[int, ...]
    wrong: tuple[int, ...]
    slip: str
    feedback: Feedback


@runtime_checkable
class Derived(Hashable, Protocol):
    """A problem that can be asked about its derivation; () or None where it has too little."""

    def outline(self, solution: Solution[Any]) -> tuple[StepLine, ...]:
        """The steps of the method in their one possible order."""

    def misorders(self, lines: Sequence[StepLine]) -> tuple[Misorder, ...]:
        """The slips in the order of these steps."""

    def lifting(self, solution: Solution[Any]) -> Lifting | None:
        """The last lift, where the modulus is a power of a prime with one."""

    def stages(self, solution: Solution[Any]) -> tuple[Stage, ...]:
        """The stages that lead to the answer, which is that of the last."""


def is_derived(problem: object) -> TypeGuard[Derived]:
    """Whether a problem can be asked about its derivation."""
    return satisfies(problem, Derived)


@runtime_checkable
class WithSpares(Derived, Protocol):
    """A problem whose outline can be shown among lines that do not belong."""

    def spares(self, solution: Solution[Any], lines: Sequence[StepLine]) -> tuple[SpareLine, ...]:
        """What slips make of these lines; those of one slip agree with each other."""


_MOST_TOLD = 6
"""The most lines of an outline."""


def told(lines: Iterator[tuple[str, Said]]) -> tuple[StepLine, ...]:
    """The lines of an outline; () for one that is too long to be put in order."""
    found = tuple(StepLine(name, text) for name, text in lines)
    return found if len(found) <= _MOST_TOLD else ()


Wrong = tuple[str, str, Said, Said]
"""A line gone wrong: the name of the line that it spoils, the slip, its text, what is said."""


def beside(lines: Sequence[StepLine], wrong: Iterable[Wrong]) -> tuple[SpareLine, ...]:
    """The wrong lines that spoil one of these."""
    places = {line.name: n for n, line in enumerate(lines)}
    return tuple(
        SpareLine(slip, places[line], text, feedback)
        for line, slip, text, feedback in wrong
        if line in places
    )
