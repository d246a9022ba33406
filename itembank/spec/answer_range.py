"""Which integer of the solution is the answer, where it is no residue.

answer: {above: 100}           the least integer greater than 100 that solves it
answer: {below: 0}             the largest integer less than 0
answer: {between: [100, 150]}  the only one from 100 to 150
"""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any

from pydantic import BeforeValidator, ConfigDict
from pydantic_core import InitErrorDetails

from itembank.spec.expression import Env, Expression, number
from itembank.spec.parameter import two
from itembank.spec.shapes import Shape, at, fault
from itembank.spec.surroundings import Written
from itembank.values.answer import Range

SOURCES = ("above", "below", "between")

Number = Annotated[
    Expression,
    Written(
        "an expression",
        lambda file, node, text, place: number(text, file.everywhere(), place),
        {"type": ["integer", "string"]},
    ),
]


class AnswerRange(Shape):
    """Where the integer that is asked for lies."""

    model_config = ConfigDict(
        title="Which integer is asked for",
        json_schema_extra={"oneOf": [{"required": [source]} for source in SOURCES]},
    )

    above: Number | None = None
    """The least integer greater than this is asked for."""

    below: Number | None = None
    """The largest integer less than this is asked for."""

    between: Annotated[tuple[Number, Number], BeforeValidator(two)] | None = None
    """The only integer of [low, high] is asked for, bounds included; variants in which there is
    not exactly one are passed over."""

    @classmethod
    def across(cls, fields: Mapping[str, Any]) -> Iterator[InitErrorDetails]:
        sources = [source for source in SOURCES if source in fields]
        if len(sources) != 1:
            found = " and ".join(sources) or "none of them"
            yield at(fault(f"expected one of: {', '.join(SOURCES)}; found {found}"))

    @property
    def content(self) -> list[str]:
        """What it says, as plain values."""
        if self.between:
            return ["between", *(bound.canonical for bound in self.between)]
        bound = self.above or self.below
        return ["above" if self.above else "below", bound.canonical if bound else ""]

    def at(self, env: Env) -> Range:
        """The range of a variant; NoValue where a bound has no value."""
        if self.above:
            return Range(low=self.above.required(env) + 1)
        if self.below:
            return Range(high=self.below.required(env) - 1)
        assert self.between
        low, high = (bound.required(env) for bound in self.between)
        return Range(low, high)
