"""The parameter sets of a family: one drawn by hashing names, or all of them listed.

A set is found parameter by parameter, each among the values that the earlier ones leave; a
condition is tested as soon as its names have values.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from itembank.pipeline.balance import pick
from itembank.spec import Family
from itembank.spec.condition import Condition
from itembank.spec.domain import Domain
from itembank.spec.parameter import Parameter
from itembank.values.errors import NoValue
from itembank.values.worded import worded

Parameters = Mapping[str, int]


@dataclass(frozen=True)
class Unfinished:
    """A parameter set that came to no end, and why: a parameter has no value left."""

    reason: str


ParameterSet = Parameters | Unfinished


def failed(condition: Condition) -> str:
    return _fails(condition.expression.text)


@cache
def _fails(text: str) -> str:
    return worded("fails '{text}'", text=text)


@cache
def _without_value(name: str) -> str:
    return worded("no value is left for '{name}'", name=name)


def drawn(family: Family, key: str) -> ParameterSet:
    """One parameter set; unfinished where a parameter has no value after the earlier ones."""
    values: dict[str, int] = {}
    for name, parameter, conditions in family.due:
        try:
            domain = parameter.domain(values)
        except NoValue as e:
            return Unfinished(e.reason)
        size = domain.size
        if not size:
            return Unfinished(_without_value(name))
        values[name] = domain.at(pick(f"{key}/{name}", size))
        for condition in conditions:
            if not condition.holds(values):
                return Unfinished(failed(condition))
    return values


def _fails_already(family: Family, last: str, values: Parameters) -> str:
    """Why values fail a condition whose last parameter has its value now; "" if none fails."""
    due = (c for c in family.conditions_due[last] if not c.holds(values))
    return next((failed(condition) for condition in due), "")


def _domain_after(parameter: Parameter, values: Parameters) -> Domain | Unfinished:
    """The values that a parameter may have after the earlier ones."""
    try:
        domain = parameter.domain(values)
    except NoValue as e:
        return Unfinished(e.reason)
    return domain if domain.size else Unfinished(_without_value(parameter.name))


def assignments(family: Family, limit: int) -> list[ParameterSet] | None:
    """All parameter sets, in the order of the domains; None if more than `limit`.

    Where they are more, those that fail no condition whose names have their values.
    """
    every = _listing(family, limit, early=False)
    return _listing(family, limit, early=True) if every is None else every


def _listing(family: Family, limit: int, early: bool) -> list[ParameterSet] | None:
    sets: list[dict[str, int]] = [{}]
    unfinished: list[ParameterSet] = []
    for parameter in family.parameters:
        longer: list[dict[str, int]] = []
        for values in sets:
            domain = _domain_after(parameter, values)
            if isinstance(domain, Unfinished):
                unfinished.append(domain)
                continue
            if len(longer) + domain.size > limit:
                return None
            for value in domain:
                found = {**values, parameter.name: value}
                if early and (reason := _fails_already(family, parameter.name, found)):
                    unfinished.append(Unfinished(reason))
                else:
                    longer.append(found)
            if early and len(unfinished) > limit:
                return None
        sets = longer
    return [*sets, *unfinished]
