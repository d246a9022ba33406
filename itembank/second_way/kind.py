"""What a second way offers for its kind of problem."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

from itembank.second_way.verdict import Verdict

Claim = (
    int | bool | None | Sequence[tuple[int, Sequence[tuple[int, int]]]] | Sequence[tuple[int, int]]
)


class Kind(NamedTuple):
    """A check for each ask (or Undecided), and the solutions listed."""

    checks: Mapping[str, Callable[[Any, Any], Verdict]]
    solutions: Callable[[Any], tuple[int, ...] | None]
