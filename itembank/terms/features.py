"""What of a question may make it hard: numbers that its derivation tells, and its form.

They are those by which the model of difficulty (`difficulty`) explains what students answered.
"""

from collections.abc import Mapping
from typing import Any

from itembank.kinds.base import Problem, Solution
from itembank.kinds.statement import problem_of
from itembank.terms.difficulty import FORM, Features
from itembank.values.answer import Pairs, ResidueSet
from itembank.values.item import Item

_MOST_SOLUTIONS = 8
"""More solutions than these are told as so many: they are found together, not one by one."""


def of_item(item: Item) -> Features:
    """Those of an item, worked out from its statement alone."""
    problem = problem_of(item.kind, item.statement)
    return features(problem, problem.solve(), item.steps, item.response.form)


def features(problem: Problem, solution: Solution[Any], steps: int, form: str) -> Features:
    """`steps`: the effort of the solution as far as it is asked for, by the methods taught."""
    measures: Mapping[str, int] = problem.measures(solution)
    modulus = problem.modulus
    return {
        "steps": steps,
        "lifts": sum(step.name.startswith(("lift", "every root lifts")) for step in solution.steps),
        "singular lifts": measures.get("singular_roots", 0),
        "digits": measures.get("digits", 0) if modulus is None else len(str(modulus)),
        "solutions": _solutions(solution),
        FORM + form: 1,
    }


def _solutions(solution: Solution[Any]) -> int:
    """How many there are; 1 where the answer is one value, or true or false."""
    match solution.answer:
        case ResidueSet() as found:
            return min(found.count, _MOST_SOLUTIONS)
        case Pairs(_, pairs):
            return min(len(pairs), _MOST_SOLUTIONS)
        case _:
            return 1
