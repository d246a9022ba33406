"""Items of QTI 2.1 and 2.2, as a student and a delivery system meet them.

One interaction, or several entries or stages, the correctResponse, the response
processing, and feedback shown by an outcome.  Anything else in an item raises
Unsupported: it is unchecked, not passed.

Source: IMS Question & Test Interoperability Assessment Test, Section and Item
Information Model 2.1, sections 6 (items), 7 (interactions) and 5.4 (feedback).
"""

from collections.abc import Iterable, Iterator, Sequence
from copy import deepcopy
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import lru_cache, partial
from typing import NamedTuple

from itembank.audit import allowed
from itembank.audit.budget import INTERACTIONS, OPTIONS, refuse_many
from itembank.audit.expressions import Habit
from itembank.audit.passages import Branches, Document, Passages
from itembank.audit.probes import probes, probes_of_entries, probes_of_stages
from itembank.audit.prose import Lines, lines_of, text_of
from itembank.audit.rules import Node, rules_of
from itembank.audit.scoring import Scoring, habits
from itembank.audit.seen import Form, Grade, Response, SeenItem, SeenOption, SeenStage
from itembank.audit.shape import strange
from itembank.audit.squeezed import squeezed
from itembank.audit.unsupported import Unsupported
from itembank.audit.variables import NULL, Declaration, Value, decimal, declaration
from itembank.audit.xml import (
    Element,
    children,
    elements,
    language_of,
    local_name,
    namespace_of,
    only,
    parsed,
)
from itembank.values.worded import laid_out, worded

SCORE, MAXSCORE = "SCORE", "MAXSCORE"

_INTERACTION = tuple(
    f"{{*}}{name}Interaction" for name in ("choice", "order", "match", "textEntry", "inlineChoice")
)
"""Those that are read; another one is an element that is not."""

_LONGEST = 4_000
"""Bytes of a paragraph that is kept, with formulas in MathML."""

_BRANCHES = (
    "responseIf", "responseElseIf", "responseElse", "responseDeclaration", "outcomeDeclaration",
)  # fmt: skip

_DECLARATIONS = ("{*}responseDeclaration", "{*}outcomeDeclaration")

_FEEDBACK = ("modalFeedback", "feedbackInline", "feedbackBlock")


def seen_item(root: Element) -> SeenItem:
    """The item; Unsupported if it uses what is not read."""
    if children(root, "templateDeclaration") or root.get("adaptive") == "true":
        raise Unsupported(worded("an adaptive item or an item template"))
    body = only(children(root, "itemBody"), "itemBody")
    found = list(root.iter(*_INTERACTION))
    if any(body not in e.iterancestors() for e in found):
        raise Unsupported(worded("an interaction outside the body"))
    refuse_many("interactions", len(found), INTERACTIONS)
    rules = rules_of(only(children(root, "responseProcessing"), "responseProcessing"))
    responses = [declaration(e, "correctResponse") for e in children(root, "responseDeclaration")]
    if [e.get("responseIdentifier") for e in found] != [d.identifier for d in responses]:
        raise Unsupported(
            worded("interactions that do not each answer the declared responses in order")
        )
    reading = Document(root, *passages_of(namespace_of(root)))
    if len(found) > 1:
        met = _several(reading, body, found, responses)
    else:
        met = _single(reading, body, only(found, "interaction"), responses[0])
    declarations = children(root, "outcomeDeclaration")
    outcomes = [declaration(e, "defaultValue") for e in declarations]
    scoring = Scoring(rules, responses, outcomes)
    blocks = list(root.iter(*(f"{{*}}{name}" for name in _FEEDBACK)))
    names = [d.identifier for d in responses]
    declared = (
        _trimmed(d.value for d in responses) if len(found) > 1 else _texts(responses[0].value)
    )
    return SeenItem(
        identifier=root.get("identifier", ""),
        language=language_of(root),
        title=root.get("title", ""),
        stem=met.stem,
        form=met.form,
        options=met.options,
        sources=met.sources,
        stages=met.stages,
        most=met.most,
        declared=declared,
        points=_points(declarations, outcomes),
        full=None,
        statement=root.get("label", ""),
        grade=_Grading(scoring, names, list(map(_shown_by, blocks)), habits(rules)),
        probes=tuple(_probes_of(met.form, rules, names, outcomes)),
        exact=False,
        feedback={_block_name(e): reading.once(e) for e in blocks},
        formulas=reading.formulas,
        unknown=partial(_unknown, reading, blocks, found),
    )


@lru_cache(maxsize=8)
def passages_of(namespace: str) -> tuple[Passages, Branches]:
    """The paragraphs of items in a namespace, what their conditions consist of, and variables."""
    shapes = allowed.item(namespace)
    return Passages(shapes, parsed, depth=1, longest=_LONGEST), Branches(
        shapes, namespace, _BRANCHES
    )


def _unknown(reading: Document, blocks: list[Element], fields: list[Element]) -> Iterator[str]:
    """What is not read here; what the processing names and is not there; fields named otherwise."""
    root = reading.root
    yield from strange(root, allowed.item(namespace_of(root)), reading.sound)
    declared = [e.get("identifier") for e in root.iterchildren(*_DECLARATIONS)]
    if len(set(declared)) != len(declared):
        yield worded("two variables of one identifier")
    yield from _misnamed(fields)
    shown = {(e.get("outcomeIdentifier"), e.get("identifier")) for e in blocks}
    if len(shown) != len(blocks):
        yield worded("two feedbacks of one identifier")
    for rule in root.iter("{*}setOutcomeValue"):
        if rule.get("identifier") not in declared:
            yield worded("the undeclared outcome '{found}'", found=rule.get("identifier", "")[:40])
        for value in rule.iterchildren("{*}baseValue"):
            named = (value.text or "").strip()
            known = named == "none" or (rule.get("identifier"), named) in shown
            if value.get("baseType") == "identifier" and not known:
                yield worded("no feedback {named}, which the processing shows", named=named[:40])


def _misnamed(fields: list[Element]) -> Iterator[str]:
    """Names of fields, which a screen reader says, that are not the text beside the field.

    So no name tells an answer: what is said beside the field is part of the stem, or a prompt.
    """
    for entry in fields:
        name = entry.get("aria-label")
        if name is not None:
            beside = text_of(lines_of(next(entry.iterancestors("{*}p", "{*}div"))))
            if _words(name) != _words(beside):
                yield worded(
                    "a field named '{name}' beside '{beside}'", name=name[:60], beside=beside[:60]
                )


def _words(text: str) -> str:
    """A text in one spelling, without the sign at its end."""
    return squeezed(text).strip().rstrip(":.")


@dataclass(frozen=True, kw_only=True)
class _Met:
    """What a student meets in the body of an item."""

    stem: Lines
    form: Form
    most: int
    options: tuple[SeenOption, ...] = ()
    sources: tuple[SeenOption, ...] = ()
    stages: tuple[SeenStage, ...] = ()


def _probes_of(
    form: Form, rules: Iterable[Node], names: list[str], outcomes: Iterable[Declaration]
) -> Iterable[Response]:
    """Responses that the scoring itself compares with."""
    if form == "entries":
        return probes_of_entries(rules)
    if form == "pairs":
        return [_texts(o.value) for o in outcomes if o.base == "directedPair"]
    return probes_of_stages(rules, names) if form == "stages" else probes(rules)


# ------------------------------------------------------------ what is met


def _single(reading: Document, body: Element, interaction: Element, declared: Declaration) -> _Met:
    """The body, and one interaction with its prompt."""
    prompts = children(interaction, "prompt")
    stem = reading.lines(body) + tuple(line for e in prompts for line in lines_of(e))
    if local_name(interaction) == "matchInteraction":
        sources, targets = _match_sets(interaction, declared)
        return _Met(stem=stem, form="pairs", most=len(sources), options=targets, sources=sources)
    return _Met(
        stem=stem,
        form=_form(interaction, declared),
        most=_most(interaction),
        options=_options(interaction, "simpleChoice"),
    )


def _several(
    reading: Document, body: Element, found: list[Element], responses: list[Declaration]
) -> _Met:
    """Several interactions: entries for integers, or stages."""
    kinds = {(d.cardinality, d.base) for d in responses}
    names = {local_name(e) for e in found}
    if names == {"textEntryInteraction"} and kinds == {("single", "integer")}:
        return _Met(stem=reading.lines(body), form="entries", most=len(found))
    pairs = {(local_name(e), d.cardinality, d.base) for e, d in zip(found, responses, strict=True)}
    if not pairs <= _STAGE_PARTS:
        raise Unsupported(worded("several interactions that are neither entries nor stages"))
    rest = deepcopy(body)
    places = [body.index(_block_of(e, body)) for e in found]
    if len(set(places)) != len(places):
        raise Unsupported(worded("two stages in one paragraph"))
    for element in [rest[place] for place in places]:
        rest.remove(element)
    stages = tuple(
        SeenStage(lines_of(body[place]), _options(e, "inlineChoice"))
        for place, e in zip(places, found, strict=True)
    )
    return _Met(stem=lines_of(rest), form="stages", most=len(found), stages=stages)


_STAGE_PARTS = {
    ("textEntryInteraction", "single", "string"),
    ("inlineChoiceInteraction", "single", "identifier"),
}


def _block_of(element: Element, body: Element) -> Element:
    """The child of the body that holds the element."""
    while element.getparent() is not body:
        element = element.getparent()
    return element


def _match_sets(
    interaction: Element, declared: Declaration
) -> tuple[tuple[SeenOption, ...], tuple[SeenOption, ...]]:
    """Sources and targets: each source takes one target, a target as many as there are sources."""
    if (declared.cardinality, declared.base) != ("multiple", "directedPair"):
        raise Unsupported(
            worded(
                "matchInteraction of a {cardinality} {base}",
                cardinality=declared.cardinality,
                base=declared.base,
            )
        )
    sets = children(interaction, "simpleMatchSet")
    if len(sets) != 2:
        raise Unsupported(worded("a matchInteraction with {n} sets", n=len(sets)))
    sources, targets = (_options(e, "simpleAssociableChoice") for e in sets)
    n = str(len(sources))
    limits = [[e.get("matchMax") for e in elements(s)] for s in sets]
    if set(limits[0]) != {"1"} or set(limits[1]) != {n} or interaction.get("maxAssociations") != n:
        raise Unsupported(worded("a matchInteraction that allows other than one target a source"))
    return sources, targets


def _form(interaction: Element, declared: Declaration) -> Form:
    name = local_name(interaction)
    if name == "textEntryInteraction" and declared.cardinality == "single":
        return "text"
    if name == "choiceInteraction" and declared.base == "identifier":
        if declared.cardinality == "single":
            if (most := _most(interaction)) != 1:
                raise Unsupported(worded("maxChoices '{most}' where one is chosen", most=most))
            return "one"
        if declared.cardinality == "multiple":
            return "any"
    if name == "orderInteraction" and (declared.cardinality, declared.base) == (
        "ordered",
        "identifier",
    ):
        return "order"
    raise Unsupported(
        laid_out(
            "{name} of a {cardinality} {base}",
            name=name,
            cardinality=declared.cardinality,
            base=declared.base,
        )
    )


def _trimmed(values: Iterable[Value]) -> Response:
    """The text of each value, without the blanks at the end."""
    found = [str(value.items[0]) if value.items else "" for value in values]
    while found and not found[-1]:
        found.pop()
    return tuple(found)


def _most(interaction: Element) -> int:
    """How many options can be ticked, 0 for any number; maxChoices is 1 unless it is given."""
    text = interaction.get("maxChoices", "1")
    if not text.isdecimal():
        raise Unsupported(worded("maxChoices '{text}'", text=text))
    return int(text)


def _options(interaction: Element, tag: str) -> tuple[SeenOption, ...]:
    unknown = {local_name(e) for e in elements(interaction)} - {"prompt", tag}
    if unknown:
        raise Unsupported(worded("an interaction with {found}", found=", ".join(sorted(unknown))))
    found = children(interaction, tag)
    refuse_many("options", len(found), OPTIONS)
    return tuple(SeenOption(e.get("identifier", ""), text_of(lines_of(e))) for e in found)


def _texts(value: Value) -> Response:
    return tuple(map(str, value.items))


def _points(
    declarations: Iterable[Element], outcomes: Iterable[Declaration]
) -> dict[str, Fraction]:
    """What the item is worth: normalMaximum of SCORE, and the outcome MAXSCORE."""
    found: dict[str, Fraction] = {}
    for element in declarations:
        if element.get("identifier") == SCORE and "normalMaximum" in element.attrib:
            found["normalMaximum"] = decimal(element.get("normalMaximum", ""))
    for outcome in outcomes:
        if outcome.identifier == MAXSCORE and not outcome.value.null:
            found[MAXSCORE] = Fraction(outcome.value.items[0])
    return found


# ------------------------------------------------------------ scoring and feedback


class _ShownBy(NamedTuple):
    """A feedback block: shown if the outcome holds the identifier, or, without `show`, unless."""

    name: str
    outcome: str
    identifier: str | None
    show: bool


def _shown_by(block: Element) -> _ShownBy:
    return _ShownBy(
        _block_name(block),
        block.get("outcomeIdentifier", ""),
        block.get("identifier"),
        block.get("showHide", "show") == "show",
    )


@dataclass(frozen=True)
class _Grading:
    """Gives the grade of a response; of several entries one text each, in their order."""

    scoring: Scoring
    identifiers: list[str]
    blocks: Sequence[_ShownBy]
    habits: tuple[Habit, ...]
    known: dict[int, tuple[dict[str, Value], Grade]] = field(default_factory=dict)
    """By the outcomes as an object, which are the same for all that take the same branches."""

    def __call__(self, response: Response) -> Grade:
        if len(self.identifiers) == 1:
            given = {self.identifiers[0]: response}
        else:
            pairs = zip(self.identifiers, response, strict=False)
            given = {name: (text,) for name, text in pairs}
        outcomes, departing = self.scoring.readers_that_differ(given, self.habits)
        if id(outcomes) not in self.known:
            self.known[id(outcomes)] = outcomes, self.of(outcomes)
        _outcomes, grade = self.known[id(outcomes)]
        if departing:
            return replace(grade, otherwise=tuple(map(str, departing)))
        return grade

    def of(self, outcomes: dict[str, Value]) -> Grade:
        """What the outcomes come to."""
        score = outcomes.get(SCORE)
        if score is None or score.null or score.base not in ("float", "integer"):
            raise Unsupported(worded("an item whose SCORE is no number"))
        shown = frozenset(
            block.name
            for block in self.blocks
            if (block.identifier in outcomes.get(block.outcome, NULL).items) is block.show
        )
        return Grade(Fraction(score.items[0]), shown)


def _block_name(block: Element) -> str:
    """A feedback block, by what the outcome must hold (or must not) for it to be shown."""
    sign = "=" if block.get("showHide", "show") == "show" else "≠"
    return f"{block.get('outcomeIdentifier', '')}{sign}{block.get('identifier', '')}"
