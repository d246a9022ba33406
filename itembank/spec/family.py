"""A family: one kind of question, with its parameters, conditions and wording.

A family in parts is several of one file, joined: they share parameters and are drawn as one.
"""

import json
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, cached_property
from hashlib import sha256
from string import ascii_lowercase
from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    ConfigDict,
    Field,
    PlainValidator,
    PrivateAttr,
    ValidationInfo,
    ValidatorFunctionWrapHandler,
    WithJsonSchema,
    create_model,
    field_validator,
)
from pydantic_core import InitErrorDetails, PydanticCustomError

from itembank.languages.catalogue import ENGLISH
from itembank.maths.polynomials import Poly
from itembank.spec.answer_range import IN_A_RANGE, AnswerRange, misfit
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
from itembank.spec.own_slip import OwnSlip, clashes, entry_of
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
from itembank.spec.surroundings import Surroundings, Written, around
from itembank.spec.tokens import Misread
from itembank.values.described import field_of
from itembank.values.points import Points, points
from itembank.values.vocabulary import (
    ASKS,
    CHOSEN_RULES,
    DERIVED_FORMS,
    FORMS,
    FORMS_OF_ASK,
    LEVELS,
    PLAIN_FORMS,
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
        return {name: given_value(value, env, name in MODULI) for name, value in self.fields}


def given_value(said: GivenField, env: Env, modulus: bool) -> Any:
    if isinstance(said, tuple):
        return tuple(given_value(part, env, modulus) for part in said)
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


def known_kind(word: str, info: ValidationInfo) -> str:
    return OneOf("kind of problem", around(info).kinds).known(word)


def ask_of_the_kind(word: str, info: ValidationInfo) -> str:
    kind = around(info).kind
    if kind is None:
        return OneOf("ask", ASKS).known(word)
    return fitting("ask", word, kind.asks, ASKS, worded("kind of problem '{kind}'", kind=kind.name))


def forms_here(info: ValidationInfo) -> tuple[str, ...]:
    """The forms of the ask that the kind of problem can be put in."""
    kind = around(info).kind
    forms = FORMS_OF_ASK[info.data["ask"]]
    return tuple(f for f in forms if f not in DERIVED_FORMS or kind is None or kind.derived)


def form_of_the_ask(word: str, info: ValidationInfo) -> str:
    ask, kind, forms = info.data["ask"], around(info).kind, forms_here(info)
    if kind and word in FORMS_OF_ASK[ask] and word not in forms:
        told = {"word": word, "name": kind.name}
        raise fault(worded("the form '{word}' is not for the kind of problem '{name}'", **told))
    return fitting("form", word, forms, FORMS, worded("ask '{ask}'", ask=ask))


def form_offered(word: str, info: ValidationInfo) -> str:
    forms = info.data.get("forms")
    return OneOf("form of this family", forms).known(word) if forms else word


Kind = Annotated[Line, AfterValidator(known_kind)]
Ask = Annotated[Line, AfterValidator(ask_of_the_kind), WithJsonSchema({"enum": [*ASKS]})]
AnyForm = Annotated[Line, WithJsonSchema({"enum": [*FORMS]})]
Form = Annotated[AnyForm, AfterValidator(form_of_the_ask)]
OfferedForm = Annotated[AnyForm, AfterValidator(form_offered)]
SlipEntry = Annotated[
    str | OwnSlip,
    PlainValidator(entry_of, json_schema_input_type=str | OwnSlip),
]

# ------------------------------------------------------------ expressions

Number = Annotated[
    Expression,
    Written(
        "an expression",
        lambda file, node, text, place: number(text, file.everywhere(), place),
        {"type": ["integer", "string"]},
    ),
]


def equation_of_the_kind(file: Surroundings, node: Scalar, text: str, place: Place) -> Equation:
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


def modulus(file: Surroundings, node: Scalar, text: str, place: Place) -> Expression:
    """A number of at least 1, as far as it does not depend on parameters."""
    found = number(text, file.everywhere(), place)
    if not found.names and (value := found.value({})) < 1:
        raise Misread(
            [(0, worded("expected a modulus of at least 1, found {shown}", shown=shown(value)))]
        )
    return found


Modulus = Annotated[Expression, Written("an expression", modulus, {"type": ["integer", "string"]})]
EquationText = Annotated[
    Equation,
    Written(
        f"an equation in {UNKNOWN}, as in 'x^2 + b*x = c'",
        equation_of_the_kind,
        {"type": "string", "pattern": "="},
    ),
]


def condition_of(file: Surroundings, node: Scalar, text: str, place: Place) -> Condition | None:
    """A condition; None if there is no kind, whose measures it may name."""
    return read_condition(text, Scope(file.names), file.measures, place) if file.kind else None


Where = Annotated[Condition, Written("a condition", condition_of, {"type": "string"})]

GIVEN_FIELDS: dict[FieldType, Any] = {
    "integer": Number,
    "integers": Several[Number],
    "equation": EquationText,
    "equations": Several[EquationText],
}


MODULI: dict[str, Any] = {"modulus": Modulus, "moduli": Several[Modulus]}
"""Fields of every kind whose values are at least 1."""


def given_fields(kind: KindSignature) -> type[Shape]:
    """What the field `given` holds in a family of this kind."""
    return given_model(kind.name, tuple(kind.given.items()), kind.may_be_left_out)


@cache
def given_model(
    kind: str, given: tuple[tuple[str, FieldType], ...], may_be_left_out: tuple[str, ...]
) -> type[Shape]:
    """The model of a kind's fields, made once: there are no more of them than kinds."""
    types = {name: GIVEN_FIELDS[type] for name, type in given}
    types |= {name: type for name, type in MODULI.items() if name in types}
    fields: dict[str, Any] = {}
    for name, type in types.items():
        if name in may_be_left_out:
            fields[name] = (type | None, described(kind, name, None))
        else:
            fields[name] = (type, described(kind, name, ...))
    about = f"What a problem of the kind '{kind}' is made of."
    return create_model("given", __base__=Shape, __doc__=about, **fields)


def described(kind: str, name: str, default: Any) -> Any:
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

    @property
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
        whole = self.model_copy()
        whole._parts, whole._beside = named, beside
        return whole

    def as_part(self, letter: str, whole: str, beside: tuple[str, ...]) -> "Family":
        part = self.model_copy(update={"id": f"{whole}.{letter}"})
        part._part, part._whole, part._beside = letter, whole, beside
        return part

    @classmethod
    def across(cls, fields: Mapping[str, Any]) -> Iterator[InitErrorDetails]:
        if "formal" in fields and "story" not in fields and "lead" not in fields:
            message = worded("expected a `story` before the formal question, found none; write one")
            yield at(fault(message), "formal", KEY)

    @cached_property
    def parameters(self) -> tuple[Parameter, ...]:
        return tuple(fields.parameter(name) for name, fields in self.sources.items())

    @cached_property
    def conditions_due(self) -> dict[str, tuple[Condition, ...]]:
        """By parameter: the conditions that can be tested as soon as it has its value."""
        names = [parameter.name for parameter in self.parameters]
        due: dict[str, list[Condition]] = {name: [] for name in names}
        for condition in self.conditions:
            if not condition.measures:
                due[max(condition.expression.names, key=names.index)].append(condition)
        return {name: tuple(found) for name, found in due.items()}

    @property
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
                [p.name, p.source, canonical(p.terms), canonical(p.excluded), p.radical]
                for p in self.parameters
            ],
            "where": [condition.expression.canonical for condition in self.conditions],
            "given": {name: canonical(value) for name, value in self.given.fields},
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


def canonical(value: GivenField) -> str | list[str]:
    return [term.canonical for term in value] if isinstance(value, tuple) else value.canonical
