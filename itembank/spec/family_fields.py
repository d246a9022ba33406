"""What stands in the fields of a family: words of the vocabulary, expressions, what is given."""

from collections.abc import Collection
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    Field,
    PlainValidator,
    ValidationInfo,
    WithJsonSchema,
    create_model,
)

from itembank.maths.polynomials import Poly
from itembank.spec.condition import Condition, read_condition
from itembank.spec.evaluating import UNKNOWN, Env
from itembank.spec.expression import (
    Equation,
    Expression,
    Place,
    Scope,
    beyond_degree,
    degree,
    equation,
    number,
)
from itembank.spec.functions import shown
from itembank.spec.nodes import THINGS, Scalar
from itembank.spec.own_slip import OwnSlip, entry_of
from itembank.spec.shapes import (
    Line,
    OneOf,
    Several,
    Shape,
    fault,
)
from itembank.spec.surroundings import Surroundings, Written, around
from itembank.spec.tokens import Misread
from itembank.values.described import field_of
from itembank.values.vocabulary import (
    ASKS,
    DERIVED_FORMS,
    FORMS,
    FORMS_OF_ASK,
    FieldType,
    KindSignature,
)
from itembank.values.worded import worded

MOST_VERSIONS = 9999
MOST_CONDITIONS = 50
MOST_SPARES = 2

Sides = tuple[Poly, Poly]
GivenField = Expression | tuple[Expression, ...] | Equation | tuple[Equation, ...]
GivenValue = int | tuple[int, ...] | Sides | tuple[Sides, ...]


@dataclass(frozen=True)
class Given:
    """What the problem of a variant is made of, by the names of its kind's signature."""

    fields: tuple[tuple[str, GivenField], ...]

    def values(self, env: Env) -> dict[str, GivenValue]:
        """The fields for these parameters: integers, pairs of polynomials, tuples of them.

        Raises NoValue where one has no value, or a modulus is below 1.
        """
        return {name: _given_value(value, env, name in _MODULI) for name, value in self.fields}


def _given_value(said: GivenField, env: Env, modulus: bool) -> Any:
    if isinstance(said, tuple):
        return tuple(_given_value(part, env, modulus) for part in said)
    if isinstance(said, Equation):
        return said.sides(env)
    value = said.required(env)
    if modulus and value < 1:
        why = worded("a modulus is at least 1, got {shown}", shown=shown(value))
        raise said.unusable(env, worded("is no modulus"), why)
    return value


# ------------------------------------------------------------ words


def fitting(
    what: str, word: str, here: Collection[str], anywhere: Collection[str], where: str
) -> str:
    """A word that goes with something; one that exists but does not go with it is told so."""
    if word in here or word not in anywhere:
        return OneOf(what, here).known(word)
    words = ", ".join(here)
    raise fault(
        worded(
            "the {what} '{word}' does not go with the {where}; expected one of: {words}",
            what=THINGS.get(what, what),
            word=word,
            where=where,
            words=words,
        )
    )


def _known_kind(word: str, info: ValidationInfo) -> str:
    return OneOf("kind of problem", around(info).kinds).known(word)


def _ask_of_the_kind(word: str, info: ValidationInfo) -> str:
    kind = around(info).kind
    if kind is None:
        return OneOf("ask", ASKS).known(word)
    return fitting("ask", word, kind.asks, ASKS, worded("kind of problem '{kind}'", kind=kind.name))


def forms_here(info: ValidationInfo) -> tuple[str, ...]:
    """The forms of the ask that the kind of problem can be put in."""
    kind = around(info).kind
    forms = FORMS_OF_ASK[info.data["ask"]]
    return tuple(f for f in forms if f not in DERIVED_FORMS or kind is None or kind.derived)


def _form_of_the_ask(word: str, info: ValidationInfo) -> str:
    ask, kind, forms = info.data["ask"], around(info).kind, forms_here(info)
    if kind and word in FORMS_OF_ASK[ask] and word not in forms:
        told = {"word": word, "name": kind.name}
        raise fault(worded("the form '{word}' is not for the kind of problem '{name}'", **told))
    return fitting("form", word, forms, FORMS, worded("ask '{ask}'", ask=ask))


def _form_offered(word: str, info: ValidationInfo) -> str:
    forms = info.data.get("forms")
    return OneOf("form of this family", forms).known(word) if forms else word


Kind = Annotated[Line, AfterValidator(_known_kind)]
Ask = Annotated[Line, AfterValidator(_ask_of_the_kind), WithJsonSchema({"enum": [*ASKS]})]
AnyForm = Annotated[Line, WithJsonSchema({"enum": [*FORMS]})]
Form = Annotated[AnyForm, AfterValidator(_form_of_the_ask)]
OfferedForm = Annotated[AnyForm, AfterValidator(_form_offered)]
SlipEntry = Annotated[
    str | OwnSlip,
    PlainValidator(entry_of, json_schema_input_type=str | OwnSlip),
]

# ------------------------------------------------------------ expressions

_Number = Annotated[
    Expression,
    Written(
        "an expression",
        lambda file, node, text, place: number(text, file.everywhere(), place),
        {"type": ["integer", "string"]},
    ),
]


def _equation_of_the_kind(file: Surroundings, node: Scalar, text: str, place: Place) -> Equation:
    """An equation whose sides are not beyond the degree that the kind of problem has."""
    found = equation(text, file.everywhere(), place)
    if file.kind is None or (most := file.kind.most_degree) is None:
        return found
    for part in (beyond_degree(side, most) for side in (found.left, found.right)):
        if part:
            message = worded(
                "expected a {name} congruence, found degree {degree}; use problem: polynomial",
                name=file.kind.name,
                degree=degree(part),
            )
            raise Misread([(part.col_offset, message)])
    return found


def _modulus(file: Surroundings, node: Scalar, text: str, place: Place) -> Expression:
    """A number of at least 1, as far as it does not depend on parameters."""
    found = number(text, file.everywhere(), place)
    if not found.names and (value := found.value({})) < 1:
        raise Misread(
            [(0, worded("expected a modulus of at least 1, found {shown}", shown=shown(value)))]
        )
    return found


_Modulus = Annotated[
    Expression, Written("an expression", _modulus, {"type": ["integer", "string"]})
]
_EquationText = Annotated[
    Equation,
    Written(
        f"an equation in {UNKNOWN}, as in 'x^2 + b*x = c'",
        _equation_of_the_kind,
        {"type": "string", "pattern": "="},
    ),
]


def _condition_of(file: Surroundings, node: Scalar, text: str, place: Place) -> Condition | None:
    """A condition; None if there is no kind, whose measures it may name."""
    return read_condition(text, Scope(file.names), file.measures, place) if file.kind else None


Where = Annotated[Condition, Written("a condition", _condition_of, {"type": "string"})]

_GIVEN_FIELDS: dict[FieldType, Any] = {
    "integer": _Number,
    "integers": Several[_Number],
    "equation": _EquationText,
    "equations": Several[_EquationText],
}


_MODULI: dict[str, Any] = {"modulus": _Modulus, "moduli": Several[_Modulus]}
"""Fields of every kind whose values are at least 1."""


def given_fields(kind: KindSignature) -> type[Shape]:
    """What the field `given` holds in a family of this kind."""
    return _given_model(kind.name, tuple(kind.given.items()), kind.may_be_left_out)


@cache
def _given_model(
    kind: str, given: tuple[tuple[str, FieldType], ...], may_be_left_out: tuple[str, ...]
) -> type[Shape]:
    """The model of a kind's fields, made once: there are no more of them than kinds."""
    types = {name: _GIVEN_FIELDS[type] for name, type in given}
    types |= {name: type for name, type in _MODULI.items() if name in types}
    fields: dict[str, Any] = {}
    for name, type in types.items():
        if name in may_be_left_out:
            fields[name] = (type | None, _described(kind, name, None))
        else:
            fields[name] = (type, _described(kind, name, ...))
    about = f"What a problem of the kind '{kind}' is made of."
    return create_model("given", __base__=Shape, __doc__=about, **fields)


def _described(kind: str, name: str, default: Any) -> Any:
    """A field with what it holds and an example, for editors; ... for one that must be there."""
    found = field_of(kind, name)
    if found is None:
        return default
    text, example = found
    listed = example[1:-1].split(", ") if example.startswith("[") else example
    return Field(default, description=text, examples=[listed])


def read_given(value: object, info: ValidationInfo) -> Given | None:
    """The fields of the kind; None without a kind."""
    file = around(info)
    if file.kind is None:
        return None
    found = given_fields(file.kind).model_validate(value, context=file)
    return Given(tuple((name, said) for name, said in found if said is not None))
