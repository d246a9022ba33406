"""Whether the claim about a problem is true, and what is claimed otherwise.

The statement of the problem alone says it, so it is known before anything is composed, and a draw
can take as many of either.
"""

from collections.abc import Sequence
from typing import TypeVar

from itembank.kinds.base import Problem
from itembank.pipeline.balance import pick

T = TypeVar("T")


def is_true(problem: Problem) -> bool:
    """Whether the right answer is claimed: for every other problem."""
    return pick(f"{_named(problem)}/true", 2) == 1


def one_of(wrong: Sequence[T], problem: Problem) -> T:
    """The wrong answer that is claimed otherwise; at least one."""
    return wrong[pick(f"{_named(problem)}/slip", len(wrong))]


def _named(problem: Problem) -> str:
    return f"claim/{'; '.join(problem.statement)}"
