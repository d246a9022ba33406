"""A solution as plain data, in the shape that `specs/schema/solve.schema.json` publishes."""

from collections.abc import Sequence
from dataclasses import fields, is_dataclass
from typing import Any

from itembank.kinds.asked.front import Asked
from itembank.kinds.base import Kind, Problem, Solution
from itembank.kinds.table import KINDS
from itembank.languages import Said, Speaker
from itembank.notation import plain
from itembank.notation.prose import prose
from itembank.values.answer import Absent, Answer, Pairs, ResidueSet, Truth, Value

Json = dict[str, Any]

_MOST_LISTED = 10_000
"""Longer lists of solutions or classes are null."""

_EXACT = 2**53 - 1
"""The largest integer that every reader of JSON holds exactly (RFC 8259, 6); longer ones are
strings of digits."""


def document(asked: Asked, solution: Solution[Any]) -> Json:
    """All that is known of a question, its answer and its steps."""
    problem = asked.problem
    kind = KINDS[problem.kind]
    return {
        "statement": list(problem.statement),
        "kind": problem.kind,
        "ask": asked.ask,
        **_plain_data(_answer(solution.answer, problem, kind, asked.ask)),
        **_plain_data(_line(problem, solution)),
        "notes": [_one_line(note) for note in asked.notes],
        "steps": [
            {"step": step.name, "effort": step.effort, **_plain_data(step)}
            for step in solution.steps
        ],
    }


def _answer(found: Answer, problem: Problem, kind: Kind, ask: str) -> Json:
    """The type of the answer, whether it exists, the modulus of the question, and the answer."""
    modulus = getattr(problem, "asked_modulo", problem.modulus)
    match found:
        case ResidueSet():
            told = {**_of_residues(found), **_value_asked(found, ask)}
            head = {"type": "residues", "exists": bool(found), "modulus": modulus}
            return {**head, **told, **_why_none(problem, found)}
        case Pairs(m, pairs):
            head = {"type": "pairs", "exists": bool(pairs), "modulus": modulus}
            few = [list(p) for p in pairs[:_MOST_LISTED]]
            listed = few if len(pairs) <= _MOST_LISTED else None
            return {**head, "solutions_modulo": m, "count": len(pairs), "solutions": listed}
        case Value(value):
            shown = kind.digits(problem, value) if kind.digits else value
            some = kind.value != "count" or value > 0  # none is there where 0 are counted
            return {"type": kind.value, "exists": some, "modulus": modulus, "value": shown}
        case Truth(holds):
            return {"type": "truth", "exists": True, "modulus": modulus, "value": holds}
        case Absent(reason):
            told = {"value": None, "reason": _one_line(reason)}
            return {"type": kind.value, "exists": False, "modulus": modulus, **told}


def _line(problem: Problem, solution: Solution[Any]) -> Json:
    """Of an equation over the integers: a solution, and the step from one to the next."""
    of = getattr(problem, "line", None)
    if of is None:
        return {}
    found = of(solution)
    if found is None:
        return {"type": "line", "point": None, "direction": None}
    point, direction = found
    return {"type": "line", "point": list(point), "direction": list(direction)}


def _of_residues(found: ResidueSet) -> Json:
    """A set as its classes and residues, null where too long to list."""
    few_classes = found.class_count <= _MOST_LISTED
    return {
        "solutions_modulo": found.modulus,
        "count": found.count,
        "classes": [list(c) for c in found.classes()] if few_classes else None,
        "solutions": list(found.residues()) if found.count <= _MOST_LISTED else None,
    }


def _value_asked(found: ResidueSet, ask: str) -> Json:
    """The one number or truth that was asked for of a set."""
    if ask == "how many":
        return {"value": found.count}
    if ask == "whether any":
        return {"value": bool(found)}
    return {}


def _why_none(problem: Problem, found: ResidueSet) -> Json:
    """Of a set that is empty because there are no such things: why."""
    why = getattr(problem, "why_none", None)
    reason = why(found) if why else None
    return {"reason": _one_line(reason)} if reason else {}


def _one_line(said: Said | str) -> str:
    """A message, or prose with formulas, as plain text."""
    return plain.inlines(prose(said)) if isinstance(said, str) else Speaker().text(said)


def _plain_data(value: Any) -> Any:
    """A step or an answer with its numbers; integers beyond _EXACT as strings of digits."""
    if isinstance(value, int) and not isinstance(value, bool):
        return value if abs(value) <= _EXACT else str(value)
    if isinstance(value, Said):
        return _one_line(value)
    if is_dataclass(value):
        given = [f.name for f in fields(value) if f.init]  # what else it holds follows from these
        return {name: _plain_data(getattr(value, name)) for name in given}
    if isinstance(value, dict):
        return {str(k): _plain_data(v) for k, v in value.items()}
    if hasattr(value, "_asdict"):
        return _plain_data(value._asdict())
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [_plain_data(v) for v in value]
    return value
