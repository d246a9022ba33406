"""A course: its name, its language, its terms, and what it teaches, for all its pools.

A pool names the file of its course, which stands beside it: `course: number-theory.yaml`.  What
the pool says itself wins over what the course says.  `load_course` raises SpecError with every
fault at once.
"""

import re
from calendar import monthrange
from collections.abc import Collection
from pathlib import Path
from typing import Annotated

from pydantic import (
    AfterValidator,
    BeforeValidator,
    ConfigDict,
    Field,
    StringConstraints,
    field_validator,
)

from itembank.languages.catalogue import held_for, languages
from itembank.spec.document import document
from itembank.spec.nodes import Faults, Fields, Scalar
from itembank.spec.shapes import (
    LANGUAGE,
    TERM,
    LanguageTag,
    Line,
    OneOf,
    Shape,
    at,
    expected,
    fault,
    scalar_value,
    together,
    told,
)
from itembank.values import course as values
from itembank.values.errors import LanguageError, SpecError
from itembank.values.worded import worded

LETTERS = ("x", "y", "z", "u", "v", "w")
"""Letters that the unknown may have before a student."""

_FILE = re.compile(r"[^/\\]+\.ya?ml")
"""The name of a file beside another."""


def file_named(text: str) -> str:
    """The name of a course file that stands where a course is named; "" for a course by name."""
    return text.strip() if _FILE.fullmatch(text.strip()) else ""


def is_spoken(tag: str) -> bool:
    """Whether it is the tag of a language that the program speaks."""
    try:
        held_for(tag)
    except LanguageError:
        return False
    return re.fullmatch(LANGUAGE, tag) is not None


def _spoken(tag: str) -> str:
    if not is_spoken(tag):
        known = ", ".join(languages())
        raise fault(
            worded(
                "expected a language with a catalogue: {known}, found '{tag}'", known=known, tag=tag
            )
        )
    return tag


Language = Annotated[LanguageTag, AfterValidator(_spoken)]
"""The tag of a language that the program speaks."""


class Notation(Shape):
    """How the course writes."""

    letter: Annotated[Line, OneOf("letter", LETTERS)] = ""
    """The letter of the unknown."""

    residues: Annotated[Line, OneOf("residues", values.RESIDUES)] = values.RESIDUES[0]
    """Which residues an answer names in a worked solution: 0, ..., m - 1, or those nearest to 0."""

    mod: Annotated[Line, OneOf("modulus", values.MODULUS)] = values.MODULUS[0]
    """How the modulus stands after a congruence of a worked solution."""

    congruent: Annotated[Line, OneOf("way to write congruences", values.CONGRUENT)] = (
        values.CONGRUENT[0]
    )
    """Whether a congruence of a worked solution has its sign, or is said in words."""


class Methods(Shape):
    """The methods that the course teaches; where one is left out a kind has its own."""

    combine: Annotated[Line, OneOf("way to combine", values.COMBINE)] = ""
    """x = 2 + 9t put into the other congruence, or coefficients that are 1 and 0."""

    roots: Annotated[Line, OneOf("way to roots", values.ROOTS)] = ""
    """Roots modulo a prime: factor where one can, always complete the square, or try all."""

    inverse: Annotated[Line, OneOf("way to inverses", values.INVERSE)] = ""
    """Euclid's rows put into each other, a table of them, or multiples looked through."""

    lift: Annotated[Line, OneOf("way to lift", values.LIFT)] = ""
    """r + pt put into f, or the formula with the derivative."""


def _dated(node: object) -> object:
    """The text of a day, which YAML takes for a date; expected as 2027-02-01."""
    match = _DAY.fullmatch(node.text.strip()) if isinstance(node, Scalar) else None
    if match is None:
        raise expected(worded("a day such as 2027-02-01"))
    year, month, day = map(int, match.groups())
    if not (year and 1 <= month <= 12 and 1 <= day <= monthrange(year, month)[1]):
        raise fault(worded("there is no day {match}", match=match[0]))
    return match[0]


_DAY = re.compile(r"(\d{4})-(\d\d)-(\d\d)")

Day = Annotated[str, StringConstraints(pattern=r"^\d{4}-\d\d-\d\d$"), BeforeValidator(_dated)]
"""A day of the calendar."""


class Term(Shape):
    """A term, and on which days it begins and ends."""

    name: Annotated[
        str,
        StringConstraints(pattern=TERM),
        BeforeValidator(scalar_value),
        Field(examples=["2027-spring"]),
    ]
    """The term, as in --term: letters, digits and hyphens."""

    begins: Day = ""
    """The first day."""

    ends: Day = ""
    """The last day."""


_MOST_TERMS = 200


class Course(Shape):
    """Name, language, notation, methods, instructions and terms of a course, for all its pools."""

    model_config = ConfigDict(title="A course")

    name: Line
    """The course, as it appears on paper."""

    language: Language = ""
    """The language of the questions, where a pool does not say it."""

    notation: Notation = Field(
        default_factory=Notation, description="How its worked solutions write."
    )

    methods: Methods = Field(default_factory=Methods, description="The methods that it teaches.")

    instructions: Line = ""
    """What students are told at the head of every sheet of paper: "No calculators."."""

    terms: Annotated[tuple[Term, ...], Field(max_length=_MOST_TERMS)] = ()
    """Its terms in their order, which is that in which questions rest; others are refused."""

    @field_validator("terms")
    @classmethod
    def in_their_order(cls, terms: tuple[Term, ...]) -> tuple[Term, ...]:
        """Terms of different names, each after the one before it, by the days that are said."""
        errors, last, names = [], "", set[str]()
        for i, term in enumerate(terms):
            if term.name in names:
                errors.append(
                    at(
                        fault(worded("the term '{name}' stands here twice", name=term.name)),
                        i,
                        "name",
                    )
                )
            names.add(term.name)
            for name, day in (("begins", term.begins), ("ends", term.ends)):
                if day and day <= last:
                    message = worded("expected a day after {last}, found {day}", last=last, day=day)
                    errors.append(at(fault(message), i, name))
                last = max(last, day)
        if errors:
            raise together(errors)
        return terms

    @property
    def in_order(self) -> tuple[values.Term, ...]:
        return tuple(values.Term(t.name, t.begins, t.ends) for t in self.terms)

    @property
    def letter(self) -> str:
        """The unknown; "" if the course leaves it open."""
        return self.notation.letter

    @property
    def teaching(self) -> values.Teaching:
        n, m = self.notation, self.methods
        return values.Teaching(
            values.Notation(residues=n.residues, mod=n.mod, congruent=n.congruent),
            values.Methods(combine=m.combine, roots=m.roots, inverse=m.inverse, lift=m.lift),
        )


def is_course(fields: Collection[str]) -> bool:
    """Whether a file with these fields is a course: no pool, and no family."""
    return bool({"name", "notation", "methods"} & set(fields)) and not (
        {"id", "items", "problem"} & set(fields)
    )


def load_course(path: Path) -> Course:
    """The course of a file; raises SpecError with all its faults."""
    faults = Faults(str(path))
    root = document(path, faults)
    if isinstance(root, Fields) and not faults.found:
        names = {key.text for key, _value in root.pairs}
        if {"id", "items", "problem"} & names:
            faults.add(root, worded("expected a course (name, language, notation, methods)"))
            raise SpecError(faults.found)
    course = told(Course, root, faults, None) if root else None
    if course is None or faults.found:
        raise SpecError(faults.found)
    return course
