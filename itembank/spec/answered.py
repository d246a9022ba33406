"""What a condition may ask of the answer to the question of a variant.

    min(answer) > 20          the least of all solutions; max, count and sum are alike
    member(3, answer)         whether 3 is a solution; `3 in answer` is the same
    answer > 20               what the question is answered with: the least where that is asked,
                              the number of solutions where it asks how many, else the only one

Where integers of a range are asked for, `answer` is the one of them, and of all solutions the
range alone counts.

What the answer does not have, the least of no solutions, has no value: the variant is passed over.
"""

from collections.abc import Callable
from dataclasses import dataclass

from itembank.spec.functions import Undefined
from itembank.values.answer import Absent, Answer, Pairs, ResidueSet, Truth, Value
from itembank.values.worded import worded

ANSWER = "answer"
"""The name of the answer in a condition; no parameter has this name."""

_MOST_SUMMED = 10_000
"""The most solutions that are added up."""


@dataclass(frozen=True)
class Answered:
    """The complete answer of a variant, and what is asked of it.

    integers: those of a range that answer, increasing, where the family asks for such.
    """

    answer: Answer
    ask: str
    integers: tuple[int, ...] | None = None

    @property
    def listed(self) -> tuple[int, ...] | None:
        """All that are asked for, where these are integers of a range."""
        return self.integers if self.ask == "all solutions" else None

    def __str__(self) -> str:
        return f"that of the ask '{self.ask}'"


def _least(found: Answered) -> int:
    if found.listed is not None:
        return _existing(min(found.listed, default=None))
    match found.answer:
        case ResidueSet() as residues:
            return _existing(residues.least())
        case Value(n):
            return n
    raise _without(found.answer, "least")


def _largest(found: Answered) -> int:
    if found.listed is not None:
        return _existing(max(found.listed, default=None))
    match found.answer:
        case ResidueSet() as residues:
            return _existing(residues.largest())
        case Value(n):
            return n
    raise _without(found.answer, "largest")


def _existing(n: int | None) -> int:
    if n is None:
        raise Undefined(worded("there is no solution"))
    return n


def _number_of(found: Answered) -> int:
    if found.listed is not None:
        return len(found.listed)
    match found.answer:
        case ResidueSet() as residues:
            return residues.count
        case Pairs(_, pairs):
            return len(pairs)
        case Absent():
            return 0
    return 1


def _total(found: Answered) -> int:
    if found.listed is not None:
        return sum(found.listed)
    match found.answer:
        case ResidueSet() as residues:
            if not (residues.count <= _MOST_SUMMED):
                raise Undefined(
                    worded("more than {most_summed} solutions to add up", most_summed=_MOST_SUMMED)
                )
            return sum(residues.residues())
        case Value(n):
            return n
    raise _without(found.answer, "sum")


def _is_member(n: int, found: Answered) -> bool:
    if found.listed is not None:
        return n in found.listed
    match found.answer:
        case ResidueSet() as residues:
            return 0 <= n < residues.modulus and n in residues
        case Value(value):
            return n == value
    return False


def value(found: Answered) -> int:
    """The one number that the question is answered with; of a truth 1 or 0."""
    if found.integers is not None and len(found.integers) == 1:
        return found.integers[0]
    match found.answer:
        case Value(n):
            return n
        case Truth(holds):
            return int(holds)
    match found.ask:
        case "how many":
            return _number_of(found)
        case "whether any":
            return int(_number_of(found) > 0)
        case "the largest":
            return _largest(found)
        case "the least":
            return _least(found)
    if not (_number_of(found) == 1):
        raise Undefined(
            worded("expected one solution, there are {number_of}", number_of=_number_of(found))
        )
    return _least(found)


def _without(answer: Answer, what: str) -> Undefined:
    if isinstance(answer, Absent):
        return Undefined(worded("no answer has no {what}", what=what))
    return Undefined(worded("an answer that is no number has no {what}", what=what))


@dataclass(frozen=True)
class Asking:
    """A function of the answer: what it computes, and how its arguments are written."""

    value: Callable[..., int]
    arguments: str = ANSWER
    condition: bool = False


ASKING = {
    "min": Asking(_least),
    "max": Asking(_largest),
    "count": Asking(_number_of),
    "sum": Asking(_total),
    "value": Asking(value),
    "member": Asking(_is_member, f"n, {ANSWER}", condition=True),
}
