"""What a question is answered with, as far as a guess can know it; how often each is to come."""

import re
from collections.abc import Mapping, Sequence
from typing import Any, Protocol

from itembank.kinds.asking import WHETHER_TRUE
from itembank.kinds.base import Problem, Solution
from itembank.kinds.derivation import SingularStage, StepLine, is_derived
from itembank.kinds.told_once import stages_told, steps_told
from itembank.pipeline.balance import FALSE, NONE, TRUE, Aim, Evenly, Varied
from itembank.pipeline.claimed import is_true
from itembank.pipeline.ranges import answers_of
from itembank.spec import Family
from itembank.values.answer import Absent, Answer, Pairs, ResidueSet, Truth, Value
from itembank.values.worded import worded

_NUMBER = re.compile(r"-?\d+")


class Solved(Protocol):
    """A problem with its solution."""

    @property
    def problem(self) -> Problem: ...

    @property
    def solution(self) -> Solution[Any]: ...

    @property
    def parameters(self) -> Mapping[str, int]: ...


_OF_SETS = (100, 60, 50)
"""The largest share of solution sets of one size, by the number of usual sizes."""

_OF_ORDERS = (100, 50, 34)
"""The largest share of derivations of one shape, which have one order of steps or one verdict."""

_OF_NUMBERS = (100, 50, 35, 30)
"""The largest share of one number to be typed or chosen."""


def aim(family: Family, key: str) -> Aim:
    """How often each answer to a question of the family is to come."""
    if family.ask in ("whether any", WHETHER_TRUE):
        return Evenly(key)
    if family.ask == "the steps" or family.forms[0] == "guided":
        return Varied(key, _OF_ORDERS)
    return Varied(key, _OF_SETS if family.ask == "all solutions" else _OF_NUMBERS)


def answer_of(family: Family, found: Solved) -> str:
    """What the family's question is answered with; of an order of steps, what shape it has."""
    problem = found.problem
    if family.ask == WHETHER_TRUE:
        return TRUE if is_true(problem) else FALSE
    if family.ask == "the steps" and is_derived(problem):
        return _shape(steps_told(problem, found.solution))
    if family.forms[0] == "guided" and is_derived(problem):
        for stage in stages_told(problem, found.solution):
            if isinstance(stage, SingularStage):
                return _singular_verdict(stage)
    integers = answers_of(family, problem, found.solution.answer, found.parameters)
    if integers is not None and family.ask in ("the least", "the largest"):
        return ", ".join(map(str, integers)) or NONE
    if integers is not None and family.ask == "all solutions":
        return _answer_of_set(family.ask, len(integers))
    return _answer_asked(family.ask, found.solution.answer)


def _singular_verdict(stage: SingularStage) -> str:
    """Which of the roots are singular, as the stage asks it."""
    n = len(stage.singular)
    return "some" if 0 < n < len(stage.roots) else "all" if n else "not one"


def _shape(lines: Sequence[StepLine]) -> str:
    """How the steps of a derivation follow each other, whatever their numbers."""
    return ", ".join(_NUMBER.sub("", line.name).strip() for line in lines)


def _answer_asked(ask: str, answer: Answer) -> str:
    """What the question is answered with: true or false, a number; of a set only its size."""
    if ask == "an example":
        return ""  # any of several, none of which is the usual one
    match answer:
        case Truth(holds):
            return TRUE if holds else FALSE
        case Value(value):
            return TRUE if ask == "whether any" else str(value)
        case Absent():
            return FALSE if ask == "whether any" else NONE
        case Pairs(_, pairs):
            return _answer_of_set(ask, len(pairs))
        case ResidueSet() if answer and ask in ("the solution", "the least"):
            return str(answer.least())
        case ResidueSet() if answer and ask == "the largest":
            return str(answer.largest())
        case ResidueSet():
            return _answer_of_set(ask, answer.count)


def _answer_of_set(ask: str, size: int) -> str:
    if ask == "whether any":
        return TRUE if size else FALSE
    return str(size) if size or ask == "how many" else NONE


def told_of_part(part: Family, told: str) -> str:
    """What is told of one part of a family."""
    return worded("part ({part}): {told}", part=part.part, told=told)
