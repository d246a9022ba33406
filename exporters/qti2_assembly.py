"""The test file of QTI 2.x: what a student is given of a release, in sections.

Source: IMS QTI 2.1 and 2.2, Assessment, Section and Item Information Model.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from exporters.release import (
    TOOL,
    TOOL_VERSION,
    Release,
    Together,
    caution,
)
from itembank.notation.elements import Element, Maker

STAFF = "author proctor scorer testConstructor tutor"
"""Every view but the candidate's."""


@dataclass(frozen=True)
class Section:
    """A group, or the parts of one, with what item references need: identifiers and weights.

    rows: a variant each: one item, or one for each of its parts.
    """

    groups: Together
    rows: list[tuple[tuple[str, int], ...]]

    @property
    def identifiers(self) -> Iterator[str]:
        return (identifier for row in self.rows for identifier, _weight in row)


def assessment_test(
    release: Release, sections: list[Section], located: Mapping[str, str], q: Maker
) -> Element:
    """A section a group; each draws `choose` of its items and puts them in random order.

    One attempt, and no feedback or solution: what a student may see, and when, is
    for the platform to say once the quiz is closed.
    """
    total = q("testVariables", {"variableIdentifier": "SCORE", "weightIdentifier": "POINTS"})
    return q(
        "assessmentTest",
        {
            **located,
            "identifier": f"test-{release.name}",
            "title": release.title,
            "toolName": TOOL,
            "toolVersion": TOOL_VERSION,
        },
        q(
            "outcomeDeclaration",
            {"identifier": "SCORE", "cardinality": "single", "baseType": "float"},
        ),
        q(
            "testPart",
            {
                "identifier": "part-1",
                "navigationMode": "nonlinear",
                "submissionMode": "simultaneous",
            },
            q(
                "itemSessionControl",
                {"maxAttempts": "1", "showFeedback": "false", "showSolution": "false"},
            ),
            *(
                _assessment_section(n, section, [_rubric_block(release, q)] if n == 1 else [], q)
                for n, section in enumerate(sections, 1)
            ),
        ),
        q(
            "outcomeProcessing",
            q("setOutcomeValue", {"identifier": "SCORE"}, q("sum", total)),
        ),
    )


def _assessment_section(n: int, section: Section, rubric: list[Element], q: Maker) -> Element:
    return q(
        "assessmentSection",
        {"identifier": f"section-{n}", "title": section.groups.title, "visible": "true"},
        q("selection", {"select": str(section.groups.choose)}),
        q("ordering", {"shuffle": "true"}),
        *rubric,
        *(_drawn(f"section-{n}-{i}", section, row, q) for i, row in enumerate(section.rows, 1)),
    )


def _drawn(name: str, section: Section, row: tuple[tuple[str, int], ...], q: Maker) -> Element:
    """What is drawn: an item; where parts of a question are items a section of all, in order."""
    refs = [_item_ref(identifier, weight, q) for identifier, weight in row]
    if len(row) == 1:
        return refs[0]
    return q(
        "assessmentSection",
        {
            "identifier": name,
            "title": section.groups.title,
            "visible": "true",
            "keepTogether": "true",
        },
        q("ordering", {"shuffle": "false"}),
        *refs,
    )


def _item_ref(identifier: str, weight: int, q: Maker) -> Element:
    return q(
        "assessmentItemRef",
        {"identifier": identifier, "href": f"{identifier}.xml"},
        q("weight", {"identifier": "POINTS", "value": str(weight)}),
    )


def _rubric_block(release: Release, q: Maker) -> Element:
    """The caution, for all but the student."""
    return q(
        "rubricBlock",
        {"xml:lang": release.language, "view": STAFF},
        q("p", caution(release.language)),
    )
