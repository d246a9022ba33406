"""Problems of each kind with their solutions, solved once for all tests that look at them."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

from itembank.kinds.base import Problem, Solution
from itembank.kinds.statement import problem_from
from itembank.notation.tree import Blocks
from tests.kinds.telling import rendered

Solved = tuple[str, Problem, Solution]
"""What is typed, and what it is about."""


@dataclass
class Sample:
    """statements: the first so many of a kind, each as the lines that are typed.

    kept: so many of a kind are solved, and their solutions told, only once; others each time.
    """

    statements: Callable[[str, int], Sequence[Sequence[str]]]
    kept: int
    _solved: dict[str, list[Solved]] = field(default_factory=dict)
    _told: dict[str, list[Blocks]] = field(default_factory=dict)

    def solved(self, kind: str, count: int) -> Iterator[Solved]:
        """The first of a kind."""
        known = self._solved.setdefault(kind, [])
        for n, typed in enumerate(self.statements(kind, count)):
            if n < len(known):
                yield known[n]
                continue
            problem = problem_from(typed)
            assert problem.kind == kind, typed
            found = "; ".join(typed), problem, problem.solve()
            if n == len(known) < self.kept:
                known.append(found)
            yield found

    def worked(self, kind: str, count: int) -> Iterator[tuple[Solved, Blocks]]:
        """The first of a kind, at most as many as are kept, with their worked solutions."""
        told = self._told.setdefault(kind, [])
        for n, found in enumerate(self.solved(kind, min(count, self.kept))):
            if n == len(told):
                _statement, problem, solution = found
                told.append(rendered(problem.worked(solution)))
            yield found, told[n]
