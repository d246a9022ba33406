"""Integers of a range in the place of residues: one of them, the least, the largest, or all.

What a question or a slip claims as residues modulo m is claimed as the integers of the range that
are congruent to these.
"""

from collections.abc import Iterable
from itertools import chain

from itembank.kinds.base import Problem
from itembank.pipeline.examples import examples
from itembank.spec import Family
from itembank.spec.evaluating import Env
from itembank.values.answer import Answer, Class, Range, ResidueSet
from itembank.values.errors import ComposeError, NoValue
from itembank.values.worded import worded

ENDS = ("the least", "the largest")
"""What may be asked of the integers of a range that solve, where one is asked for."""

_MOST_INTEGERS = 12
"""How many integers of a range are listed at most, where all that solve are asked for."""


def range_of(family: Family, answer: Answer, parameters: Env) -> Range | None:
    """The range of a variant; None where its family has none. Raises NoValue."""
    if family.answer is None or not isinstance(answer, ResidueSet):
        return None
    return family.answer.at(parameters, answer.modulus)


def end_of(classes: Iterable[Class], ask: str, found: Range) -> int | None:
    """The least or the largest integer of these classes in the range; None if it has none.

    >>> end_of([(3, 7), (5, 7)], "the least", Range(low=101))
    101
    """
    if ask == "the least":
        return min((n for c in classes if (n := found.first(*c)) is not None), default=None)
    return max((n for c in classes if (n := found.last(*c)) is not None), default=None)


def integers(classes: Iterable[Class], found: Range) -> tuple[int, ...]:
    """The integers of these classes in a range with two bounds, increasing.

    >>> integers([(3, 7), (5, 7)], Range(-3, 10))
    (-2, 3, 5, 10)
    """
    return tuple(sorted(chain.from_iterable(found.every(*c) for c in classes)))


def beyond_range(family: Family, problem: Problem, answer: Answer, parameters: Env) -> str:
    """Why nothing in the range of the family answers the question; "" where something does."""
    if not isinstance(answer, ResidueSet):
        return ""
    try:
        found = range_of(family, answer, parameters)
        if family.ask == "an example":
            examples(answer, found)
        elif found:
            _in_range(family.ask, problem, answer, found)
    except NoValue as e:
        return e.reason
    except ComposeError as e:
        return str(e)
    return ""


def _in_range(ask: str, problem: Problem, answer: ResidueSet, found: Range) -> tuple[int, ...]:
    """What answers the question, increasing; () where `the solution` is not one class.

    ComposeError where nothing in the range can answer, or too much.
    """
    if problem.kind == "system" and getattr(problem, "whole", 0) != answer.modulus:
        raise ComposeError(worded("answer: the system has bounds of its own beside the range"))
    if ask in ENDS:
        return (end_in_range(answer, ask, found),)
    if ask == "all solutions":
        return all_in_range(answer, found)
    if answer.count != 1:
        return ()
    only = found.integer(answer.residues()[0], answer.modulus)
    if only is None:
        raise ComposeError(worded("not exactly one integer of the range solves it"))
    return (only,)


def answers_of(
    family: Family, problem: Problem, answer: Answer, parameters: Env
) -> tuple[int, ...] | None:
    """The integers of the family's range that answer; None where it has none, or they are none."""
    if family.ask == "an example" or not isinstance(answer, ResidueSet):
        return None
    try:
        found = range_of(family, answer, parameters)
        return _in_range(family.ask, problem, answer, found) if found else None
    except (NoValue, ComposeError):
        return None


def end_in_range(answer: ResidueSet, ask: str, found: Range) -> int:
    """The least or the largest integer of the range that solves; ComposeError without one."""
    end = end_of(answer.classes(), ask, found)
    if end is None:
        raise ComposeError(worded("answer: no integer of the range solves it"))
    return end


def all_in_range(answer: ResidueSet, found: Range) -> tuple[int, ...]:
    """All integers of the range that solve; ComposeError for too many."""
    if found.low is None or found.high is None:
        raise ComposeError(worded("answer: expected a range with two bounds"))
    count = sum(len(found.every(*c)) for c in answer.classes())
    if count > _MOST_INTEGERS:
        raise ComposeError(
            worded(
                "answer: {count} integers of the range solve it, expected at most {most}",
                count=count,
                most=_MOST_INTEGERS,
            )
        )
    return integers(answer.classes(), found)
