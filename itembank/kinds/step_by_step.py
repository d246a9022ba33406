"""A kind that tells its derivation step by step: what such kinds have alike.

What is told of a derivation (`derivation.py`) is loaded with the questions about it: solving a
congruence takes none of it.
"""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from itembank.kinds.base import Solution
from itembank.languages import say

if TYPE_CHECKING:
    from itembank.kinds.derivation import Lifting, Matching, Misorder, Stage, StepLine


class StepByStep:
    """A problem that tells its outline, and of the rest of its derivation what it overrides."""

    def misorders(self, lines: "Sequence[StepLine]") -> "tuple[Misorder, ...]":
        return tuple(_exchanged(lines))

    def lifting(self, _solution: Solution[Any]) -> "Lifting | None":
        return None

    def stages(self, _solution: Solution[Any]) -> "tuple[Stage, ...]":
        return ()

    def matching(self, _solution: Solution[Any]) -> "Matching | None":
        """Numbers on the way to match with their values, where there are enough."""
        return None


def _exchanged(lines: "Sequence[StepLine]") -> "Iterator[Misorder]":
    """Each step exchanged with the one before it, whose result it uses."""
    from itembank.kinds.derivation import Misorder

    for place in range(1, len(lines)):
        before, step = lines[place - 1].name, lines[place].name
        order = [*range(len(lines))]
        order[place - 1 : place + 1] = place, place - 1
        name = f"{step}-before-{before}".replace(" ", "-")
        yield Misorder(name, tuple(order), (_USED_TOO_EARLY,))


_USED_TOO_EARLY = say(
    "In this order a line may use a number that only a later line finds. Ask of each line where "
    "its numbers come from."
)
