"""Which numbers are right where an example is asked for: any of them counts, within a range."""

from itembank.values.answer import Answer, Range, ResidueSet
from itembank.values.errors import ComposeError
from itembank.values.worded import worded

_MOST_EXAMPLES = 40
"""How many numbers count at most: each lengthens the scoring."""

_LONGEST_RANGE = 500
"""How many numbers a range holds at most: whoever checks the scoring tries them all."""


def _residues(answer: Answer) -> ResidueSet:
    if not isinstance(answer, ResidueSet):
        raise ComposeError(worded("an example: expected an answer that is a set"))
    return answer


def bounds_of(answer: Answer, found: Range | None) -> tuple[int, int]:
    """From where to where an example is looked for: among all least residues, or in a range."""
    m = _residues(answer).modulus
    low, high = (found.low, found.high) if found else (0, m - 1)
    if low is None or high is None:
        raise ComposeError(worded("an example: expected a range with two bounds"))
    if not 0 <= low <= high < m or (low == 0 and high != m - 1):
        raise ComposeError(worded("an example: the range is not one of least residues above 0"))
    if high - low >= _LONGEST_RANGE:
        raise ComposeError(
            worded(
                "an example: a range of more than {longest_range} numbers",
                longest_range=_LONGEST_RANGE,
            )
        )
    return low, high


def examples(answer: Answer, found: Range | None = None) -> tuple[int, ...]:
    """All that are right, increasing; ComposeError where there is none, or too many to list."""
    low, high = bounds_of(answer, found)
    solution = _residues(answer)
    right = tuple(n for n in range(low, high + 1) if n in solution)
    if not right:
        raise ComposeError(worded("an example: there is none in the range"))
    if len(right) > _MOST_EXAMPLES:
        raise ComposeError(
            worded(
                "an example: {n} numbers are right, expected at most {most_examples}",
                n=len(right),
                most_examples=_MOST_EXAMPLES,
            )
        )
    return right
