"""A family: one kind of question, with its parameters, conditions and wording.

A family in parts is several of one file, joined: they share parameters and are drawn as one.
"""

import json
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from functools import cached_property
from hashlib import sha256
from string import ascii_lowercase
from typing import Annotated, Any

from pydantic import (
    ConfigDict,
    Field,
    PlainValidator,
    PrivateAttr,
    ValidationInfo,
    ValidatorFunctionWrapHandler,
    WithJsonSchema,
    field_validator,
)
from pydantic_core import InitErrorDetails, PydanticCustomError

from itembank.languages.catalogue import ENGLISH
from itembank.spec.answer_range import IN_A_RANGE, AnswerRange, misfit
from itembank.spec.condition import Condition
from itembank.spec.family_fields import (
    MOST_CONDITIONS,
    MOST_SPARES,
    MOST_VERSIONS,
    AnyForm,
    Ask,
    Form,
    Given,
    GivenField,
    Kind,
    OfferedForm,
    SlipEntry,
    Where,
    fitting,
    forms_here,
    read_given,
)
from itembank.spec.own_slip import OwnSlip, clashes
from itembank.spec.parameter import Parameter, Parameters
from itembank.spec.shapes import (
    ABSENT,
    KEY,
    Distinct,
    Identifier,
    Integer,
    Line,
    OneOf,
    Several,
    Shape,
    SpecFile,
    Text,
    at,
    fault,
    together,
)
from itembank.spec.story import ONLY, Texts
from itembank.spec.surroundings import around
from itembank.values.points import Points, points
from itembank.values.vocabulary import (
    CHOSEN_RULES,
    FORMS,
    FORMS_OF_ASK,
    LEVELS,
    PLAIN_FORMS,
)
from itembank.values.worded import worded

# ------------------------------------------------------------ the family


class Remarks(Shape):
    """What is said to answers, whatever led to them."""

    model_config = ConfigDict(title="Feedback")

    right: Texts | None = None
    """Said to every right answer: a text, or `{en: ..., de: ...}`."""

    wrong: Texts | None = None
    """Said to every wrong answer, after what else is said to it."""


class Family(SpecFile):
    """One kind of question with its parameters, conditions and wording."""

    model_config = ConfigDict(title="A family of questions")

    version: Integer = Field(ge=1, le=MOST_VERSIONS)
    """Raised with every change that changes questions."""

    kind: Kind = Field(alias="problem")
    """The kind of problem."""

    shown_as: Line | None = Field(default=None, alias="shown as")
    """What students see for a title, without a count, solvability, method or key; the kind's if
    absent."""

    outcomes: Distinct[Identifier]
    """Ids of the course outcomes that it serves, the main one first."""

    level: Annotated[Line, OneOf("level", LEVELS)]
    """How difficult it is meant to be (words of IEEE 1484.12.1)."""

    about: Text | None = None
    """For colleagues: why the family exists, what to look out for."""

    sources: Parameters = Field(alias="parameters")
    """Drawn in this order; a parameter may use those above it."""

    conditions: tuple[Where, ...] = Field(
        default=(), alias="where", min_length=1, max_length=MOST_CONDITIONS
    )
    """Conditions that every variant satisfies: 'gcd(p, q) == 1', 'solutions in 2..6', 'no
    singular root', 'some singular roots', 'p % 8 in [3, 5]', 'min(answer) > 20'."""

    given: Annotated[Given, PlainValidator(read_given), WithJsonSchema({"type": "object"})]
    """What the problem is made of."""

    ask: Ask
    """What is asked."""

    answer: AnswerRange | None = None
    """Which integers are asked for in the place of residues. `the solution`: `{above: 100}`,
    `{below: 0}`, `{between: [100, 150]}` or `{residues: symmetric}`, any integer of the class if
    absent; `the least`: `above` or `between`; `the largest`: `below` or `between`; `all solutions`:
    `between`, `{residues: symmetric}` or `{residues: 1..m}`, in a list or a choice."""

    story: Texts | None = None
    """What stands before the formal question, for example a situation that leads to it: a text, or
    `{en: ..., de: ...}`; `{p + 1}` is a value of the variant."""

    formal: Annotated[Line, OneOf("word", ("shown", "hidden"))] = "shown"
    """How the formal question stands after a story: `shown`, as "In symbols: ...", or `hidden`: the
    story tells every number, and leaves once a person has accepted that it puts this question."""

    forms: Distinct[Form] = ABSENT
    """The response forms offered; the first is the default."""

    slip_entries: Distinct[SlipEntry] = Field(default=None, validate_default=True, alias="slips")
    """The student errors that give wrong options and feedback: those of the kind by name, and your
    own as `{name: added, answer: a + b, says: ...}`; all of the kind if absent."""

    hints: Several[Texts] = Field(default=())
    """What to try next, said to a wrong answer to which no slip leads; the kind's advice if
    absent."""

    feedback: Remarks = Field(default_factory=Remarks)
    """What is said to every right answer, and after what is said to a wrong one."""

    substitutes: dict[OfferedForm, AnyForm] = Field(
        default_factory=dict, min_length=1, json_schema_extra={"propertyNames": {"enum": [*FORMS]}}
    )
    """For a form, the plain form used where a format cannot carry it."""

    scoring: Annotated[Line, OneOf("scoring rule", CHOSEN_RULES)] = CHOSEN_RULES[0]
    """How answers score."""

    shortcuts: Annotated[Line, OneOf("word", ("allowed",))] | None = None
    """`allowed` if a way much shorter than the method may settle a variant, such as trying small
    numbers; else such variants are passed over."""

    same: Annotated[Line, OneOf("word", ("numbers",))] | None = None
    """`numbers` if two variants are the same question only where all their numbers are alike; else
    where one is a disguise of the other, as 3^1 and 10^1 modulo 7 are."""

    coefficients: Annotated[Line, OneOf("word", ("any",))] | None = None
    """`any` if coefficients may be beyond the modulus; else such variants are passed over."""

    spare: Integer = Field(default=0, ge=1, le=MOST_SPARES)
    """How many lines that do not belong stand among the steps to be put in order, each made from
    a slip; none if absent."""

    small: Text | None = None
    """Why the family has few variants."""

    solutions: Annotated[Line, OneOf("word", ("radical",))] | None = None
    """`radical` if the family is about so many solutions, and all variants have as many."""

    guessing: Text | None = None
    """Why it is wanted that looks tell an answer; reviewers read it."""

    _parts: "tuple[Family, ...]" = PrivateAttr(default=())
    _part: str = PrivateAttr(default="")
    _whole: str = PrivateAttr(default="")
    _beside: tuple[str, ...] = PrivateAttr(default=())

    @cached_property
    def parts(self) -> "tuple[Family, ...]":
        """The questions of a family in parts, in their order; () of any other, and of a part."""
        return self._parts

    @property
    def each(self) -> "tuple[Family, ...]":
        """Its parts; itself where it has none."""
        return self._parts or (self,)

    @property
    def part(self) -> str:
        """Of a part its letter, else ""."""
        return self._part

    @property
    def number_of_parts(self) -> int:
        """Of how many parts a part is one, or the family has; 0 where there are none."""
        return len(self._beside)

    @property
    def whole(self) -> str:
        """The id of the file: of a part, that of the family it belongs to."""
        return self._whole or self.id

    @property
    def scenario(self) -> Texts | None:
        """What stands before each part."""
        return None

    @property
    def may_be_given_away(self) -> bool:
        """Whether another part may print its key."""
        return False

    @property
    def worth(self) -> Points:
        """What a part counts, or its parts together."""
        return points(sum((part.worth for part in self._parts), Fraction()) or 1)

    def joined(self, parts: "Sequence[Family]") -> "Family":
        """The whole of some parts, which its stream and a pool name; it begins as the first."""
        beside = tuple(part.own_fingerprint for part in parts)
        letters = ascii_lowercase[: len(parts)]
        named = tuple(
            part.as_part(letter, self.id, beside)
            for letter, part in zip(letters, parts, strict=True)
        )
        whole = self._copy()
        whole._parts, whole._beside = named, beside
        return whole

    def as_part(self, letter: str, whole: str, beside: tuple[str, ...]) -> "Family":
        part = self._copy(id=f"{whole}.{letter}")
        part._part, part._whole, part._beside = letter, whole, beside
        return part

    def _copy(self, **update: str) -> "Family":
        """The same question, to which parts may be joined, or beside which others may stand."""
        copy = self.model_copy(update=update)
        for name in ("parts", "fingerprint"):
            copy.__dict__.pop(name, None)
        return copy

    @classmethod
    def across(cls, fields: Mapping[str, Any]) -> Iterator[InitErrorDetails]:
        if "formal" in fields and "story" not in fields and "lead" not in fields:
            message = worded("expected a `story` before the formal question, found none; write one")
            yield at(fault(message), "formal", KEY)

    @cached_property
    def parameters(self) -> tuple[Parameter, ...]:
        return tuple(fields.parameter(name) for name, fields in self.sources.items())

    @cached_property
    def due(self) -> tuple[tuple[str, Parameter, tuple[Condition, ...]], ...]:
        """The parameters by name, each with the conditions whose last parameter it is."""
        due = self.conditions_due
        return tuple((p.name, p, due[p.name]) for p in self.parameters)

    @cached_property
    def conditions_before(self) -> tuple[Condition, ...]:
        """Those that need no solution."""
        return tuple(c for c in self.conditions if not c.measures)

    @cached_property
    def conditions_after(self) -> tuple[Condition, ...]:
        """Those on what the solution measures, or on the answer."""
        return tuple(c for c in self.conditions if c.measures)

    @cached_property
    def conditions_due(self) -> dict[str, tuple[Condition, ...]]:
        """By parameter: the conditions that can be tested as soon as it has its value."""
        names = [parameter.name for parameter in self.parameters]
        due: dict[str, list[Condition]] = {name: [] for name in names}
        for condition in self.conditions:
            if not condition.measures:
                due[max(condition.expression.names, key=names.index)].append(condition)
        return {name: tuple(found) for name, found in due.items()}

    @cached_property
    def fingerprint(self) -> str:
        """SHA-256 of what the file says apart from id, version, title, about, small,
        solutions, guessing and the story; of a part, with what stands beside it.

        Spaces within expressions do not count, nor do slips that the file does not list.
        """
        if not self._beside:
            return self.own_fingerprint
        return sha256(
            "/".join((self._part, self.own_fingerprint, *self._beside)).encode()
        ).hexdigest()

    @cached_property
    def own_fingerprint(self) -> str:
        plain = {
            "kind",
            "outcomes",
            "level",
            "ask",
            "forms",
            "scoring",
            "shortcuts",
            "coefficients",
        }
        content = self.model_dump(include=plain) | {
            "substitutes": [*self.substitutes.items()],
            "parameters": [
                [p.name, p.source, _canonical(p.terms), _canonical(p.excluded), p.radical]
                for p in self.parameters
            ],
            "where": [condition.expression.canonical for condition in self.conditions],
            "given": {name: _canonical(value) for name, value in self.given.fields},
            "slips": self.slips if "slip_entries" in self.model_fields_set else "all",
        }
        if self.formal == "hidden":
            content["formal"] = self.formal
        if self.answer:
            content["answer"] = self.answer.content
        if self.same:
            content["same"] = self.same
        if self.spare:
            content["spare"] = self.spare
        if self.own_slips:
            content["own slips"] = [slip.content for slip in self.own_slips]
        return sha256(json.dumps(content, sort_keys=True).encode()).hexdigest()

    @property
    def language(self) -> str:
        """A language in which it can be told: English unless its texts are in others alone."""
        tags = next((tuple(text.by_language) for _name, text in self.texts), (ENGLISH,))
        return ENGLISH if {ONLY, ENGLISH} & set(tags) else tags[0]

    @property
    def texts(self) -> tuple[tuple[str, Texts], ...]:
        """What the author wrote for students, with the field of each."""
        if self._parts:
            return tuple(found for part in self._parts for found in part.texts)
        own = ((f"text of the slip '{slip.name}'", slip.says) for slip in self.own_slips)
        found = (
            ("story", self.scenario),
            ("story", self.story),
            *own,
            *(("hint", hint) for hint in self.hints),
            ("feedback", self.feedback.right),
            ("feedback", self.feedback.wrong),
        )
        return tuple((name, text) for name, text in found if text)

    @cached_property
    def slips(self) -> tuple[str, ...]:
        """The names of the slips of the kind that it uses."""
        return tuple(slip for slip in self.slip_entries if isinstance(slip, str))

    @cached_property
    def own_slips(self) -> tuple[OwnSlip, ...]:
        return tuple(slip for slip in self.slip_entries if isinstance(slip, OwnSlip))

    def substitute(self, form: str) -> str | None:
        """The form that stands in for one that a format cannot carry; None if none is declared."""
        return self.substitutes.get(form)

    @field_validator("forms", mode="wrap")
    @classmethod
    def first_if_absent(
        cls, value: object, handler: ValidatorFunctionWrapHandler, info: ValidationInfo
    ) -> object:
        """The first form of the ask if none is listed; () if the ask is at fault."""
        forms = FORMS_OF_ASK[info.data["ask"]] if "ask" in info.data else ()
        if info.data.get("answer") and info.data.get("ask") == "all solutions":
            forms = tuple(form for form in forms if form in IN_A_RANGE)
        found = handler(value) if forms and value is not None else forms[:1]
        for form in found if forms and info.data.get("answer") else ():
            if form not in forms:
                raise fault(
                    worded(
                        "integers of a range go in the forms {forms}; found '{form}'",
                        forms=", ".join(forms),
                        form=form,
                    )
                )
        return found

    @field_validator("answer")
    @classmethod
    def of_the_solution(
        cls, answer: AnswerRange | None, info: ValidationInfo
    ) -> AnswerRange | None:
        """A range goes with what is asked, and with the solutions of congruences and systems."""
        ask, kind = info.data.get("ask"), around(info).kind
        if answer and ask and (message := misfit(answer, ask, kind)):
            raise fault(message)
        return answer

    @field_validator("spare")
    @classmethod
    def among_steps(cls, spare: int, info: ValidationInfo) -> int:
        """Spare lines go with steps that are put in order."""
        ask = info.data.get("ask")
        if spare and ask and ask != "the steps":
            raise fault(worded("spare lines go with the ask 'the steps', found '{ask}'", ask=ask))
        return spare

    @field_validator("slip_entries", mode="wrap")
    @classmethod
    def all_if_absent(
        cls, value: object, handler: ValidatorFunctionWrapHandler, info: ValidationInfo
    ) -> object:
        """All slips of the kind if none are listed; () without a kind."""
        kind = around(info).kind
        if kind is None or value is None:
            return kind.slips if kind else ()
        entries = handler(value)
        if errors := list(clashes(entries, kind.slips)):
            raise together(errors)
        return entries

    @field_validator("substitutes")
    @classmethod
    def stand_in(cls, substitutes: dict[str, str], info: ValidationInfo) -> dict[str, str]:
        """Each another form that the ask can be put in, and a plain one."""
        errors = []
        for form, plain in substitutes.items() if info.data.get("forms") else ():
            others = [f for f in forms_here(info) if f in PLAIN_FORMS and f != form]
            try:
                fitting("substitute", plain, others, FORMS, worded("form '{form}'", form=form))
            except PydanticCustomError as e:
                errors.append(at(e, form))
        if errors:
            raise together(errors)
        return substitutes

    @field_validator("scoring")
    @classmethod
    def scores_a_form(cls, rule: str, info: ValidationInfo) -> str:
        forms = info.data.get("forms", ())
        if rule == "plus minus" and forms and "select all" not in forms:
            raise fault(
                worded("'plus minus' scores the form 'select all' only, which is not a form here")
            )
        return rule


def _canonical(value: GivenField) -> str | list[str]:
    return [term.canonical for term in value] if isinstance(value, tuple) else value.canonical
