"""Texts that an author writes for students: in one language or several, with values in braces.

    story: "Boxes of {p}, {a} left over."
    story: {en: "Boxes of {p}, {a} left over.", de: "Kartons zu {p}, Rest {a}."}

`{expression}` is a value of the variant; `{{` and `}}` are braces themselves. A line
of the text is a paragraph: after `story: >` a blank line begins one, after `story: |` every line.
Nothing else in a text has a meaning.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from pydantic import (
    AfterValidator,
    BeforeValidator,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
)
from pydantic_core import CoreSchema, core_schema

from itembank.languages.catalogue import held_for, languages
from itembank.notation.tree import Blocks, Paragraph
from itembank.spec.evaluating import Env
from itembank.spec.expression import Expression, Place, number
from itembank.spec.nodes import Scalar, near_miss
from itembank.spec.shapes import ANY_TEXT, LANGUAGE, LONGEST_TEXT, Schema, fault
from itembank.spec.surroundings import Surroundings, Written
from itembank.spec.tokens import Misread
from itembank.values.errors import ComposeError, LanguageError
from itembank.values.worded import worded

_MINUS = "\N{MINUS SIGN}"
_PIECE = re.compile(r"\{\{|\}\}|\{([^{}]*)\}|[{}]")

ONLY = ""
"""The language of a text that is written once: that of whatever it stands in."""


@dataclass(frozen=True)
class Template:
    """A text: words, and expressions whose values stand between them."""

    text: str
    pieces: tuple[str | Expression, ...]
    place: Place

    def at(self, env: Env) -> str:
        """The text with the values of a variant; NoValue where one has none."""
        return "".join(
            piece if isinstance(piece, str) else _digits(piece.required(env))
            for piece in self.pieces
        )

    @property
    def names(self) -> frozenset[str]:
        found = [piece.names for piece in self.pieces if isinstance(piece, Expression)]
        return frozenset[str]().union(*found)


def _digits(n: int) -> str:
    """A number between words.

    >>> _digits(-3)
    '−3'
    """
    return f"{_MINUS}{-n}" if n < 0 else str(n)


def _template(file: Surroundings, node: Scalar, text: str, place: Place) -> Template:
    """The template of a text; raises Misread with all that is wrong, at its character."""
    if len(text.strip()) > LONGEST_TEXT:
        raise Misread(
            [
                (
                    0,
                    worded(
                        "expected at most {longest_text} characters, found {n}",
                        longest_text=LONGEST_TEXT,
                        n=len(text),
                    ),
                )
            ]
        )
    if not text.strip():
        raise Misread([(0, worded("expected text, found none"))])
    pieces: list[str | Expression] = []
    faults: list[tuple[int, str]] = []
    at = 0
    for match in _PIECE.finditer(text):
        pieces.append(text[at : match.start()])
        at = match.end()
        if match[0] in ("{{", "}}"):
            pieces.append(match[0][0])
        elif match[1] is None:
            faults.append((match.start(), _one_brace(match[0])))
        else:
            try:
                pieces.append(number(match[1], file.everywhere(), place))
            except Misread as e:
                faults += [(match.start(1) + offset, message) for offset, message in e.faults]
    if faults:
        raise Misread(faults)
    return Template(text, (*pieces, text[at:]), place)


def _one_brace(brace: str) -> str:
    if brace == "{":
        return worded(
            "this brace is never closed: write {{a}} for the value of a, and {{{{ for a brace "
            "itself"
        )
    return worded(
        "this brace is never opened: write {{a}} for the value of a, and }}}} for a brace itself"
    )


@dataclass(frozen=True)
class Texts:
    """A text by language; ONLY where it is written once, for whatever language."""

    by_language: Mapping[str, Template]

    @classmethod
    def __get_pydantic_core_schema__(
        cls, source: object, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.no_info_after_validator_function(
            cls, handler.generate_schema(_InLanguages)
        )

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> Schema:
        return _TEXTS_SCHEMA

    @property
    def is_only(self) -> bool:
        """Whether it is written once."""
        return ONLY in self.by_language

    def among(self, language: str) -> Template | None:
        """The text for a language, or for the language of its region; None where there is none."""
        names = (language, language.partition("-")[0], ONLY)
        return next((self.by_language[n] for n in names if n in self.by_language), None)

    def blocks(self, env: Env, language: str, what: str, edition: str = "") -> Blocks:
        """The paragraphs for a variant.

        `edition`: the language, where it is not the first of its pool; a text that is written
        once is not in two languages. Raises ComposeError where there is none in the language.
        """
        found = self.among(language)
        if found is None or (edition and self.is_only):
            raise ComposeError(self.missing(language, what))
        return _paragraphs(found.at(env))

    def missing(self, language: str, what: str) -> str:
        known = ", ".join(filter(None, self.by_language)) or worded(
            "one text, in no named language"
        )
        first = next(iter(self.by_language.values()))
        message = worded(
            "expected a {what} in '{language}', found {known}; write {{{language}: ...}}",
            what=what,
            language=language,
            known=known,
        )
        return first.place.fault(message).worded


def _paragraphs(text: str) -> Blocks:
    """A paragraph for each line that is not empty, with one blank between words."""
    lines = (" ".join(line.split()) for line in text.splitlines())
    return tuple(Paragraph((line,)) for line in lines if line)


# ------------------------------------------------------------ in a file


def _by_language(value: object) -> object:
    """A text written once, or texts by their languages, as the latter."""
    return {ONLY: value} if isinstance(value, Scalar) else value


def _language_known(tag: str) -> str:
    if tag == ONLY:
        return tag
    try:
        held_for(tag)
    except LanguageError:
        known = ", ".join(languages())
        told = {"known": known, "tag": tag}
        if near := near_miss(tag, languages()):
            message = worded(
                "expected a language with a catalogue: {known}, found '{tag}'; did you mean "
                "'{near}'?",
                near=near,
                **told,
            )
        else:
            message = worded("expected a language with a catalogue: {known}, found '{tag}'", **told)
        raise fault(message) from None
    return tag


_Text = Annotated[
    Template, Written("text", _template, {"type": "string", "maxLength": LONGEST_TEXT})
]

_TEXTS_SCHEMA: Schema = {
    "oneOf": [
        {"type": ["string", "integer"], "pattern": ANY_TEXT, "maxLength": LONGEST_TEXT},
        {
            "type": "object",
            "propertyNames": {"pattern": LANGUAGE},
            "additionalProperties": {
                "type": ["string", "integer"],
                "pattern": ANY_TEXT,
                "maxLength": LONGEST_TEXT,
            },
            "minProperties": 1,
        },
    ]
}

_InLanguages = Annotated[
    dict[Annotated[str, AfterValidator(_language_known)], _Text],
    Field(min_length=1),
    BeforeValidator(_by_language),
]
