"""The parameters of a family: what each is drawn from, in terms of those before it.

    p: {prime: [5, 13]}                     a prime of the range, bounds included
    b: {integer: [1, 20], except: [p]}      an integer of the range, but not these
    q: {one of: [4, 8, 9], radical: true}   one of the list
    d: {value: p*q}                         computed, not drawn

A parameter is incidental (surface) unless it is marked `radical` (it changes the
difficulty).  Source of the two words: Irvine, in Item Generation for Test
Development (2002); cited from memory.
"""

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from keyword import iskeyword
from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationInfo,
    field_validator,
)
from pydantic_core import InitErrorDetails

from itembank.spec.answered import ANSWER
from itembank.spec.domain import LARGEST_PRIME, Domain, Integers, Listed, Primes
from itembank.spec.evaluating import UNKNOWN, Env
from itembank.spec.expression import Expression, number
from itembank.spec.functions import FUNCTIONS, shown
from itembank.spec.nodes import short
from itembank.spec.shapes import Flag, Several, Shape, at, expected, fault
from itembank.spec.surroundings import Written, around
from itembank.values.worded import all_of, worded

_RANGES = ("integer", "prime")
_SOURCES = (*_RANGES, "one of", "value")
_PARAMETER_NAME = "^[A-Za-z][A-Za-z0-9_]{0,19}$"
_MOST_PARAMETERS = 30

_PHRASE_WORDS = ("no", "some")
_YAML_WORDS = ("yes", "true", "false", "on", "off", "null")
"""Words that YAML, or another reader of it, takes for something else than a name."""


@dataclass(frozen=True)
class Parameter:
    """A parameter: its source, the terms of that source, and what is excepted."""

    name: str
    source: str
    terms: tuple[Expression, ...]
    excluded: tuple[Expression, ...]
    radical: bool

    def domain(self, env: Env) -> Domain:
        """Its values for these values of the parameters before it.

        Raises NoValue where a term has no value, SpecError where a prime beyond LARGEST_PRIME
        is asked for; both tell the place and the values.
        """
        return self._domain_at(env) if self.depends else self._fixed

    @cached_property
    def depends(self) -> bool:
        """Whether its values depend on those of other parameters."""
        return any(term.names for term in (*self.terms, *self.excluded))

    @cached_property
    def _fixed(self) -> Domain:
        return self._domain_at({})

    def _domain_at(self, env: Env) -> Domain:
        terms = tuple(term.required(env) for term in self.terms)
        if self.source in ("one of", "value"):
            return Listed(terms)
        low, high = terms
        excluded = tuple(term.required(env) for term in self.excluded)
        if self.source == "integer":
            return Integers(low, high, excluded)
        if high > LARGEST_PRIME:
            raise self.terms[1].beyond_bounds(
                env,
                worded(
                    "{shown} is beyond {largest_prime}",
                    shown=shown(high),
                    largest_prime=LARGEST_PRIME,
                ),
            )
        return Primes(low, high, excluded)


# ------------------------------------------------------------ in a file


def _free_name(name: str, info: ValidationInfo) -> str:
    if message := _name_fault(name, around(info).measures):
        raise fault(message)
    return name


def _name_fault(name: str, measures: Collection[str]) -> str | None:
    """What keeps a name from being a parameter's."""
    if name == UNKNOWN:
        return worded(
            "'{name}' is the unknown of an equation: name the parameter otherwise", name=name
        )
    if name == ANSWER:
        return worded(
            "'{name}' is the answer to the question: name the parameter otherwise", name=name
        )
    if name in FUNCTIONS:
        return worded("'{name}' is a function: name the parameter otherwise", name=name)
    if name in measures:
        return worded(
            "'{name}' is a measure of the solution: name the parameter otherwise", name=name
        )
    if iskeyword(name) or name.lower() in (*_PHRASE_WORDS, *_YAML_WORDS):
        return worded("'{name}' has a meaning of its own: name the parameter otherwise", name=name)
    if not re.fullmatch(_PARAMETER_NAME, name):
        return worded(
            "expected a name of at most 20 letters, digits and underscores, a letter first, found "
            "'{name}'",
            name=short(name),
        )
    return None


def _constant_fault(parameter: Parameter) -> str | None:
    """What is wrong with a domain that depends on no other parameter."""
    if parameter.depends:
        return None
    values = [term.value({}) for term in parameter.terms]
    ranged = parameter.source in _RANGES
    if ranged and values[0] > values[1]:
        low, high = map(shown, values)
        return worded(
            "expected a range [low, high], found [{low}, {high}], which is empty",
            low=low,
            high=high,
        )
    if parameter.source == "prime" and values[1] > LARGEST_PRIME:
        return worded(
            "expected primes up to {largest}, found the bound {bound}",
            largest=LARGEST_PRIME,
            bound=shown(values[1]),
        )
    domain = parameter.domain({})
    if domain.size == 0:
        return _empty(parameter, shown(values[0]), shown(values[1]))
    if not ranged and domain.size < len(values):
        twice = next(v for i, v in enumerate(values) if v in values[:i])
        return worded("{value} stands in this list twice", value=shown(twice))
    return None


def _empty(parameter: Parameter, low: str, high: str) -> str:
    """That a range holds nothing: no prime, or nothing but what is excepted."""
    ends = {"low": low, "high": high}
    if parameter.source == "prime":
        if parameter.excluded:
            return worded("there is no prime from {low} to {high} but those excepted", **ends)
        return worded("there is no prime from {low} to {high}", **ends)
    if parameter.excluded:
        return worded("there is no integer from {low} to {high} but those excepted", **ends)
    return worded("there is no integer from {low} to {high}", **ends)


Term = Annotated[
    Expression,
    Written(
        "an expression",
        lambda file, node, text, place: number(text, file.above(node), place),
        {"type": ["integer", "string"]},
    ),
]


def two(value: object) -> object:
    """Of a list, only one of two values."""
    bounds = worded("two bounds [low, high]")
    if not isinstance(value, tuple) or not value:
        raise expected(bounds)
    if len(value) != 2:
        raise fault(worded("expected {bounds}, found {n}", bounds=bounds, n=len(value)))
    return value


Bounds = Annotated[tuple[Term, Term], BeforeValidator(two)]


class ParameterFields(Shape):
    """What the parameter is drawn from."""

    model_config = ConfigDict(
        title="A parameter",
        json_schema_extra={
            "oneOf": [{"required": [source]} for source in _SOURCES],
            "dependentSchemas": {
                "except": {"anyOf": [{"required": [source]} for source in _RANGES]}
            },
        },
    )

    excluded: Several[Term] = Field(default=(), alias="except")
    """Values of the range that are left out."""

    integer: Bounds | None = None
    """An integer of [low, high], bounds included; like all values, expressions in the
    parameters above."""

    prime: Bounds | None = None
    """A prime of [low, high], bounds included."""

    one_of: Several[Term] | None = Field(default=None, alias="one of")
    """One of these values."""

    value: Term | None = None
    """Computed from the parameters above."""

    radical: Flag = False
    """true if the parameter changes the difficulty."""

    @classmethod
    def across(cls, fields: Mapping[str, Any]) -> Iterator[InitErrorDetails]:
        sources = [source for source in _SOURCES if source in fields]
        if len(sources) != 1:
            found = all_of(sources) if sources else worded("none of them")
            yield at(
                fault(
                    worded(
                        "expected one of: {sources}; found {found}",
                        sources=", ".join(_SOURCES),
                        found=found,
                    )
                )
            )
        elif "except" in fields and sources[0] not in _RANGES:
            yield at(
                fault(worded("expected no 'except' beside '{sources}'", sources=sources[0])),
                "except",
            )

    @field_validator("integer", "prime", "one_of", "value")
    @classmethod
    def has_values(cls, said: Any, info: ValidationInfo) -> object:
        source = str(info.field_name).replace("_", " ")
        if "excluded" in info.data:
            terms = said if isinstance(said, tuple) else (said,)
            parameter = Parameter("", source, terms, info.data["excluded"], False)
            if message := _constant_fault(parameter):
                raise fault(message)
        return said

    def parameter(self, name: str) -> Parameter:
        value = (self.value,) if self.value else None
        terms = dict(zip(_SOURCES, (self.integer, self.prime, self.one_of, value), strict=True))
        source = next(source for source in _SOURCES if terms[source])
        return Parameter(name, source, terms[source] or (), self.excluded, self.radical)


Parameters = Annotated[
    dict[Annotated[str, AfterValidator(_free_name)], ParameterFields],
    Field(
        min_length=1,
        max_length=_MOST_PARAMETERS,
        json_schema_extra={
            "propertyNames": {
                "pattern": _PARAMETER_NAME,
                "not": {"enum": [UNKNOWN, ANSWER, *FUNCTIONS, *_PHRASE_WORDS, *_YAML_WORDS]},
            }
        },
    ),
]
