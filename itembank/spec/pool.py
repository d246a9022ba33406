"""A pool: which families, how many variants of each, points, response forms, wording.

A pool names families by id; a `FamilyShelf`, or any mapping from ids to families,
finds them.  `load_pool` raises SpecError with every fault at once, those of the
families it names included.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, cast

from pydantic import (
    BeforeValidator,
    ConfigDict,
    Field,
    PrivateAttr,
    ValidationInfo,
    ValidatorFunctionWrapHandler,
    WithJsonSchema,
    field_validator,
)
from pydantic_core import InitErrorDetails, PydanticCustomError

from itembank.languages.catalogue import ENGLISH
from itembank.spec.course import LETTERS, Course, Language, file_named, load_course
from itembank.spec.document import document
from itembank.spec.family import Family
from itembank.spec.family_fields import AnyForm, fitting
from itembank.spec.forms_of_parts import parts_without, unlike
from itembank.spec.nodes import Faults, Fields, Node, Scalar, short, unknown
from itembank.spec.points import InHalves
from itembank.spec.reading import MOST_PARTS
from itembank.spec.shapes import (
    ABSENT,
    ID,
    KEY,
    LONGEST_ID,
    Integer,
    Line,
    OneOf,
    Shape,
    SpecFile,
    at,
    expected,
    fault,
    scalar_value,
    together,
    told,
)
from itembank.values.course import AS_USUAL, Teaching, Term
from itembank.values.errors import SpecError
from itembank.values.vocabulary import FORMS
from itembank.values.worded import worded

_MOST_ENTRIES = 500
_MOST_VARIANTS = 100_000
_MOST_SETTINGS = 100
_MOST_STAND_INS = 10
_MOST_LANGUAGES = 20
_MOST_RESTS = 20
_RESTS = 2

_USES = ("graded", "practice")

_MOST_SPREAD = 10_000
"""A spread that leaves everything in."""


@dataclass(frozen=True)
class _Shelved:
    """What the reading of a pool file needs to know: its path, the families, its course."""

    path: Path
    families: Mapping[str, Family]
    course: Course | None = None


def _shelved(info: ValidationInfo) -> Mapping[str, Family]:
    return cast(_Shelved, info.context).families


def _course_named(node: object, info: ValidationInfo) -> object:
    """The name of a course: as it stands, or as the file says that stands here."""
    course = cast(_Shelved, info.context).course
    return course.name if course is not None else node


def _family_named(node: object, info: ValidationInfo) -> Family:
    name, families = scalar_value(node), _shelved(info)
    if not isinstance(name, str):
        raise expected(worded("the id of a family"))
    if name not in families:
        raise fault(unknown("family", name, families))
    try:
        return families[name]
    except SpecError as e:
        raise PydanticCustomError("elsewhere", "faults of a family", {"faults": e.faults}) from None


Setting = Annotated[dict[str, Integer], Field(min_length=1)]
"""Values of some parameters of a family, which all variants with these values have."""


FamilyName = Annotated[
    Family,
    BeforeValidator(_family_named),
    WithJsonSchema({"type": "string", "pattern": ID, "maxLength": LONGEST_ID}),
]
"""A family, by its id."""


class PoolEntry(Shape):
    """A family, and how much of it."""

    model_config = ConfigDict(title="An entry")

    family: FamilyName
    """The id of a family."""

    variants: Integer = Field(ge=1, le=_MOST_VARIANTS)
    """How many variants are made."""

    choose: Integer = Field(default=1, ge=1, le=_MOST_VARIANTS)
    """How many of them a student gets."""

    points: InHalves = ABSENT
    """Points of each, whole or in halves; 1 if absent. The parts of a family say their own."""

    form: AnyForm = ABSENT
    """The response form; the family's first if absent."""

    forms: Annotated[tuple[AnyForm, ...], Field(max_length=MOST_PARTS)] = ()
    """Of a family in parts the form of each part, in their order; the first of each if absent."""

    having: Annotated[tuple[Setting, ...], Field(max_length=_MOST_SETTINGS)] = Field(
        default=(), alias="with"
    )
    """Values of parameters, as in `[{p: 7, q: 11}]`: of each a variant is among those made."""

    without: Annotated[tuple[Setting, ...], Field(max_length=_MOST_SETTINGS)] = ()
    """Values of parameters: no variant that has them is made."""

    instead: Annotated[tuple[FamilyName, ...], Field(max_length=_MOST_STAND_INS)] = ()
    """Families that give what replaces a returned or withdrawn question, and what is short."""

    @field_validator("forms")
    @classmethod
    def of_the_parts(cls, forms: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
        """A form for each part of a family in parts, which has it."""
        family: Family | None = info.data.get("family")
        if family is None or not forms:
            return forms
        if not family.parts:
            raise fault(
                worded("'{id}' has no parts: say the form of its questions by `form`", id=family.id)
            )
        if len(forms) != len(family.parts):
            raise fault(
                worded(
                    "expected a form for each of the {n} parts of '{id}', found {found}",
                    n=len(family.parts),
                    id=family.id,
                    found=len(forms),
                )
            )
        errors = [at(fault(told), i) for told, i in parts_without(family, forms)]
        if errors:
            raise together(errors)
        return forms

    @field_validator("instead")
    @classmethod
    def in_the_same_form(
        cls, families: tuple[Family, ...], info: ValidationInfo
    ) -> tuple[Family, ...]:
        """Other families than the entry's, each once, that can be put in the entry's form."""
        family: Family | None = info.data.get("family")
        form, names, errors = info.data.get("form"), [family.id] if family else [], []
        for i, other in enumerate(families):
            if family and (other.parts or family.parts):
                used = info.data.get("forms", ())
                errors += [at(fault(message), i) for message in unlike(family, used, other)]
            if other.id in names:
                errors.append(
                    at(fault(worded("the family '{id}' stands here twice", id=other.id)), i)
                )
            names.append(other.id)
            if form and not other.parts and form not in other.forms:
                forms = ", ".join(other.forms)
                message = worded(
                    "expected a family with the form '{form}'; '{id}' has: {forms}",
                    form=form,
                    id=other.id,
                    forms=forms,
                )
                errors.append(at(fault(message), i))
        if errors:
            raise together(errors)
        return families

    @property
    def parts(self) -> tuple["PoolEntry", ...]:
        """An entry for each part of a family in parts; the entry itself for any other family."""
        if not self.family.parts:
            return (self,)
        return tuple(
            self.model_copy(update={"family": part, "form": form, "points": part.worth})
            for part, form in zip(self.family.parts, self.forms_used, strict=True)
        )

    @property
    def forms_used(self) -> tuple[str, ...]:
        """The form of each question of a variant."""
        if not self.family.parts:
            return (self.form,)
        return self.forms or tuple(part.forms[0] for part in self.family.parts)

    @property
    def stand_ins(self) -> tuple["PoolEntry", ...]:
        """The entry with each of the families that may stand in."""
        return tuple(self.model_copy(update={"family": family}) for family in self.instead)

    @field_validator("having", "without")
    @classmethod
    def of_parameters(
        cls, settings: tuple[dict[str, int], ...], info: ValidationInfo
    ) -> tuple[dict[str, int], ...]:
        """Settings of the family's parameters, no more of them than variants, none left out."""
        family: Family | None = info.data.get("family")
        names = [parameter.name for parameter in family.parameters] if family else []
        errors = [
            at(fault(unknown("parameter", name, names)), i, name, KEY)
            for i, setting in enumerate(settings)
            for name in setting
            if family and name not in names
        ]
        if info.field_name == "without":
            wanted = info.data.get("having", ())
            errors += [
                at(fault(worded("this leaves out what `with` asks for")), i)
                for i, setting in enumerate(settings)
                if any(has(other, setting) for other in wanted)
            ]
        elif len(settings) > (most := info.data.get("variants", len(settings))):
            raise fault(
                worded(
                    "expected at most {most}, the number of variants, found {n}",
                    most=most,
                    n=len(settings),
                )
            )
        if errors:
            raise together(errors)
        return settings

    @field_validator("choose")
    @classmethod
    def not_beyond_the_variants(cls, choose: int, info: ValidationInfo) -> int:
        variants = info.data.get("variants", choose)
        if choose > variants:
            raise fault(
                worded(
                    "expected at most {variants}, the number of variants, found {choose}",
                    variants=variants,
                    choose=choose,
                )
            )
        return choose

    @field_validator("points", mode="wrap")
    @classmethod
    def points_of_the_family(
        cls, value: object, handler: ValidatorFunctionWrapHandler, info: ValidationInfo
    ) -> object:
        """1 if none are named; those of its parts together for a family in parts."""
        family: Family | None = info.data.get("family")
        if value is None:
            return family.worth if family else 1
        if family is not None and family.parts:
            raise fault(
                worded("the parts of '{id}' say their own points: leave this out", id=family.id)
            )
        return handler(value)

    @field_validator("form", mode="wrap")
    @classmethod
    def form_of_the_family(
        cls, value: object, handler: ValidatorFunctionWrapHandler, info: ValidationInfo
    ) -> object:
        """The first form of the family if none is named; not checked without a family."""
        family: Family | None = info.data.get("family")
        if family is not None and family.parts:
            if value is not None:
                raise fault(
                    worded(
                        "the parts of '{id}' have forms of their own: leave this out, or say "
                        "`forms`, one for each",
                        id=family.id,
                    )
                )
            return ""
        if value is None or family is None:
            return family.forms[0] if family else ""
        return fitting(
            "form",
            handler(value),
            family.forms,
            FORMS,
            worded("family '{family}'", family=family.id),
        )


def has(values: Mapping[str, int], setting: Mapping[str, int]) -> bool:
    """Whether values of parameters are those of a setting, as far as it goes."""
    return all(name in values and values[name] == n for name, n in setting.items())


class Wording(Shape):
    """Choices of wording."""

    letter: Annotated[Line, OneOf("letter", LETTERS)] = LETTERS[0]
    """The letter of the unknown."""


class Spread(Shape):
    """How far apart the variants of one family may lie, so that no student's is much harder."""

    steps: Integer = Field(default=_MOST_SPREAD, ge=0, le=_MOST_SPREAD)
    """Between the longest and the shortest solution, in steps."""

    digits: Integer = Field(default=_MOST_SPREAD, ge=0, le=_MOST_SPREAD)
    """Between the largest and the smallest modulus, in digits."""

    singular: Integer = Field(default=_MOST_SPREAD, ge=0, le=_MOST_SPREAD)
    """Between the most and the fewest singular roots to lift."""

    @property
    def limits(self) -> bool:
        """Whether it keeps any variant out."""
        return min(self.steps, self.digits, self.singular) < _MOST_SPREAD


class Pool(SpecFile):
    """Which families, how many variants of each, points, response forms, wording."""

    model_config = ConfigDict(title="A pool")

    course: Annotated[Line, BeforeValidator(_course_named)]
    """The course, as it appears on paper; or a file beside the pool, *.yaml, that says it."""

    languages: tuple[Language, ...] = Field(default=(), min_length=1, max_length=_MOST_LANGUAGES)
    """The languages of the questions, where there are several: the same questions in each."""

    language: Language = Field(default=ENGLISH, validate_default=True)
    """The language of the questions, as a language tag."""

    seed: Line
    """Any text; with it the same variants are drawn again."""

    rests: Integer = Field(default=_RESTS, ge=0, le=_MOST_RESTS)
    """For how many terms a used item rests."""

    use: Annotated[Line, OneOf("use", _USES)] = _USES[0]
    """Whether the questions are graded or for practice; no problem ever serves both."""

    author: Line = ""
    """Who answers for the families and their wording; needed where two persons must agree."""

    persons: Integer = Field(default=1, ge=1, le=2)
    """How many persons stand behind a question: 2 if its reviewer must not be the author."""

    effort: Spread = Field(default_factory=Spread)
    """How far apart the variants of one family may lie; as far as they will if absent."""

    entries: tuple[PoolEntry, ...] = Field(alias="items", min_length=1, max_length=_MOST_ENTRIES)
    """The families that the pool draws on."""

    wording: Wording = Field(default_factory=Wording)
    """Choices of wording, such as the letter of the unknown."""

    instructions: Line = ""
    """What students are told at the head of a sheet of paper; as its course says if absent."""

    _teaching: Teaching = PrivateAttr(default=AS_USUAL)
    _terms: tuple[Term, ...] = PrivateAttr(default=())

    @property
    def terms(self) -> tuple[Term, ...]:
        """The terms of its course, in their order; () where it lists none."""
        return self._terms

    @property
    def teaching(self) -> Teaching:
        """The notation and the methods of its course."""
        return self._teaching

    def taught_by(self, course: Course) -> "Pool":
        """The pool with what it leaves to its course."""
        found = self.model_copy(update=dict(self._left_to(course)))
        found._teaching = course.teaching
        found._terms = course.in_order
        return found

    def _left_to(self, course: Course) -> Iterator[tuple[str, object]]:
        if course.language and not {"language", "languages"} & self.model_fields_set:
            yield "language", course.language
        if course.letter and "letter" not in self.wording.model_fields_set:
            yield "wording", Wording(letter=course.letter)
        if course.instructions and "instructions" not in self.model_fields_set:
            yield "instructions", course.instructions

    @field_validator("entries")
    @classmethod
    def told_in_its_languages(
        cls, entries: tuple[PoolEntry, ...], info: ValidationInfo
    ) -> tuple[PoolEntry, ...]:
        """Whether the story of each family has a text in each language of the pool."""
        tags = info.data.get("languages") or (info.data.get("language", ENGLISH),)
        errors = [
            at(fault(message), i, *place)
            for i, entry in enumerate(entries)
            for family, place in (
                (entry.family, ("family",)),
                *((other, ("instead", n)) for n, other in enumerate(entry.instead)),
            )
            if (message := _untold(family, tags))
        ]
        own = {entry.family.id for entry in entries}
        errors += [
            at(
                fault(worded("the family '{id}' stands in the pool itself", id=family.id)),
                i,
                "instead",
                n,
            )
            for i, entry in enumerate(entries)
            for n, family in enumerate(entry.instead)
            if family.id in own and family.id != entry.family.id
        ]
        if errors:
            raise together(errors)
        return entries

    def entry_of(self, family: Family) -> PoolEntry | None:
        """What the pool says of a family; None where it does not draw on it."""
        return next((entry for entry in self.entries if entry.family.id == family.id), None)

    @property
    def letter(self) -> str:
        """The unknown, as shown to students."""
        return self.wording.letter

    @field_validator("language")
    @classmethod
    def first_of_the_languages(cls, language: str, info: ValidationInfo) -> str:
        languages: tuple[str, ...] = info.data.get("languages", ())
        return languages[0] if languages else language

    @property
    def edition(self) -> str:
        """The language, where it is not the first of the pool; "" where it is."""
        return self.language if self.languages and self.language != self.languages[0] else ""

    def editions(self, languages: Sequence[str] = ()) -> tuple["Pool", ...]:
        """The pool in each of these languages, or else in each of its own."""
        own = self.languages or (self.language,)
        together = tuple(dict.fromkeys((*own, *languages)))
        return tuple(
            self.model_copy(update={"language": tag, "languages": together})
            for tag in languages or own
        )

    @classmethod
    def across(cls, fields: Mapping[str, Any]) -> Iterator[InitErrorDetails]:
        """Faults of fields taken together.

        One language and several; a language or a family that stands twice; two persons, and no
        author named.
        """
        if {"language", "languages"} <= set(fields):
            yield at(
                fault(worded("expected `language` or `languages`, found both")), "languages", KEY
            )
        tags = fields.get("languages")
        seen: set[str] = set()
        for i, node in enumerate(tags if isinstance(tags, tuple) else ()):
            tag = node.text.lower() if isinstance(node, Scalar) else ""
            if tag and tag in seen:
                yield at(
                    fault(worded("the language '{text}' stands here twice", text=node.text)),
                    "languages",
                    i,
                )
            seen.add(tag)
        if fields.get("persons") == 2 and not fields.get("author"):
            yield at(fault(worded("two persons need an author: name one in `author`")), "persons")
        entries = fields.get("items")
        first: dict[str, int] = {}
        for i, entry in enumerate(entries if isinstance(entries, tuple) else ()):
            node = entry.get("family") if isinstance(entry, dict) else None
            if not isinstance(node, Scalar):
                continue
            if node.text in first:
                message = worded(
                    "the family '{text}' stands here twice, first in line {first}: put all its "
                    "variants in one entry",
                    text=node.text,
                    first=first[node.text],
                )
                yield at(fault(message), "items", i, "family")
            first.setdefault(node.text, node.line)


def _untold(family: Family, tags: Sequence[str]) -> str:
    """What keeps the texts of a family from being said in these languages; "" for nothing."""
    for name, texts in family.texts:
        if len(tags) > 1 and texts.is_only:
            return worded(
                "the {text} of '{family}' is one text, and the pool has {n} languages; write it as "
                "{{{first}: ..., {second}: ...}}",
                text=name,
                family=family.id,
                n=len(tags),
                first=tags[0],
                second=tags[1],
            )
        for tag in tags:
            if texts.among(tag) is None:
                found = ", ".join(texts.by_language)
                return worded(
                    "the {text} of '{family}' has no text in '{tag}', found {found}; write "
                    "{{{tag}: ...}} beside it",
                    text=name,
                    family=family.id,
                    tag=tag,
                    found=found,
                )
    return ""


# ------------------------------------------------------------ reading


def _is_family(fields: Collection[str]) -> bool:
    asked = {"problem", "given"} <= set(fields) or "parts" in fields
    return asked and "parameters" in fields and "items" not in fields


def load_pool(path: Path, families: Mapping[str, Family]) -> Pool:
    """The pool of a file; raises SpecError with all its faults and those of its families."""
    faults = Faults(str(path))
    root = document(path, faults)
    if isinstance(root, Fields) and _is_family({key.text for key, _ in root.pairs}):
        faults.add(root, worded("this is a family, not a pool; name it in the `items` of a pool"))
        raise SpecError(faults.found)
    course = _course_beside(path, root, faults) if root else None
    pool = told(Pool, root, faults, _Shelved(path, families, course)) if root else None
    if pool is None or faults.found:
        raise SpecError(faults.found)
    return pool.taught_by(course) if course else pool


def _course_beside(path: Path, root: Node, faults: Faults) -> Course | None:
    """The course whose file stands in the field `course` of a pool; its faults are the pool's."""
    pairs = root.pairs if isinstance(root, Fields) else ()
    node = next((value for key, value in pairs if key.text == "course"), None)
    if not isinstance(node, Scalar) or not (name := file_named(node.text)):
        return None
    file = path.parent / name
    if not file.is_file():
        faults.add(
            node,
            worded(
                "expected the file of a course beside the pool, found no '{name}'", name=short(name)
            ),
        )
        return None
    try:
        return load_course(file)
    except SpecError as e:
        faults.found += e.faults
        return None
