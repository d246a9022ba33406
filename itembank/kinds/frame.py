"""The frame of a small kind: what most of them do alike with their steps and their mistakes.

A kind says how its steps are told and what its answer is as a sentence; the order of a worked
solution (conventions, steps, answer) and the twin of a problem are the same everywhere.
"""

from abc import ABC, abstractmethod
from collections.abc import Iterator
from typing import Any, ClassVar

from itembank.kinds.base import Solution
from itembank.kinds.wording import Tellers, told
from itembank.languages import Said, Telling, lead

Sentences = Said | tuple[Said, ...]
"""One sentence or more of one paragraph."""


def sentences(said: Sentences) -> tuple[Said, ...]:
    return (said,) if isinstance(said, Said) else said


class Framed(ABC):
    """A problem whose worked solution is its steps, and then its answer in a sentence."""

    telling: ClassVar[Tellers]

    @property
    @abstractmethod
    def canonical(self) -> tuple[object, ...]: ...

    @property
    def twin(self) -> tuple[object, ...]:
        """No other problem is nearly the same one."""
        return self.canonical

    def conventions(self) -> Iterator[Said]:
        """What has to be said before anything is worked."""
        return iter(())

    def worked(self, solution: Solution[Any]) -> Telling:
        return (
            *self.conventions(),
            *told(solution.steps, self.telling),
            *self.conclusion(solution.answer),
        )

    def conclusion(self, answer: Any) -> Telling:
        """The last paragraph of a worked solution."""
        return (lead("Answer."), *sentences(self.answer_text(answer)))

    @abstractmethod
    def answer_text(self, answer: Any) -> Sentences:
        """The answer as a sentence."""
