"""QTI 3.0 packages.

    item-....xml             one file an item
    test-POOL-TERM.xml       for a quiz: one section a group, which draws from its items
    imsmanifest.xml          what is in the package, with the metadata of each item

An item is one interaction, or the parts of a question (`in_parts`).  Its answer
stands twice: complete in the correct response, which some platforms take alone, and in
response processing.  Feedback is modal: by slip, and the worked solution after any
attempt.  A bank has no test.

Functions are named after the elements they return, so that the file reads beside
the specification.

Source: 1EdTech Question & Test Interoperability ASI Information Model 3.0 and its XML
binding (May 2022): imsqti_asiv3p0_v1p0.xsd, imsqtiv3p0_imscpv1p2_v1p0.xsd,
imsqti_metadatav3p0_v1p0.xsd.
"""

import shutil
from collections.abc import Iterable, Sequence
from functools import partial
from tempfile import SpooledTemporaryFile

from exporters.census import Census, naming, place
from exporters.in_parts import Whole, Writer, joined, rows
from exporters.lom import item_lom, release_lom, whole_lom
from exporters.package import Deflated, Package, deflated
from exporters.qti2 import (
    STAGE_FIELD,
    all_interactions,
    choices,
    composite,
    fields,
    held,
    label,
    stem_of,
    type_of,
)
from exporters.qti2_assembly import STAFF, Section
from exporters.qti2_response import (
    RESPONSE,
    feedback_texts,
    pairs_of_slips,
    refuse_long_sets,
    response_names,
    says_more,
    score_names,
)
from exporters.qti30_response import (
    NAMESPACE,
    q,
    qti_base_value,
    qti_equal,
    qti_response_declarations,
    qti_response_processing,
    qti_set_outcome_value,
    qti_variable,
)
from exporters.release import (
    TOOL,
    TOOL_VERSION,
    Count,
    Purpose,
    Release,
    caution,
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
    PutInOrder,
    SelectAll,
    SelectOne,
    SetEntry,
    Stage,
    TrueFalse,
)
from itembank.values.points import Points, decimal

_FORMAT = "qti30"

_CP = "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1"
_METADATA = "http://www.imsglobal.org/xsd/imsqti_metadata_v3p0"
_SPEC = "https://purl.imsglobal.org/spec"

_LOCATED = {
    "xmlns:xsi": XSI,
    "xsi:schemaLocation": f"{NAMESPACE} {_SPEC}/qti/v3p0/schema/xsd/imsqti_asiv3p0_v1p0.xsd",
}

# ------------------------------------------------------------ the item


def qti_assessment_item(item: Item, setting: Setting, stem: Blocks | None = None) -> Element:
    """The item, with another stem if one is given; `setting` sets its prose and mathematics."""
    refuse_long_sets(item)
    return q(
        "qti-assessment-item",
        {
            **_LOCATED,
            "identifier": item.identifier,
            "title": item.title,
            **label(item),
            "xml:lang": item.language,
            "adaptive": "false",
            "time-dependent": "false",
            "tool-name": TOOL,
            "tool-version": TOOL_VERSION,
        },
        *qti_response_declarations(item),
        *_qti_outcome_declarations(item),
        _qti_item_body(item, setting, stem_of(item) if stem is None else stem),
        qti_response_processing(item),
        *_qti_modal_feedback(item, setting),
    )


def _qti_score_declarations(worth: Points) -> list[Element]:
    points = decimal(worth)
    return [
        q(
            "qti-outcome-declaration",
            {
                "identifier": "SCORE",
                "cardinality": "single",
                "base-type": "float",
                "normal-maximum": points,
                "normal-minimum": "0",
            },
            q("qti-default-value", q("qti-value", "0")),
        ),
        q(
            "qti-outcome-declaration",
            {"identifier": "MAXSCORE", "cardinality": "single", "base-type": "float"},
            q("qti-default-value", q("qti-value", points)),
        ),
    ]


def _qti_outcome_declarations(item: Item) -> list[Element]:
    return [
        *_qti_score_declarations(item.scoring.points),
        *(
            q(
                "qti-outcome-declaration",
                {"identifier": name, "cardinality": "single", "base-type": "float"},
            )
            for name in score_names(item.response)
        ),
        *(
            q(
                "qti-outcome-declaration",
                {"identifier": name, "cardinality": "multiple", "base-type": "directedPair"},
                q("qti-default-value", *(q("qti-value", pair) for pair in pairs)),
            )
            for name, pairs in pairs_of_slips(item)
        ),
        *([_feedback_outcome("FEEDBACK")] if says_more(item) else []),
        _feedback_outcome("SOLUTION"),
    ]


def _feedback_outcome(identifier: str) -> Element:
    """An outcome that names the feedback to show."""
    return q(
        "qti-outcome-declaration",
        {"identifier": identifier, "cardinality": "single", "base-type": "identifier"},
    )


def _qti_item_body(item: Item, setting: Setting, stem: Blocks) -> Element:
    return q("qti-item-body", *setting.blocks(stem), *_interactions(item, setting))


def _interactions(item: Item, setting: Setting) -> list[Element]:
    """One interaction; of a set one an entry, of stages one each."""
    match item.response:
        case SelectAll(options=options):
            return [_qti_choice_interaction(choices(options), "0", setting)]
        case SelectOne(options=options):
            return [_qti_choice_interaction(choices(options), "1", setting)]
        case TrueFalse(yes=yes, no=no):
            return [_qti_choice_interaction([("true", yes), ("false", no)], "1", setting)]
        case IntegerEntry() | ListEntry() | SetEntry():
            return [_qti_text_entry_interaction(*field, setting) for field in fields(item.response)]
        case PutInOrder(lines=lines):
            return [_qti_order_interaction(lines, setting)]
        case MatchPairs(sources=sources, targets=targets):
            return [_qti_match_interaction(sources, targets, setting)]
        case Guided(stages=stages):
            names = response_names(item.response)
            return [
                _stage_element(stage, name, setting)
                for stage, name in zip(stages, names, strict=True)
            ]


def _qti_choice_interaction(
    choices: Iterable[tuple[str, Inlines]], most: str, setting: Setting
) -> Element:
    """The options in their order, never shuffled; `most` "0" for any number of ticks."""
    return q(
        "qti-choice-interaction",
        {"response-identifier": RESPONSE, "shuffle": "false", "max-choices": most},
        *(
            q("qti-simple-choice", {"identifier": identifier}, *setting.inlines(words))
            for identifier, words in choices
        ),
    )


def _qti_text_entry_interaction(name: str, prompt: Said, width: int, setting: Setting) -> Element:
    """A field with its label before it in the same paragraph, and on it for those who hear it."""
    label = setting.text(prompt)
    field = {
        "response-identifier": name,
        "expected-length": str(width),
        "aria-label": label.rstrip(":"),
    }
    return q("p", f"{label} ", q("qti-text-entry-interaction", field))


def _qti_order_interaction(lines: Iterable[Choice], setting: Setting) -> Element:
    """The lines as they are shown, to be moved."""
    return q(
        "qti-order-interaction",
        {"response-identifier": RESPONSE, "shuffle": "false", "orientation": "vertical"},
        *(
            q("qti-simple-choice", {"identifier": line.identifier}, held(line.label, q, setting))
            for line in lines
        ),
    )


def _qti_match_interaction(
    sources: Sequence[Choice], targets: Sequence[Choice], setting: Setting
) -> Element:
    """Each source takes one target, a target any number of sources."""
    n = len(sources)
    limits = {"response-identifier": RESPONSE, "shuffle": "false", "max-associations": str(n)}
    return q(
        "qti-match-interaction",
        limits,
        _qti_simple_match_set(sources, 1, setting),
        _qti_simple_match_set(targets, n, setting),
    )


def _qti_simple_match_set(choices: Iterable[Choice], most: int, setting: Setting) -> Element:
    return q(
        "qti-simple-match-set",
        *(
            q(
                "qti-simple-associable-choice",
                {"identifier": c.identifier, "match-max": str(most)},
                held(c.label, q, setting),
            )
            for c in choices
        ),
    )


def _stage_element(stage: Stage, name: str, setting: Setting) -> Element:
    """A stage in a paragraph: its prompt, and a field or a list of words to choose from."""
    label = plain.inlines(stage.prompt).rstrip(":")
    if isinstance(stage.response, ListEntry):
        answer = q(
            "qti-text-entry-interaction",
            {
                "response-identifier": name,
                "expected-length": str(STAGE_FIELD),
                "aria-label": label,
            },
        )
    else:
        answer = q(
            "qti-inline-choice-interaction",
            {"response-identifier": name, "shuffle": "false", "aria-label": label},
            *(
                q("qti-inline-choice", {"identifier": o.identifier}, plain.inlines(o.label))
                for o in stage.response.options
            ),
        )
    return q("p", *setting.inlines(stage.prompt), " ", answer)


def _qti_modal_feedback(item: Item, setting: Setting) -> list[Element]:
    title = setting.text(say("Worked solution"))
    return [
        *(_modal("FEEDBACK", name, {}, text, setting) for name, text in feedback_texts(item)),
        _modal("SOLUTION", "worked", {"title": title}, item.solution, setting),
    ]


def _modal(
    outcome: str, identifier: str, title: dict[str, str], text: Blocks, setting: Setting
) -> Element:
    """Feedback shown while the outcome holds the identifier."""
    return q(
        "qti-modal-feedback",
        {
            "outcome-identifier": outcome,
            "identifier": identifier,
            "show-hide": "show",
            **title,
        },
        q("qti-content-body", *setting.blocks(text)),
    )


def qti_item_in_parts(whole: Whole, setting: Setting) -> Element:
    """All parts of a variant as one item, whose SCORE is the sum of theirs."""
    return joined(
        whole,
        lambda item, stem: qti_assessment_item(item, setting, stem),
        q,
        common=setting.blocks(whole.common),
        scores=_qti_score_declarations(whole.points),
        total=_looked_up(whole) if whole.in_halves else _added(whole),
    )


def _added(whole: Whole) -> Element:
    scores = (qti_variable(f"SCORE_{part.letter}") for part in whole.parts)
    return q("qti-set-outcome-value", {"identifier": "SCORE"}, q("qti-sum", *scores))


def _looked_up(whole: Whole) -> Element:
    """SCORE by what each part scores."""

    def scored(letter: str, points: Points) -> Element:
        return qti_equal(qti_base_value("float", decimal(points)), qti_variable(f"SCORE_{letter}"))

    branches = [
        (
            q("qti-and", *(scored(p.letter, n) for p, n in zip(whole.parts, each, strict=True))),
            qti_set_outcome_value("SCORE", "float", decimal(total)),
        )
        for each, total in whole.table
    ]
    first, *others = branches
    return q(
        "qti-response-condition",
        q("qti-response-if", *first),
        *(q("qti-response-else-if", *other) for other in others),
        q("qti-response-else", qti_set_outcome_value("SCORE", "float", "0")),
    )


# ------------------------------------------------------------ the test


def _qti_assessment_test(release: Release, sections: list[Section]) -> Element:
    """A section a group; each draws `choose` of its items and puts them in random order.

    One attempt, and no feedback or solution: what a student may see, and when, is
    for the platform to say once the quiz is closed.
    """
    total = q("qti-test-variables", {"variable-identifier": "SCORE", "weight-identifier": "POINTS"})
    return q(
        "qti-assessment-test",
        {
            **_LOCATED,
            "identifier": f"test-{release.name}",
            "title": release.title,
            "tool-name": TOOL,
            "tool-version": TOOL_VERSION,
        },
        q(
            "qti-outcome-declaration",
            {"identifier": "SCORE", "cardinality": "single", "base-type": "float"},
        ),
        q(
            "qti-test-part",
            {
                "identifier": "part-1",
                "navigation-mode": "nonlinear",
                "submission-mode": "simultaneous",
            },
            q(
                "qti-item-session-control",
                {"max-attempts": "1", "show-feedback": "false", "show-solution": "false"},
            ),
            *(
                _qti_assessment_section(n, section, [_qti_rubric_block(release)] if n == 1 else [])
                for n, section in enumerate(sections, 1)
            ),
        ),
        q(
            "qti-outcome-processing",
            q("qti-set-outcome-value", {"identifier": "SCORE"}, q("qti-sum", total)),
        ),
    )


def _qti_assessment_section(n: int, section: Section, rubric: list[Element]) -> Element:
    return q(
        "qti-assessment-section",
        {"identifier": f"section-{n}", "title": section.groups.title, "visible": "true"},
        q("qti-selection", {"select": str(section.groups.choose)}),
        q("qti-ordering", {"shuffle": "true"}),
        *rubric,
        *(_drawn(f"section-{n}-{i}", section, row) for i, row in enumerate(section.rows, 1)),
    )


def _drawn(name: str, section: Section, row: tuple[tuple[str, int], ...]) -> Element:
    """What is drawn: an item; where parts of a question are items a section of all, in order."""
    refs = [_qti_assessment_item_ref(identifier, weight) for identifier, weight in row]
    if len(row) == 1:
        return refs[0]
    return q(
        "qti-assessment-section",
        {
            "identifier": name,
            "title": section.groups.title,
            "visible": "true",
            "keep-together": "true",
        },
        q("qti-ordering", {"shuffle": "false"}),
        *refs,
    )


def _qti_assessment_item_ref(identifier: str, weight: int) -> Element:
    return q(
        "qti-assessment-item-ref",
        {"identifier": identifier, "href": f"{identifier}.xml"},
        q("qti-weight", {"identifier": "POINTS", "value": str(weight)}),
    )


def _qti_rubric_block(release: Release) -> Element:
    """The caution, for all but the student."""
    return q(
        "qti-rubric-block",
        {"xml:lang": release.language, "use": "instructions", "view": STAFF},
        q("qti-content-body", q("p", caution(release.language))),
    )


# ------------------------------------------------------------ the package

_cp = Maker(_CP)
_m = Maker(_METADATA)


def write(release: Release, package: Package, math: str, purpose: Purpose) -> tuple[Count, ...]:
    """Write all members, holding one item at a time."""
    census = Census(_FORMAT, type_of, package.executor)
    writer = Writer(partial(_written_item, math=math), partial(_written_whole, math=math), stem_of)
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
        where = f"{_FORMAT}: {release.pool_id}"
        if purpose == "quiz":
            test = serialised(_qti_assessment_test(release, sections), where)
            package.add(f"test-{release.name}.xml", test)
            resources.write(fragment(_test_resource(release, sections), where))
        resources.seek(0)
        before, after = around([_manifest(release, purpose), _cp("resources")], where)
        with package.member("imsmanifest.xml") as out:
            out.write(before)
            shutil.copyfileobj(resources, out)
            out.write(after)
    return tuple(census.counts)


def _written_item(item: Item, math: str) -> tuple[Deflated, bytes]:
    """The item's document, and its resource in the manifest; all in the item's language."""
    where = place(_FORMAT, item)
    setting = setting_of(math, NAMESPACE, item.language)
    with naming(_FORMAT, item):
        element = qti_assessment_item(item, setting)
    resource = _item_resource(item.identifier, [item], item_lom(item))
    return deflated(serialised(element, where)), fragment(resource, where)


def _written_whole(whole: Whole, math: str) -> tuple[Deflated, bytes]:
    """The same of all parts of a variant as one item."""
    first = whole.items[0]
    where = place(_FORMAT, first)
    setting = setting_of(math, NAMESPACE, whole.language)
    with naming(_FORMAT, first):
        element = qti_item_in_parts(whole, setting)
    resource = _item_resource(whole.identifier, whole.items, whole_lom(whole))
    return deflated(serialised(element, where)), fragment(resource, where)


def _manifest(release: Release, purpose: Purpose) -> Element:
    """The manifest up to its resources."""
    return _cp(
        "manifest",
        {
            "xmlns:xsi": XSI,
            "xsi:schemaLocation": " ".join(
                (
                    f"{_CP} {_SPEC}/qti/v3p0/schema/xsd/imsqtiv3p0_imscpv1p2_v1p0.xsd",
                    f"{_METADATA} {_SPEC}/qti/v3p0/schema/xsd/imsqti_metadatav3p0_v1p0.xsd",
                    f"{LOM} {_SPEC}/md/v1p3/schema/xsd/imsmd_loose_v1p3p2.xsd",
                )
            ),
            "identifier": f"manifest-{release.name}",
        },
        _cp(
            "metadata",
            _cp("schema", "QTI Package" if purpose == "quiz" else "QTI Item Bank"),
            _cp("schemaversion", "3.0.0"),
            release_lom(release),
        ),
        _cp("organizations"),
    )


def _item_resource(name: str, items: Sequence[Item], lom: Element) -> Element:
    """The resource of an item, or of the items that are its parts."""
    href = f"{name}.xml"
    return _cp(
        "resource",
        {"identifier": name, "type": "imsqti_item_xmlv3p0", "href": href},
        _cp("metadata", _qti_metadata(items), lom),
        _cp("file", {"href": href}),
    )


def _qti_metadata(items: Sequence[Item]) -> Element:
    return _m(
        "qtiMetadata",
        _m("itemTemplate", "false"),
        _m("timeDependent", "false"),
        _m("composite", composite(items)),
        *(_m("interactionType", name) for name in all_interactions(items)),
        _m("feedbackType", "nonadaptive"),
        _m("solutionAvailable", "true"),
        _m("scoringMode", "responseprocessing"),
        _m("toolName", TOOL),
        _m("toolVersion", TOOL_VERSION),
        _m("toolVendor", TOOL),
    )


def _test_resource(release: Release, sections: list[Section]) -> Element:
    name = f"test-{release.name}"
    return _cp(
        "resource",
        {"identifier": name, "type": "imsqti_test_xmlv3p0", "href": f"{name}.xml"},
        _cp("file", {"href": f"{name}.xml"}),
        *(
            _cp("dependency", {"identifierref": identifier})
            for section in sections
            for identifier in section.identifiers
        ),
    )
