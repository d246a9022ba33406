"""Student errors that an author names, beside those of the kind of problem.

slips:
  - lost-modulus
  - {name: added, answer: a + b, says: "You added the remainders."}
"""

from collections.abc import Collection, Iterator
from typing import Annotated, Any

from pydantic import BeforeValidator, ConfigDict, Field, ValidationInfo, WithJsonSchema
from pydantic_core import InitErrorDetails

from itembank.spec.expression import Expression, number
from itembank.spec.nodes import Scalar, unknown
from itembank.spec.shapes import Identifier, Several, Shape, at, expected, fault, scalar_value
from itembank.spec.story import Texts
from itembank.spec.surroundings import Written, around
from itembank.values.worded import worded

_NUMBER = {"type": ["integer", "string"]}

Answer = Annotated[
    Several[
        Annotated[
            Expression,
            Written(
                "an expression",
                lambda file, node, text, place: number(text, file.everywhere(), place),
                _NUMBER,
            ),
        ]
    ],
    BeforeValidator(lambda value: (value,) if isinstance(value, Scalar) else value),
    WithJsonSchema({"anyOf": [_NUMBER, {"type": "array", "items": _NUMBER, "minItems": 1}]}),
]


class OwnSlip(Shape):
    """A student error of the author's own."""

    model_config = ConfigDict(title="An own slip")

    name: Identifier
    """Its name, which no slip of the kind has."""

    answer: Answer = Field(examples=["a + b"])
    """What it leads to: a number, or a list of them where a set is asked for; expressions in the
    parameters."""

    says: Texts
    """What is said to a student who answered so: a text, or `{en: ..., de: ...}`."""

    @property
    def content(self) -> list[Any]:
        """What it says, as plain values."""
        texts = {tag: text.text for tag, text in self.says.by_language.items()}
        return [self.name, [term.canonical for term in self.answer], texts]


def entry_of(value: object, info: ValidationInfo) -> str | OwnSlip:
    """A name of a slip of the kind, or a slip of one's own."""
    if isinstance(value, dict):
        return OwnSlip.model_validate(value, context=info.context)
    name = scalar_value(value)
    if not isinstance(name, str):
        raise expected(
            worded("the name of a slip, or one of your own: {{name: ..., answer: ..., says: ...}}")
        )
    kind = around(info).kind
    if kind and name.strip() not in kind.slips:
        raise fault(unknown("slip", name.strip(), kind.slips))
    return name.strip()


def clashes(
    entries: Collection[str | OwnSlip], of_kind: Collection[str]
) -> Iterator[InitErrorDetails]:
    """Own slips that have the name of another."""
    seen: set[str] = set()
    for i, entry in enumerate(entries):
        if isinstance(entry, OwnSlip):
            if entry.name in of_kind:
                message = worded(
                    "'{name}' is a slip of the kind: name your own otherwise", name=entry.name
                )
                yield at(fault(message), i, "name")
            elif entry.name in seen:
                yield at(
                    fault(worded("'{name}' stands in this list twice", name=entry.name)), i, "name"
                )
            seen.add(entry.name)
