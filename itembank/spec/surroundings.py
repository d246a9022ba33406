"""The expressions of a family file as pydantic types, read in what surrounds them.

`Surroundings` is the context of the validation: what a value needs to know of the
rest of its file.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, cast

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, core_schema

from itembank.spec.answered import ANSWER
from itembank.spec.expression import Place, Scope
from itembank.spec.nodes import DECIMAL, Scalar
from itembank.spec.shapes import Schema, at, expected, fault, together
from itembank.spec.tokens import MOST_CHARACTERS, Misread
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded


@dataclass(frozen=True)
class Surroundings:
    """A family file: its path, the names of its parameters, and the kinds of problem there are.

    kind: the kind of the family, or None if the file names none that is known.
    """

    path: Path
    parameters: tuple[Scalar, ...]
    kinds: Mapping[str, KindSignature]
    kind: KindSignature | None

    @property
    def measures(self) -> tuple[str, ...]:
        return self.kind.measures if self.kind else ()

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(key.text for key in self.parameters)

    def everywhere(self) -> Scope:
        """All parameters; measures are none."""
        reason = worded("is a measure of the solution, known only to 'where'")
        answer = {ANSWER: worded("is the answer to the question, known only to 'where'")}
        return Scope(self.names, dict.fromkeys(self.measures, reason) | answer)

    def above(self, node: Scalar) -> Scope:
        """The parameters above the one to which this value belongs."""
        place = (node.line, node.column)
        *names, name = [k.text for k in self.parameters if (k.line, k.column) < place]
        later = worded("comes after '{name}': a parameter uses those above it", name=name)
        elsewhere = dict.fromkeys(self.names, later) | {name: worded("is the parameter itself")}
        return Scope(names, {**self.everywhere().elsewhere, **elsewhere})


def around(info: ValidationInfo) -> Surroundings:
    """The file around a value of it."""
    return cast(Surroundings, info.context)


@dataclass(frozen=True, eq=False)
class Written:
    """One text or integer; `read` makes of it, with its text and place, what it stands for."""

    what: str
    read: Callable[[Surroundings, Scalar, str, Place], object]
    schema: Schema

    def __get_pydantic_core_schema__(
        self, source: object, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(self.value)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> Schema:
        return {"minLength": 1, "maxLength": MOST_CHARACTERS} | self.schema

    def value(self, node: Any, info: ValidationInfo) -> object:
        if not isinstance(node, Scalar) or not (
            node.type == "text" or (node.type == "integer" and DECIMAL.fullmatch(node.text))
        ):
            raise expected(self.what)
        file = around(info)
        place = Place(str(file.path), node.line, node.column, node.name)
        try:
            return self.read(file, node, node.text, place)
        except Misread as e:
            raise together(at(fault(message, offset)) for offset, message in e.faults) from None
