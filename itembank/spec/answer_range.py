"""Which integer of the solution is the answer, where it is no residue.

answer: {above: 100}           the least integer greater than 100 that solves it
answer: {below: 0}             the largest integer less than 0
answer: {between: [100, 150]}  the only one from 100 to 150
answer: {residues: symmetric}  the residue nearest to 0; `1..m`: from 1 to the modulus; `least`:
                               from 0
"""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any

from pydantic import BeforeValidator, ConfigDict
from pydantic_core import InitErrorDetails

from itembank.spec.evaluating import Env
from itembank.spec.expression import Expression, number
from itembank.spec.parameter import two
from itembank.spec.shapes import Line, OneOf, Shape, at, fault
from itembank.spec.surroundings import Written
from itembank.values.answer import Range
from itembank.values.worded import all_of, worded

SOURCES = ("above", "below", "between", "residues")

RESIDUES = ("least", "symmetric", "1..m")
"""The systems of residues, of which one is asked for."""

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

    residues: Annotated[Line, OneOf("residues", RESIDUES)] | None = None
    """The residue of this system is asked for: `least` from 0, `symmetric` the nearest to 0 (of two
    the positive one), `1..m` from 1 to the modulus."""

    @classmethod
    def across(cls, fields: Mapping[str, Any]) -> Iterator[InitErrorDetails]:
        sources = [source for source in SOURCES if source in fields]
        if len(sources) != 1:
            found = all_of(sources) if sources else worded("none of them")
            yield at(
                fault(
                    worded(
                        "expected one of: {sources}; found {found}",
                        sources=", ".join(SOURCES),
                        found=found,
                    )
                )
            )

    @property
    def content(self) -> list[str]:
        """What it says, as plain values."""
        if self.residues:
            return ["residues", self.residues]
        if self.between:
            return ["between", *(bound.canonical for bound in self.between)]
        bound = self.above or self.below
        return ["above" if self.above else "below", bound.canonical if bound else ""]

    def at(self, env: Env, m: int) -> Range:
        """The range of a variant whose solution is a class modulo m; NoValue without a bound."""
        if self.residues:
            return system_of_residues(self.residues, m)
        if self.above:
            return Range(low=self.above.required(env) + 1)
        if self.below:
            return Range(high=self.below.required(env) - 1)
        assert self.between
        low, high = (bound.required(env) for bound in self.between)
        return Range(low, high)


def system_of_residues(name: str, m: int) -> Range:
    """From where to where its residues modulo m lie.

    >>> [system_of_residues(name, 8) for name in RESIDUES]
    [Range(low=0, high=7), Range(low=-3, high=4), Range(low=1, high=8)]
    """
    match name:
        case "symmetric":
            return Range(-((m - 1) // 2), m // 2)
        case "1..m":
            return Range(1, m)
    return Range(0, m - 1)
