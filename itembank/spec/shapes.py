"""The shapes of what a spec says, as pydantic types, and pydantic's errors as faults of the file.

A model is held against the tree of a file: its mappings as dicts, its lists as
tuples, its scalars as they are, for the type of a field decides how one is read.
An error of pydantic's has the path to its value, and so its place; all errors of
a file come at once.
"""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Self, TypeVar

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    PrivateAttr,
    StringConstraints,
    ValidationError,
    ValidationInfo,
    ValidatorFunctionWrapHandler,
    WrapValidator,
    model_validator,
)
from pydantic.functional_validators import ModelWrapValidatorHandler
from pydantic_core import (
    CoreSchema,
    ErrorDetails,
    InitErrorDetails,
    PydanticCustomError,
    core_schema,
)

from itembank.spec.nodes import (
    DECIMAL,
    Faults,
    Fields,
    Node,
    Scalar,
    Sequence,
    near_miss,
    short,
    unknown,
)
from itembank.values.worded import worded

Schema = dict[str, Any]
_Shaped = TypeVar("_Shaped")
Value = TypeVar("Value")
Model = TypeVar("Model", bound=BaseModel)

ID = "^[a-z][a-z0-9]*(-[a-z0-9]+)*$"
"""Ids of families, pools and outcomes: safe in file names, URLs and packages."""

TERM = "^[A-Za-z0-9_-]{1,40}$"
LANGUAGE = "^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$"
"""A language tag, by its shape (RFC 5646, section 2.1, without extensions)."""

ANY_TEXT = r"\S"
_ONE_LINE = r"^\s*\S[^\n]*\s*$"

LONGEST_ID = 64
_LONGEST_LINE = 200
LONGEST_TEXT = 4000
_LONGEST_LIST = 1000

# ------------------------------------------------------------ errors

_OF_PATTERN = {
    TERM: worded("a term of letters, digits and hyphens, such as 2027-spring"),
    ID: worded(
        "an id of lower-case letters, digits and single hyphens, at most {n} characters",
        n=LONGEST_ID,
    ),
    LANGUAGE: worded("a language tag such as en or en-GB"),
    _ONE_LINE: worded("text on one line"),
}
_OF_TYPE = {
    "bool_type": worded("true or false"),
    "dict_type": worded("fields written 'name: value'"),
    "int_type": worded("an integer (digits alone)"),
    "model_type": worded("fields written 'name: value'"),
    "tuple_type": worded("a list"),
}
"""What was expected of a text that matches no pattern, and by an error of a type of pydantic's."""

KEY = "[key]"
"""The end of a path that leads to a name instead of its value, as pydantic writes it."""


def fault(message: str, offset: int | None = None) -> PydanticCustomError:
    """The error that something is wrong with a value, or with a character of its text."""
    return PydanticCustomError("fault", "{message}", {"message": message, "offset": offset})


def expected(what: str) -> PydanticCustomError:
    """The error that something else stands here than what was expected."""
    return PydanticCustomError("expected", "{what}", {"what": what})


def at(error: PydanticCustomError, *path: str | int) -> InitErrorDetails:
    """An error of a value below, to which this path leads."""
    return {"type": error, "loc": path, "input": None}


def _outcome(
    read: Callable[[Any], _Shaped], value: Any
) -> tuple[_Shaped | None, list[InitErrorDetails]]:
    """What a reader of pydantic's makes of a value, or its errors in the form they are raised."""
    try:
        return read(value), []
    except ValidationError as e:
        return None, [
            at(PydanticCustomError(error["type"], error["msg"], error.get("ctx")), *error["loc"])
            for error in e.errors(include_url=False)
        ]


def together(errors: Iterable[InitErrorDetails]) -> ValidationError:
    return ValidationError.from_exception_data("spec", list(errors))


def told(model: type[Model], root: Node, faults: Faults, context: object) -> Model | None:
    """What a file says, held against a model; None after its faults, which are told."""
    try:
        return model.model_validate(_plain(root), context=context)
    except ValidationError as e:
        for error in e.errors(include_url=False):
            _tell(error, root, faults)
        return None


def _plain(node: Node) -> Any:
    """A node with its mappings as dicts and its lists as tuples."""
    match node:
        case Fields(pairs=pairs):
            return {key.text: _plain(value) for key, value in pairs}
        case Sequence(items=items):
            return tuple(map(_plain, items))
    return node


def _node_at(root: Node, path: tuple[int | str, ...]) -> Node:
    """The node to which a path leads."""
    node = root
    for i, step in enumerate(path):
        match node:
            case Sequence(items=items) if isinstance(step, int):
                node = items[step]
            case Fields(pairs=pairs):
                key, node = next(pair for pair in pairs if pair[0].text == step)
                if path[i + 1 :] == (KEY,):
                    return key
    return node


def _tell(error: ErrorDetails, root: Node, faults: Faults) -> None:
    """Adds an error of pydantic's to the faults of a file."""
    path, context = error["loc"], error.get("ctx", {})
    if error["type"] == "missing":
        faults.add(
            _node_at(root, path[:-1]), worded("the field '{path}' is missing", path=path[-1])
        )
        return
    node = _node_at(root, path)
    match error["type"]:
        case "fault":
            faults.add(node, context["message"], context["offset"])
        case "elsewhere":
            faults.found += [f for f in context["faults"] if f not in faults.found]
        case "expected":
            faults.mismatch(node, context["what"])
        case "string_type":
            other = isinstance(node, Scalar) and node.text.strip()
            faults.mismatch(node, worded("text"), worded("put it in quotes") if other else "")
        case "string_pattern_mismatch":
            faults.mismatch(node, _OF_PATTERN[context["pattern"]])
        case "string_too_long" | "too_long" as type:
            bounds = {"most": context["max_length"], "n": _size(node)}
            if type == "string_too_long":
                faults.add(node, worded("expected at most {most} characters, found {n}", **bounds))
            else:
                faults.add(node, worded("expected at most {most} values, found {n}", **bounds))
        case "too_short":
            # Also raised where values of the list are at fault: pydantic does not count these.
            if (least := context["min_length"]) > _size(node):
                faults.add(
                    node,
                    worded(
                        "expected {least} or more values, found {size}",
                        least=least,
                        size=_size(node),
                    ),
                )
        case "greater_than_equal":
            faults.mismatch(node, worded("an integer of at least {n}", n=context["ge"]))
        case "less_than_equal":
            faults.mismatch(node, worded("an integer of at most {n}", n=context["le"]))
        case type:
            faults.mismatch(node, _OF_TYPE[type], _remedy(type, path, node))


def _remedy(type: str, path: tuple[int | str, ...], node: Node) -> str:
    """What to write instead of a value of another type, "" where that is plain."""
    match node:
        case Scalar(text=text) if type == "tuple_type" and text.strip():
            return worded("write [{text}]", text=short(text.strip()))
        case Sequence() if path[:1] == ("parameters",):
            return worded("write {{integer: [1, 9]}} for the integers from 1 to 9")
    return ""


def _size(node: Node) -> int:
    """How many characters or values a node has."""
    match node:
        case Scalar(text=text):
            return len(text.strip())
        case Sequence(items=values) | Fields(pairs=values):
            return len(values)
    return 0


# ------------------------------------------------------------ models


def meant(written: Collection[str], known: Collection[str]) -> dict[str, str]:
    """The name in the file of each field that is there: its own, or else a near miss."""
    names = {name: name for name in written if name in known}
    for name in written:
        if name not in known and (near := near_miss(name, known)):
            names.setdefault(near, name)
    return names


class Shape(BaseModel):
    """Fields written 'name: value'.

    A name that is a near miss of a field not given is told once, and taken for that field.
    """

    model_config = ConfigDict(
        strict=True,
        extra="forbid",
        frozen=True,
        arbitrary_types_allowed=True,
    )

    @classmethod
    def names(cls) -> list[str]:
        """The names of the fields, as a file has them."""
        return [field.alias or name for name, field in cls.model_fields.items()]

    @classmethod
    def across(cls, fields: Mapping[str, Any]) -> Iterable[InitErrorDetails]:
        """What is wrong with the fields taken together, before each is read."""
        return ()

    @model_validator(mode="wrap")
    @classmethod
    def shaped(cls, value: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        if not isinstance(value, dict):
            return handler(value)
        known = cls.names()
        names = meant(value, known)
        fields = {field: value[name] for field, name in names.items()}
        shaped, errors = _outcome(handler, fields)
        errors += cls.across(fields)
        for error in errors:
            if path := error["loc"]:
                field = str(path[0])
                error["loc"] = (names.get(field, field), *path[1:])
        errors += [
            at(fault(unknown("field", name, known)), name, KEY)
            for name in value
            if name not in known
        ]
        if shaped is None or errors:
            raise together(errors)
        return shaped


# ------------------------------------------------------------ types

ABSENT: Any = Field(default=None, validate_default=True)
"""The default of a field whose validator fills in what a file leaves out."""


def scalar_value(node: object) -> object:
    """The text, integer or truth value that a scalar is; what is none of these, as it stands."""
    match node:
        case Scalar(type="text", text=text) if text.strip():
            return text
        case Scalar(type="integer", text=text) if DECIMAL.fullmatch(text):
            return int(text)
        case Scalar(type="truth value", text="true" | "false" as text):
            return text == "true"
    return node


def _stripped(text: str) -> str:
    return text.strip()


Line = Annotated[
    str,
    StringConstraints(pattern=_ONE_LINE, max_length=_LONGEST_LINE),
    AfterValidator(_stripped),
    BeforeValidator(scalar_value),
]
"""A text of one line, not empty; white space around it is dropped."""

Text = Annotated[
    str,
    StringConstraints(pattern=ANY_TEXT, max_length=LONGEST_TEXT),
    AfterValidator(_stripped),
    BeforeValidator(scalar_value),
]
"""A text, not empty; white space around it is dropped."""

Identifier = Annotated[
    str, StringConstraints(pattern=ID, max_length=LONGEST_ID), BeforeValidator(scalar_value)
]
"""Lower-case words joined by hyphens."""

LanguageTag = Annotated[str, StringConstraints(pattern=LANGUAGE), BeforeValidator(scalar_value)]

Integer = Annotated[int, BeforeValidator(scalar_value)]

Flag = Annotated[bool, BeforeValidator(scalar_value)]
"""`true` or `false`; other words for them are not understood."""


def _named_as_its_file(value: str, info: ValidationInfo) -> str:
    context: Any = info.context
    if value != context.path.stem:
        raise fault(
            worded(
                "expected '{stem}', the name of the file, found '{value}'",
                stem=context.path.stem,
                value=value,
            )
        )
    return value


class SpecFile(Shape):
    """What all specs have."""

    id: Annotated[Identifier, AfterValidator(_named_as_its_file)]
    """The name of the file."""

    title: Line
    """One line."""

    _path: Path = PrivateAttr()
    _root: Node | None = PrivateAttr(default=None)
    """The tree of its file, for messages that say where something stands in it."""

    def model_post_init(self, context: Any) -> None:
        self._path = context.path

    @property
    def path(self) -> Path:
        return self._path


@dataclass(frozen=True)
class OneOf:
    """One word of a list; `what` it is, as a message says it."""

    what: str
    words: Collection[str]

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.no_info_after_validator_function(self.known, handler(source))

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> Schema:
        return {"enum": list(self.words)}

    def known(self, word: str) -> str:
        if word not in self.words:
            raise fault(unknown(self.what, word, self.words))
        return word


def _without_repeats(values: Any, handler: ValidatorFunctionWrapHandler) -> Any:
    """The values of a list, none of which may stand in it twice."""
    read, errors = _outcome(handler, values)
    told = {error["loc"] for error in errors}
    errors += [error for error in _repeats(values) if error["loc"] not in told]
    if errors:
        raise together(errors)
    return read


def _repeats(values: Any) -> Iterator[InitErrorDetails]:
    """The texts of a list that stand in it a second time."""
    seen: set[str] = set()
    for i, value in enumerate(values if isinstance(values, tuple) else ()):
        if isinstance(value, Scalar):
            text = value.text.strip()
            if text in seen:
                yield at(fault(worded("'{text}' stands in this list twice", text=text)), i)
            seen.add(text)


Several = Annotated[tuple[Value, ...], Field(min_length=1, max_length=_LONGEST_LIST)]
"""A list that is not empty."""

Distinct = Annotated[
    Several[Value],
    Field(json_schema_extra={"uniqueItems": True}),
    WrapValidator(_without_repeats),
]
"""A list that is not empty, of texts none of which stands in it twice."""
