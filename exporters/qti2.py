"""QTI 2.x packages: all that 2.1 and 2.2 share.

    item-....xml             one file an item
    test-POOL-TERM.xml       for a quiz: one section a group, which draws from its items
    imsmanifest.xml          what is in the package, with the metadata of each item

An item is one interaction, or the parts of a question (`in_parts`).  Its answer
stands twice: complete in correctResponse, which some platforms take alone, and in response
processing.  Feedback is modal: by slip, and the worked solution after any attempt.  A bank
has no test.

Source: IMS Question & Test Interoperability Assessment Test, Section and Item
Information Model 2.1 and 2.2, with their XML bindings; IMS Content Packaging 1.2.
"""

import shutil
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from tempfile import SpooledTemporaryFile

from exporters.census import Census, for_the_least_residue, naming, place
from exporters.in_parts import Whole, Writer, joined, rows
from exporters.lom import item_lom, release_lom, whole_lom
from exporters.package import Deflated, Package, deflated
from exporters.qti2_assembly import Section, assessment_test
from exporters.qti2_response import (
    RESPONSE,
    base_type,
    constant,
    feedback_texts,
    pairs_of_slips,
    refuse_long_sets,
    response_declarations,
    response_names,
    response_processing,
    says_more,
    score_names,
    variable,
)
from exporters.release import (
    TOOL,
    TOOL_VERSION,
    Count,
    Purpose,
    Release,
    statement,
    together,
)
from exporters.setting import Setting, setting_of
from exporters.xml import LOM, XSI, around, fragment, serialised
from itembank.languages import Said, say
from itembank.notation import plain
from itembank.notation.elements import Element, Maker
from itembank.notation.tree import Blocks, Inlines
from itembank.values.item import (
    Choice,
    Guided,
    IntegerEntry,
    Item,
    ListEntry,
    MatchPairs,
    Option,
    PutInOrder,
    SelectAll,
    SelectOne,
    SetEntry,
    Stage,
    TrueFalse,
)
from itembank.values.points import Points, decimal

_LABEL = 256
"""The longest label of an item (String256 of the binding)."""

_FIELD = 60
"""The width of a field for a list, the same for all: it must not tell how long the answer is."""

STAGE_FIELD = 20
"""The width of a field in a stage, the same for all."""

_COUNT_FIELD = 10
"""The width of a field for an integer that no modulus bounds."""

_CP = "http://www.imsglobal.org/xsd/imscp_v1p1"


@dataclass(frozen=True, kw_only=True)
class Version:
    """What 2.1 and 2.2 differ in."""

    format: str
    namespace: str
    schema: str
    metadata_namespace: str
    metadata_schema: str
    manifest_schema: str
    lom_schema: str
    package: str
    bank: str
    item_type: str
    test_type: str

    @cached_property
    def q(self) -> Maker:
        return Maker(self.namespace)

    @property
    def located(self) -> dict[str, str]:
        """The attributes that name the schema of an item or a test."""
        return {"xmlns:xsi": XSI, "xsi:schemaLocation": f"{self.namespace} {self.schema}"}


# ------------------------------------------------------------ the item


def assessment_item(
    item: Item, v: Version, setting: Setting, stem: Blocks | None = None
) -> Element:
    """The item, with another stem if one is given; `setting` sets its prose and mathematics."""
    q = v.q
    refuse_long_sets(item)
    return q(
        "assessmentItem",
        {
            **v.located,
            "identifier": item.identifier,
            "title": item.title,
            **label(item),
            "xml:lang": item.language,
            "adaptive": "false",
            "timeDependent": "false",
            "toolName": TOOL,
            "toolVersion": TOOL_VERSION,
        },
        *response_declarations(item, q),
        *_outcome_declarations(item, q),
        _item_body(item, q, setting, stem_of(item) if stem is None else stem),
        response_processing(item, q),
        *_modal_feedback(item, q, setting),
    )


def label(item: Item) -> dict[str, str]:
    """What is asked, for authors; a longer one stands in the manifest alone."""
    line = statement(item)
    return {"label": line} if len(line) <= _LABEL else {}


def _score_declarations(worth: Points, q: Maker) -> list[Element]:
    points = decimal(worth)
    return [
        q(
            "outcomeDeclaration",
            {
                "identifier": "SCORE",
                "cardinality": "single",
                "baseType": "float",
                "normalMaximum": points,
                "normalMinimum": "0",
            },
            q("defaultValue", q("value", "0")),
        ),
        q(
            "outcomeDeclaration",
            {"identifier": "MAXSCORE", "cardinality": "single", "baseType": "float"},
            q("defaultValue", q("value", points)),
        ),
    ]


def _outcome_declarations(item: Item, q: Maker) -> list[Element]:
    return [
        *_score_declarations(item.scoring.points, q),
        *(
            q(
                "outcomeDeclaration",
                {"identifier": name, "cardinality": "single", "baseType": "float"},
            )
            for name in score_names(item.response)
        ),
        *(
            q(
                "outcomeDeclaration",
                {"identifier": name, "cardinality": "multiple", "baseType": "directedPair"},
                q("defaultValue", *(q("value", pair) for pair in pairs)),
            )
            for name, pairs in pairs_of_slips(item)
        ),
        *([_feedback_outcome("FEEDBACK", q)] if says_more(item) else []),
        _feedback_outcome("SOLUTION", q),
    ]


def _feedback_outcome(identifier: str, q: Maker) -> Element:
    """An outcome that names the feedback to show."""
    return q(
        "outcomeDeclaration",
        {"identifier": identifier, "cardinality": "single", "baseType": "identifier"},
    )


def _item_body(item: Item, q: Maker, setting: Setting, stem: Blocks) -> Element:
    return q("itemBody", *setting.blocks(stem), *_interactions(item, q, setting))


def stem_of(item: Item) -> Blocks:
    """The stem; of a residue that is compared as text, the one that asks for the least."""
    match item.response:
        case IntegerEntry(modulus=int()) as entry if base_type(item) == "string":
            return for_the_least_residue(entry.least_stem)
    return item.stem


def _interactions(item: Item, q: Maker, setting: Setting) -> list[Element]:
    """One interaction; of a set one an entry, of stages one each."""
    match item.response:
        case SelectAll(options=options):
            return [_choice_interaction(choices(options), "0", q, setting)]
        case SelectOne(options=options):
            return [_choice_interaction(choices(options), "1", q, setting)]
        case TrueFalse(yes=yes, no=no):
            return [_choice_interaction([("true", yes), ("false", no)], "1", q, setting)]
        case IntegerEntry() | ListEntry() | SetEntry():
            return [_entry(*field, q, setting) for field in fields(item.response)]
        case PutInOrder(lines=lines):
            return [_order_interaction(lines, q, setting)]
        case MatchPairs(sources=sources, targets=targets):
            return [_match_interaction(sources, targets, q, setting)]
        case Guided(stages=stages):
            names = response_names(item.response)
            return [
                _stage_element(stage, name, q, setting)
                for stage, name in zip(stages, names, strict=True)
            ]


def fields(response: IntegerEntry | ListEntry | SetEntry) -> list[tuple[str, Said, int]]:
    """The response variable, the label and the width of each entry."""
    match response:
        case IntegerEntry(modulus=modulus):
            width = _COUNT_FIELD if modulus is None else max(_COUNT_FIELD, len(str(modulus)) + 1)
            return [(RESPONSE, say("Answer (one integer):"), width)]
        case ListEntry(none_word=none):
            prompt = say("Answer (a list of integers, or the word “{none}”):", none=none)
            return [(RESPONSE, prompt, _FIELD)]
        case SetEntry(modulus=modulus):
            width = max(_COUNT_FIELD, len(str(modulus)) + 1)
            return [
                (name, say("Entry {n} (one integer, or blank):", n=n), width)
                for n, name in enumerate(response_names(response), 1)
            ]


def choices(options: Iterable[Option]) -> list[tuple[str, Inlines]]:
    return [(o.identifier, o.label) for o in options]


def _choice_interaction(
    choices: Iterable[tuple[str, Inlines]], most: str, q: Maker, setting: Setting
) -> Element:
    """The options in their order, never shuffled; `most` "0" for any number of ticks."""
    return q(
        "choiceInteraction",
        {"responseIdentifier": RESPONSE, "shuffle": "false", "maxChoices": most},
        *(q("simpleChoice", {"identifier": i}, *setting.inlines(label)) for i, label in choices),
    )


def _entry(name: str, prompt: Said, width: int, q: Maker, setting: Setting) -> Element:
    """A field with its label before it in the same paragraph."""
    field = {"responseIdentifier": name, "expectedLength": str(width)}
    return q("p", f"{setting.text(prompt)} ", q("textEntryInteraction", field))


def _order_interaction(lines: Iterable[Choice], q: Maker, setting: Setting) -> Element:
    """The lines as they are shown, to be moved."""
    return q(
        "orderInteraction",
        {"responseIdentifier": RESPONSE, "shuffle": "false", "orientation": "vertical"},
        *(
            q("simpleChoice", {"identifier": line.identifier}, held(line.label, q, setting))
            for line in lines
        ),
    )


def held(label: Inlines, q: Maker, setting: Setting) -> Element:
    """A label in one element: one reader lays out the pieces of what can be moved one by one."""
    return q("span", *setting.inlines(label))


def _match_interaction(
    sources: Sequence[Choice], targets: Sequence[Choice], q: Maker, setting: Setting
) -> Element:
    """Each source takes one target, a target any number of sources."""

    def match_set(choices: Iterable[Choice], most: int) -> Element:
        return q(
            "simpleMatchSet",
            *(
                q(
                    "simpleAssociableChoice",
                    {"identifier": c.identifier, "matchMax": str(most)},
                    held(c.label, q, setting),
                )
                for c in choices
            ),
        )

    n = len(sources)
    limits = {"responseIdentifier": RESPONSE, "shuffle": "false", "maxAssociations": str(n)}
    return q("matchInteraction", limits, match_set(sources, 1), match_set(targets, n))


def _stage_element(stage: Stage, name: str, q: Maker, setting: Setting) -> Element:
    """A stage in a paragraph: its prompt, and a field or a list of words to choose from."""
    if isinstance(stage.response, ListEntry):
        field = {"responseIdentifier": name, "expectedLength": str(STAGE_FIELD)}
        answer = q("textEntryInteraction", field)
    else:
        words = (
            q("inlineChoice", {"identifier": o.identifier}, plain.inlines(o.label))
            for o in stage.response.options
        )
        answer = q(
            "inlineChoiceInteraction", {"responseIdentifier": name, "shuffle": "false"}, *words
        )
    return q("p", *setting.inlines(stage.prompt), " ", answer)


def _modal_feedback(item: Item, q: Maker, setting: Setting) -> list[Element]:
    return [
        *(
            q(
                "modalFeedback",
                {
                    "outcomeIdentifier": "FEEDBACK",
                    "identifier": name,
                    "showHide": "show",
                },
                *setting.blocks(text),
            )
            for name, text in feedback_texts(item)
        ),
        q(
            "modalFeedback",
            {
                "outcomeIdentifier": "SOLUTION",
                "identifier": "worked",
                "showHide": "show",
                "title": setting.text(say("Worked solution")),
            },
            *setting.blocks(item.solution),
        ),
    ]


def type_of(item: Item) -> Said:
    """The item's interaction in a few words, as the load card counts them."""
    match item.response:
        case SelectAll():
            return say("choice of several")
        case SelectOne() | TrueFalse():
            return say("choice of one")
        case SetEntry():
            return say("several text entries")
        case PutInOrder():
            return say("put in order")
        case MatchPairs():
            return say("match")
        case Guided():
            return say("several stages")
        case _:
            return say("text entry")


def _interaction_types(item: Item) -> list[str]:
    """The interactions of the item, in the words of the metadata (all versions)."""
    match item.response:
        case IntegerEntry() | ListEntry() | SetEntry():
            return ["textEntryInteraction"]
        case PutInOrder():
            return ["orderInteraction"]
        case MatchPairs():
            return ["matchInteraction"]
        case Guided(stages=stages):
            typed = {isinstance(stage.response, ListEntry) for stage in stages}
            words = {True: "textEntryInteraction", False: "inlineChoiceInteraction"}
            return sorted(words[t] for t in typed)
        case _:
            return ["choiceInteraction"]


def all_interactions(items: Sequence[Item]) -> list[str]:
    """Those of an item, or of its parts, each once."""
    return sorted({name for item in items for name in _interaction_types(item)})


def composite(items: Sequence[Item]) -> str:
    """Whether an item, or its parts together, have several interactions."""
    return "true" if sum(len(response_names(item.response)) for item in items) > 1 else "false"


def _item_in_parts(whole: Whole, v: Version, setting: Setting) -> Element:
    """All parts of a variant as one item, whose SCORE is the sum of theirs."""
    q = v.q
    return joined(
        whole,
        lambda item, stem: assessment_item(item, v, setting, stem),
        q,
        common=setting.blocks(whole.common),
        scores=_score_declarations(whole.points, q),
        total=_looked_up(whole, q) if whole.in_halves else _added(whole, q),
    )


def _added(whole: Whole, q: Maker) -> Element:
    scores = (q("variable", {"identifier": f"SCORE_{part.letter}"}) for part in whole.parts)
    return q("setOutcomeValue", {"identifier": "SCORE"}, q("sum", *scores))


def _looked_up(whole: Whole, q: Maker) -> Element:
    """SCORE by what each part scores."""

    def score(points: Points) -> Element:
        return q("setOutcomeValue", {"identifier": "SCORE"}, constant(q, "float", decimal(points)))

    def scored(letter: str, points: Points) -> Element:
        constant_first = constant(q, "float", decimal(points)), variable(q, f"SCORE_{letter}")
        return q("equal", {"toleranceMode": "exact"}, *constant_first)

    branches = [
        q("and", *(scored(part.letter, n) for part, n in zip(whole.parts, each, strict=True)))
        for each, _total in whole.table
    ]
    totals = [score(total) for _each, total in whole.table]
    first, *others = zip(branches, totals, strict=True)
    return q(
        "responseCondition",
        q("responseIf", *first),
        *(q("responseElseIf", *other) for other in others),
        q("responseElse", score(0)),
    )


# ------------------------------------------------------------ the package

_cp = Maker(_CP)


def write(
    release: Release, package: Package, math: str, purpose: Purpose, v: Version
) -> tuple[Count, ...]:
    """Write all members, holding one item at a time."""
    census = Census(v.format, type_of, package.executor)
    writer = Writer(
        partial(_written_item, v=v, math=math), partial(_written_whole, v=v, math=math), stem_of
    )
    sections = []
    with SpooledTemporaryFile(max_size=1 << 20) as resources:
        for groups in together(release.groups):
            section = Section(groups, [])
            for row in rows(census, release, groups, writer):
                for name, _weight, (document, resource) in row:
                    package.add(f"{name}.xml", document)
                    resources.write(resource)
                section.rows.append(tuple((name, weight) for name, weight, _piece in row))
            sections.append(section)
        where = f"{v.format}: {release.pool_id}"
        if purpose == "quiz":
            package.add(
                f"test-{release.name}.xml",
                serialised(assessment_test(release, sections, v.located, v.q), where),
            )
            resources.write(fragment(_test_resource(release, sections, v), where))
        resources.seek(0)
        before, after = around([_manifest(release, purpose, v), _cp("resources")], where)
        with package.member("imsmanifest.xml") as out:
            out.write(before)
            shutil.copyfileobj(resources, out)
            out.write(after)
    return tuple(census.counts)


def _written_item(item: Item, v: Version, math: str) -> tuple[Deflated, bytes]:
    """The item's document, and its resource in the manifest; all in the item's language."""
    where = place(v.format, item)
    setting = setting_of(math, v.namespace, item.language)
    with naming(v.format, item):
        element = assessment_item(item, v, setting)
    return deflated(serialised(element, where)), fragment(
        item_resource(item.identifier, [item], item_lom(item), v), where
    )


def _written_whole(whole: Whole, v: Version, math: str) -> tuple[Deflated, bytes]:
    """The same of all parts of a variant as one item."""
    where = place(v.format, whole.items[0])
    setting = setting_of(math, v.namespace, whole.language)
    with naming(v.format, whole.items[0]):
        element = _item_in_parts(whole, v, setting)
    return deflated(serialised(element, where)), fragment(
        item_resource(whole.identifier, whole.items, whole_lom(whole), v), where
    )


def _manifest(release: Release, purpose: Purpose, v: Version) -> Element:
    """The manifest up to its resources."""
    return _cp(
        "manifest",
        {
            "xmlns:xsi": XSI,
            "xsi:schemaLocation": " ".join(
                (
                    f"{_CP} {v.manifest_schema}",
                    f"{v.metadata_namespace} {v.metadata_schema}",
                    f"{LOM} {v.lom_schema}",
                )
            ),
            "identifier": f"manifest-{release.name}",
        },
        _cp(
            "metadata",
            _cp("schema", v.package if purpose == "quiz" else v.bank),
            _cp("schemaversion", "1.0.0"),
            release_lom(release),
        ),
        _cp("organizations"),
    )


def item_resource(name: str, items: Sequence[Item], lom: Element, v: Version) -> Element:
    """The resource of an item, or of the items that are its parts."""
    href = f"{name}.xml"
    return _cp(
        "resource",
        {"identifier": name, "type": v.item_type, "href": href},
        _cp("metadata", _qti_metadata(items, v), lom),
        _cp("file", {"href": href}),
    )


def _qti_metadata(items: Sequence[Item], v: Version) -> Element:
    m = Maker(v.metadata_namespace)
    return m(
        "qtiMetadata",
        m("itemTemplate", "false"),
        m("timeDependent", "false"),
        m("composite", composite(items)),
        *(m("interactionType", name) for name in all_interactions(items)),
        m("feedbackType", "nonadaptive"),
        m("solutionAvailable", "true"),
        m("toolName", TOOL),
        m("toolVersion", TOOL_VERSION),
        m("toolVendor", TOOL),
    )


def _test_resource(release: Release, sections: list[Section], v: Version) -> Element:
    name = f"test-{release.name}"
    return _cp(
        "resource",
        {"identifier": name, "type": v.test_type, "href": f"{name}.xml"},
        _cp("file", {"href": f"{name}.xml"}),
        *(
            _cp("dependency", {"identifierref": identifier})
            for section in sections
            for identifier in section.identifiers
        ),
    )
