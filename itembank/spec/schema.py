"""JSON Schemas of the files of specs, so that editors complete and check while one types.

They are those of the models that the files are held against, with the words of the
kinds of problem added.  A schema tells less than the models: it knows shapes and
words, not expressions, and accepts every file that they accept.  Draft 2020-12.
"""

import ast
import json
from collections.abc import Collection, Mapping
from functools import cache
from importlib import import_module
from inspect import cleandoc, getsource
from itertools import pairwise

from pydantic import BaseModel
from pydantic.json_schema import GenerateJsonSchema
from pydantic_core import core_schema

from itembank.spec.course import Course
from itembank.spec.family import Family
from itembank.spec.family_fields import given_fields
from itembank.spec.pool import Pool
from itembank.spec.reading import FEWEST_PARTS, MOST_PARTS, Part
from itembank.spec.shapes import Schema, Shape
from itembank.values.described import COURSE_EXAMPLES, FAMILY_EXAMPLES, POOL_EXAMPLES
from itembank.values.vocabulary import DERIVED_FORMS, FORMS_OF_ASK, PLAIN_FORMS, KindSignature


class _Plain(GenerateJsonSchema):
    """Schemas without titles of fields, and without defaults that only stand for absence."""

    def field_title_should_be_set(self, schema: object) -> bool:
        return False

    def model_schema(self, schema: core_schema.ModelSchema) -> Schema:
        """With what its source says below each field; models do without, since only this asks."""
        found: Schema = super().model_schema(schema)
        for model in schema["cls"].__mro__:
            below = _said_below(model) if issubclass(model, Shape) else {}
            for name, field in schema["cls"].model_fields.items():
                if name in below:
                    property_ = found["properties"][field.alias or name]
                    property_.setdefault("description", below[name])
        return found

    def nullable_schema(self, schema: core_schema.NullableSchema) -> Schema:
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> Schema:
        if schema.get("default") in (None, (), {}):
            return self.generate_inner(schema["schema"])
        return super().default_schema(schema)


@cache
def _classes_of(module: str) -> dict[str, ast.ClassDef]:
    """The classes in the source of a module."""
    body = ast.parse(getsource(import_module(module))).body
    return {found.name: found for found in body if isinstance(found, ast.ClassDef)}


def _said_below(model: type[Shape]) -> dict[str, str]:
    """The text that stands below each field in the source of a class, by the name of the field.

    Nothing for the fields of a kind, which are made from a table and described there.
    """
    source = _classes_of(model.__module__).get(model.__name__)
    found = {}
    for field, below in pairwise(source.body if source else ()):
        match field, below:
            case (
                ast.AnnAssign(target=ast.Name(id=name)),
                ast.Expr(value=ast.Constant(value=str(text))),
            ):
                found[name] = cleandoc(text)
    return found


def schemas(kinds: Mapping[str, KindSignature]) -> dict[str, Schema]:
    """The schemas by the names of their files."""
    return {
        "family.schema.json": _family_schema(kinds),
        "pool.schema.json": _with_examples(_schema_of(Pool), POOL_EXAMPLES),
        "course.schema.json": _with_examples(_schema_of(Course), COURSE_EXAMPLES),
    }


def file_text(schema: Schema) -> str:
    """A schema as its file holds it."""
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"


def _schema_of(model: type[BaseModel]) -> Schema:
    schema = model.model_json_schema(schema_generator=_Plain)
    return {"$schema": _Plain.schema_dialect, **schema}


def _with_examples(schema: Schema, examples: Mapping[str, object]) -> Schema:
    """The schema, with an example at each property that has one and none of its own."""
    for name, part in schema.get("properties", {}).items():
        if name in examples:
            part.setdefault("examples", [examples[name]])
    for part in schema.values():
        for inner in part if isinstance(part, list) else [part]:
            if isinstance(inner, dict):
                _with_examples(inner, examples)
    return schema


def _family_schema(kinds: Mapping[str, KindSignature]) -> Schema:
    """That of a file with one question, or with parts, which say what they ask themselves."""
    schema = _with_examples(_schema_of(Family), FAMILY_EXAMPLES)
    schema["properties"]["problem"]["enum"] = list(kinds)
    schema["properties"]["parts"] = _with_examples(_parts_schema(kinds), FAMILY_EXAMPLES)
    asked = [name for name in schema["required"] if name in _ASKED_BY_A_PART]
    schema["required"] = [name for name in schema["required"] if name not in asked]
    schema["if"] = {"required": ["parts"]}
    schema["else"] = {"required": asked}
    schema["allOf"] = _of_kinds_and_asks(kinds)
    return schema


_ASKED_BY_A_PART = ("problem", "given", "ask")
"""What each part has to say where the file does not."""


def _of_kinds_and_asks(kinds: Mapping[str, KindSignature]) -> list[Schema]:
    return [
        *(_when("problem", name, _kind_properties(kind)) for name, kind in kinds.items()),
        *(_when("ask", ask, _ask_properties(forms)) for ask, forms in FORMS_OF_ASK.items()),
    ]


def _parts_schema(kinds: Mapping[str, KindSignature]) -> Schema:
    """The parts of a question: the fields of a family, but for those of the file as a whole."""
    part = _schema_of(Part)
    fields = {
        name: {"description": field["description"]}
        for name, field in part["properties"].items()
        if name not in _OF_THE_FILE and "description" in field
    }
    for name in ("points", "given away"):
        fields[name] = part["properties"][name]
    fields["problem"] = {"enum": list(kinds), "description": "The kind of problem."}
    fields["ask"] = {"enum": list(FORMS_OF_ASK), "description": "What is asked."}
    return {
        "type": "array",
        "description": (
            "Several questions over the same parameters, (a), (b), ...: drawn as one, each with its"
            " own problem, given, ask and points. What stands above holds for each of them; the"
            " story above stands before each."
        ),
        "minItems": FEWEST_PARTS,
        "maxItems": MOST_PARTS,
        "items": {"type": "object", "properties": fields, "additionalProperties": False},
        "examples": [FAMILY_EXAMPLES["parts"]],
    }


_OF_THE_FILE = ("id", "version", "title", "about", "parameters", "small", "lead")
"""Fields that a part cannot have."""


def _when(name: str, value: str, then: Schema) -> Schema:
    """What the properties `then` must be when a property has a value."""
    condition = {"properties": {name: {"const": value}}, "required": [name]}
    return {"if": condition, "then": {"properties": then}}


def _kind_properties(kind: KindSignature) -> Schema:
    """What the fields of a family of this kind may hold."""
    properties: Schema = {
        "given": given_fields(kind).model_json_schema(schema_generator=_Plain),
        "ask": {"enum": list(kind.asks)},
        "slips": {"items": {"if": {"type": "string"}, "then": {"enum": list(kind.slips)}}},
    }
    if not kind.derived:
        properties["forms"] = {"items": {"not": {"enum": list(DERIVED_FORMS)}}}
    return properties


def _ask_properties(forms: Collection[str]) -> Schema:
    """What the fields of a family with an ask that these forms can carry may hold."""
    words = {"enum": list(forms)}
    plain = {"enum": [form for form in forms if form in PLAIN_FORMS]}
    return {
        "forms": {"items": words},
        "substitutes": {"propertyNames": words, "additionalProperties": plain},
    }
