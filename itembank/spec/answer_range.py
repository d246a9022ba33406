"""Which integers that solve it are the answer, where these are no residues.

answer: {above: 100}           the least integer greater than 100 that solves it
answer: {below: 0}             the largest integer less than 0
answer: {between: [100, 150]}  the only one from 100 to 150, the least or the largest of several, or
                               all of them, by the ask
answer: {residues: symmetric}  the residues nearest to 0; `1..m`: from 1 to the modulus; `least`:
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
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import all_of, laid_out, one_of, worded

_SOURCES = ("above", "below", "between", "residues")

_RESIDUES = ("least", "symmetric", "1..m")
"""The systems of residues, of which one is asked for."""

_GOES_WITH: Mapping[str, tuple[str, ...]] = {
    "the solution": _SOURCES,
    "an example": ("between",),
    "the least": ("above", "between"),
    "the largest": ("below", "between"),
    "all solutions": ("between", "residues"),
}
"""By ask: the ranges that make sense with it."""

_WHY_NOT: Mapping[str, str] = {
    "an example": worded("an example is looked for in a range with two bounds"),
    "the least": worded("below a bound there is no least, and of residues write `between`"),
    "the largest": worded("above a bound there is no largest, and of residues write `between`"),
    "all solutions": worded("without two bounds there is no end of them"),
}
"""By ask: why the other ranges do not."""

IN_A_RANGE = ("select all", "select one", "list")
"""The forms in which all integers of a range are asked for."""

_BEYOND_RESIDUES = {"the solution", "the least"}
"""What kinds are asked for whose solutions go on beyond the residues: congruences, systems."""


def misfit(answer: "AnswerRange", ask: str, kind: KindSignature | None) -> str:
    """Why a range does not go with what is asked of a kind; "" where it does."""
    if ask not in _GOES_WITH:
        asks = ", ".join(f"'{each}'" for each in _GOES_WITH)
        return worded("a range goes with one of the asks {asks}; found '{ask}'", asks=asks, ask=ask)
    if answer.source not in _GOES_WITH[ask]:
        return worded(
            "the ask '{ask}' goes with {ranges}, found `{source}`: {why}",
            ask=ask,
            ranges=one_of(laid_out("`{source}`", source=source) for source in _GOES_WITH[ask]),
            source=answer.source,
            why=_WHY_NOT[ask],
        )
    if ask in ("the solution", "an example") or kind is None:
        return ""
    if not _BEYOND_RESIDUES.issubset(kind.asks):
        return worded(
            "a range goes with the solutions of congruences and systems; of the kind '{kind}' "
            "residues alone are asked for",
            kind=kind.name,
        )
    return ""


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
        json_schema_extra={"oneOf": [{"required": [source]} for source in _SOURCES]},
    )

    above: Number | None = None
    """The least integer greater than this is asked for."""

    below: Number | None = None
    """The largest integer less than this is asked for."""

    between: Annotated[tuple[Number, Number], BeforeValidator(two)] | None = None
    """What is asked for lies in [low, high], bounds included. Of `the solution` the only integer
    there: variants in which there is not exactly one are passed over; at most 12 of `all
    solutions`."""

    residues: Annotated[Line, OneOf("residues", _RESIDUES)] | None = None
    """Residues of this system are asked for: `least` from 0, `symmetric` the nearest to 0 (of two
    the positive one), `1..m` from 1 to the modulus."""

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

    @property
    def source(self) -> str:
        """The word that it says."""
        return next(source for source in _SOURCES if getattr(self, source) is not None)

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
            return _system_of_residues(self.residues, m)
        if self.above:
            return Range(low=self.above.required(env) + 1)
        if self.below:
            return Range(high=self.below.required(env) - 1)
        assert self.between
        low, high = (bound.required(env) for bound in self.between)
        return Range(low, high)


def _system_of_residues(name: str, m: int) -> Range:
    """From where to where its residues modulo m lie.

    >>> [_system_of_residues(name, 8) for name in _RESIDUES]
    [Range(low=0, high=7), Range(low=-3, high=4), Range(low=1, high=8)]
    """
    match name:
        case "symmetric":
            return Range(-((m - 1) // 2), m // 2)
        case "1..m":
            return Range(1, m)
    return Range(0, m - 1)
