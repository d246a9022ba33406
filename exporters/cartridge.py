"""Common Cartridge question banks and quizzes: all that 1.1, 1.2 and 1.3 share.

    bank-POOL-TERM.xml       or quiz-POOL-TERM.xml: every item, QTI 1.2.1 as profiled
    imsmanifest.xml          what is in the package, with its metadata

What it cannot say, beside what `qti1` says of items: a random draw.

Source: IMS Common Cartridge 1.1 to 1.3, with the profile of IMS Question & Test
Interoperability ASI 1.2.1; its XML binding and Schematron rules.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cached_property, partial

from exporters import lom
from exporters.census import Census
from exporters.package import Package
from exporters.qti1 import QTI, qtimetadata, type_of, written_item, x
from exporters.release import (
    TOOL,
    Count,
    Group,
    Purpose,
    Release,
    caution,
    description,
    rights,
    together,
)
from exporters.xml import XSI, around, serialised
from itembank.notation.elements import Element, Maker
from itembank.values.errors import ExportError
from itembank.values.item import Item
from itembank.values.worded import worded


@dataclass(frozen=True, kw_only=True)
class Version:
    """What 1.1, 1.2 and 1.3 differ in."""

    format: str
    number: str
    namespace: str
    manifest_schema: str
    lom_namespace: str
    lom_schema: str
    qti_schema: str
    bank_type: str
    quiz_type: str
    role_vocabulary: str
    sourced: bool = True
    """Whether the other terms of the metadata name their vocabulary."""
    implementer: str = lom.IMPLEMENTER

    @cached_property
    def cp(self) -> Maker:
        return Maker(self.namespace)

    @cached_property
    def md(self) -> Maker:
        return Maker(self.lom_namespace)


# ------------------------------------------------------------ the package


def write(
    release: Release, package: Package, math: str, purpose: Purpose, v: Version
) -> tuple[Count, ...]:
    """Write all members, holding one item at a time."""
    census = Census(v.format, type_of, package.executor)
    outcomes: dict[str, None] = {}
    where = f"{v.format}: {release.pool_id}"
    shell = _bank(release, v) if purpose == "bank" else _quiz(release, v)
    before, after = around(shell, where)

    def writer(group: Group) -> Callable[[Item], bytes]:
        return partial(written_item, group=replace(group, items=()), math=math, format=v.format)

    with package.member(f"{purpose}-{release.name}.xml") as out:
        out.write(before)
        for groups in together(release.groups):
            for row in census.of_all(groups, writer):
                for _group, passed, data in row:
                    out.write(data)
                    outcomes.update(dict.fromkeys(passed.outcomes))
            if purpose == "quiz":
                _refuse_a_draw(census.counts[-1], v.format)
        out.write(after)
    package.add("imsmanifest.xml", serialised(_manifest(release, outcomes, purpose, v), where))
    return tuple(census.counts)


def _refuse_a_draw(count: Count, format: str) -> None:
    group = count.group
    if group.choose < count.items:
        raise ExportError(
            worded(
                "{format}: group {family}: draws {choose} of {items} items, and a quiz in this "
                "format holds each question once; write a bank, or as many items as are drawn",
                format=format,
                family=group.family,
                choose=group.choose,
                items=count.items,
            )
        )


def _located(v: Version) -> dict[str, str]:
    return {"xmlns:xsi": XSI, "xsi:schemaLocation": f"{QTI} {v.qti_schema}"}


def _bank(release: Release, v: Version) -> list[Element]:
    """The elements around the items of a question bank."""
    return [x("questestinterop", _located(v)), x("objectbank", {"ident": f"bank-{release.name}"})]


def _quiz(release: Release, v: Version) -> list[Element]:
    """The elements around the items of a quiz: one assessment with one section."""
    return [
        x("questestinterop", _located(v)),
        x(
            "assessment",
            {
                "ident": f"quiz-{release.name}",
                "title": release.title,
                "xml:lang": release.language,
            },
            qtimetadata(
                ("cc_profile", "cc.exam.v0p1"),
                ("qmd_assessmenttype", "Examination"),
                ("cc_maxattempts", "1"),
            ),
        ),
        x("section", {"ident": "section-1", "xml:lang": release.language}),
    ]


def _manifest(release: Release, outcomes: Iterable[str], purpose: Purpose, v: Version) -> Element:
    cp = v.cp
    name = f"{purpose}-{release.name}"
    types = {"bank": v.bank_type, "quiz": v.quiz_type}
    return cp(
        "manifest",
        {
            "xmlns:xsi": XSI,
            "xsi:schemaLocation": (
                f"{v.namespace} {v.manifest_schema} {v.lom_namespace} {v.lom_schema}"
            ),
            "identifier": f"manifest-{release.name}",
        },
        cp(
            "metadata",
            cp("schema", "IMS Common Cartridge"),
            cp("schemaversion", v.number),
            _release_lom(release, outcomes, v),
        ),
        cp("organizations", _organization(release, purpose, cp)),
        cp(
            "resources",
            cp(
                "resource",
                {"identifier": name, "type": types[purpose]},
                cp("file", {"href": f"{name}.xml"}),
            ),
        ),
    )


def _organization(release: Release, purpose: Purpose, cp: Maker) -> Element:
    """The table of contents: the quiz; a bank must not stand in it (rule 8a)."""
    entries = []
    if purpose == "quiz":
        entry = {"identifier": "entry-1", "identifierref": f"quiz-{release.name}"}
        entries = [cp("item", entry, cp("title", release.title))]
    return cp(
        "organization",
        {"identifier": "contents", "structure": "rooted-hierarchy"},
        cp("item", {"identifier": "root"}, *entries),
    )


def _release_lom(release: Release, outcomes: Iterable[str], v: Version) -> Element:
    md, language = v.md, release.language
    source = lom.SOURCE if v.sourced else ""
    kind = [] if v.sourced else [lom.term(md, "learningResourceType", "IMS Common Cartridge", "")]
    return md(
        "lom",
        md(
            "general",
            lom.identifier(md, TOOL, release.name),
            lom.string(md, "title", release.title, language),
            md("language", language),
            lom.string(md, "description", description(release), language),
            lom.string(md, "description", caution(language), language),
        ),
        lom.made_by(md, source, v.implementer),
        md(
            "educational",
            *kind,
            lom.term(md, "intendedEndUserRole", "Instructor", v.role_vocabulary),
        ),
        lom.rights(md, rights(release), language, source),
        *lom.objectives(md, outcomes, language, source),
    )
