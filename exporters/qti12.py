"""QTI 1.2.1 content packages.

    bank-POOL-TERM.xml       or quiz-POOL-TERM.xml: every item
    imsmanifest.xml          what is in the package, with its metadata

A bank is one objectbank.  A quiz is one assessment with a section a group, which draws
from its items and puts them in random order.  Items are as in the cartridges, with the fields
that their importers go by, but each accepted spelling has a condition of its own.

Source: IMS Question & Test Interoperability ASI 1.2.1, XML binding: ims_qtiasiv1p2p1.xsd;
ASI Selection & Ordering 1.2; IMS Content Packaging 1.1.4: imscp_v1p1.xsd.
"""

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial

from exporters.census import Census
from exporters.lom import release_lom
from exporters.package import Package
from exporters.qti1 import QTI, qtimetadata, type_of, written_item, x
from exporters.release import Count, Group, Purpose, Release, Together, together
from exporters.xml import GAP, LOM, XSI, around, fragment, serialised
from itembank.notation.elements import Element, Maker
from itembank.values.item import Item

_FORMAT = "qti12"

_XSD = "http://www.imsglobal.org/xsd"
_CP = f"{_XSD}/imscp_v1p1"

_LOCATED = {"xmlns:xsi": XSI, "xsi:schemaLocation": f"{QTI} {_XSD}/ims_qtiasiv1p2p1.xsd"}

_cp = Maker(_CP)


# ------------------------------------------------------------ the items and what holds them


def _bank(release: Release) -> list[Element]:
    """The elements around the items of a bank."""
    return [x("questestinterop", _LOCATED), x("objectbank", {"ident": f"bank-{release.name}"})]


def _quiz(release: Release) -> list[Element]:
    """The elements around the sections of a quiz."""
    return [
        x("questestinterop", _LOCATED),
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
    ]


def _section(n: int, groups: Together, language: str) -> Element:
    """The section of a group, with a gap for its items: how many are drawn, in random order."""
    return x(
        "section",
        {"ident": f"section-{n}", "title": groups.title, "xml:lang": language},
        x(
            "selection_ordering",
            x("selection", x("selection_number", str(groups.choose))),
            x("order", {"order_type": "Random"}),
        ),
        GAP,
    )


def _parts_of_a_variant(name: str, groups: Together, language: str) -> Element:
    """The section of a question in parts, with a gap for these: all of them, in their order."""
    return x(
        "section",
        {"ident": name, "title": groups.title, "xml:lang": language},
        x("selection_ordering", x("order", {"order_type": "Sequential"})),
        GAP,
    )


# ------------------------------------------------------------ the package


def write(release: Release, package: Package, math: str, purpose: Purpose) -> tuple[Count, ...]:
    """Write all members, holding one item at a time."""
    census = Census(_FORMAT, type_of, package.executor)
    outcomes: dict[str, None] = {}
    where = f"{_FORMAT}: {release.pool_id}"
    before, after = around(_bank(release) if purpose == "bank" else _quiz(release), where)

    def writer(group: Group) -> Callable[[Item], bytes]:
        own = replace(group, items=())
        return partial(written_item, group=own, math=math, format=_FORMAT, plain=True)

    with package.member(f"{purpose}-{release.name}.xml") as out:
        out.write(before)
        for n, groups in enumerate(together(release.groups), 1):
            begin, end = b"", b""
            in_sections = purpose == "quiz" and len(groups.groups) > 1
            if purpose == "quiz":
                begin, end = _around_a_gap(_section(n, groups, release.language), where)
            out.write(begin)
            for i, row in enumerate(census.of_all(groups, writer), 1):
                opening, closing = b"", b""
                if in_sections:
                    own = _parts_of_a_variant(f"section-{n}-{i}", groups, release.language)
                    opening, closing = _around_a_gap(own, where)
                out.write(opening)
                for _group, passed, data in row:
                    out.write(data)
                    outcomes.update(dict.fromkeys(passed.outcomes))
                out.write(closing)
            out.write(end)
        out.write(after)
    package.add("imsmanifest.xml", serialised(_manifest(release, outcomes, purpose), where))
    return tuple(census.counts)


def _around_a_gap(element: Element, where: str) -> tuple[bytes, bytes]:
    """What stands before the gap of an element, and after it."""
    before, after = fragment(element, where).split(GAP.encode())
    return before, after


def _manifest(release: Release, outcomes: Iterable[str], purpose: Purpose) -> Element:
    name = f"{purpose}-{release.name}"
    return _cp(
        "manifest",
        {
            "xmlns:xsi": XSI,
            "xsi:schemaLocation": (
                f"{_CP} {_XSD}/imscp_v1p1.xsd {LOM} {_XSD}/imsmd_loose_v1p3p2.xsd"
            ),
            "identifier": f"manifest-{release.name}",
        },
        _cp(
            "metadata",
            _cp("schema", "IMS Content"),
            _cp("schemaversion", "1.1.4"),
            release_lom(release, outcomes),
        ),
        _cp("organizations"),
        _cp(
            "resources",
            _cp(
                "resource",
                {"identifier": name, "type": "imsqti_xmlv1p2", "href": f"{name}.xml"},
                _cp("file", {"href": f"{name}.xml"}),
            ),
        ),
    )
