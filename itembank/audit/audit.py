"""A finished package, read back and judged item by item.

    report = audit_package(Path("congruences.zip"))
    print(report.as_text())

Of every item the question is recovered from what the student reads, the key is
recomputed a second way, and the item's own scoring is run on right and wrong
answers.  An item that uses what is not known here is unchecked, never passed.
"""

from collections.abc import Iterable, Iterator
from concurrent.futures import Executor
from functools import partial
from pathlib import Path
from sys import intern
from typing import NamedTuple

from itembank.audit.assembly import misweighed, twice
from itembank.audit.container import MANIFEST, Container
from itembank.audit.contents import Contents
from itembank.audit.item import item_report
from itembank.audit.parts import apart, first_of_each, misplaced
from itembank.audit.pieces import Found, Piece, Reader
from itembank.audit.report import ItemReport, Report
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import Element
from itembank.values.sharing import in_order, several, together
from itembank.values.worded import worded, wording


def audit_package(
    path: Path, executor: Executor | None = None, stories: frozenset[str] = frozenset()
) -> Report:
    """The report on a package; PackageError if it is none, or not a safe one.

    An executor shares the judging of items; what is reported does not depend on it.  `stories`:
    the identifiers of items whose story, as it stands, a person has accepted in the place of the
    question; without that word such an item is unchecked.
    """
    reports: list[ItemReport] = []
    with Container(path) as container:
        contents = Contents(container)
        for some in _judged_of(contents, executor, stories):
            reports += some.reports()
            contents.add(some.found)
        reports += (_element_report(*question, stories) for question in contents.printed())
        contents.read_the_rest()
        findings = list(contents.findings)
    parts = [(report.identifier, report.part) for report in reports]
    if any(part is not None for _name, part in parts):
        if not contents.on_paper:
            findings += apart("", parts)
        for name, test in contents.tests.items():
            findings += misplaced(name, test, first_of_each(parts))
    wholes = contents.found.wholes
    findings += twice(MANIFEST, [whole for whole, _parts in wholes])
    for name, test in contents.tests.items():
        findings += misweighed(name, test, reports, dict(wholes))
    seen: set[str] = set()
    for report in reports:
        if report.identifier in seen:
            findings.append(
                worded(
                    "{identifier}: expected each identifier once, got it twice",
                    identifier=report.identifier,
                )
            )
        seen.add(report.identifier)
    if not reports:
        findings.append(worded("{name}: expected items, got none", name=path.name))
    return Report(path.name, tuple(reports), tuple(findings))


class Judged(NamedTuple):
    """What was found in a few pieces; of most items a row of `agreed`, whose report is made of it.

    `unlike` are the reports of the others by place.
    """

    agreed: list[tuple[str, str, str]]
    """Identifier, title and how the key was proved."""
    unlike: dict[int, ItemReport]
    found: Found

    def reports(self) -> Iterator[ItemReport]:
        """The reports in order."""
        rest = iter(self.agreed)
        for n in range(len(self.agreed) + len(self.unlike)):
            if n in self.unlike:
                yield self.unlike[n]
            else:
                identifier, title, how = next(rest)
                yield ItemReport(identifier, title, "agreed", intern(how))


def _judged_of(
    contents: Contents, executor: Executor | None, stories: frozenset[str]
) -> Iterator[Judged]:
    """What is found in the pieces of a package, some together, in their order."""
    work = partial(judged, contents.container.package, stories)
    if executor is None:
        return (work((piece,)) for piece in contents.pieces())
    pieces = (piece.sent() for piece in contents.pieces())
    return in_order(work, several(pieces, together(executor)), executor, all_wanted=True)


def judged(package: str, stories: frozenset[str], pieces: Iterable[Piece]) -> Judged:
    """What is found in pieces of a package, in any process."""
    found = Found()
    reports = [
        _element_report(element, reader, stories)
        for piece in pieces
        for element, reader in piece.opened(package, found)
    ]
    agreed, unlike = [], {}
    for n, report in enumerate(reports):
        row = report.identifier, report.title, report.how
        if report == ItemReport(*row[:2], "agreed", row[2]) and type(report.how) is str:
            agreed.append((intern(row[0]), row[1], intern(row[2])))  # a text twice is sent once
        else:
            unlike[n] = report
    return Judged(agreed, unlike, found)


def _element_report(
    element: Element, reader: Reader, stories: frozenset[str] = frozenset()
) -> ItemReport:
    try:
        return item_report(reader(element), stories)
    except Unsupported as reason:
        identifier = (
            element.get("identifier")
            or element.get("ident")
            or element.get("id")
            or "an item without identifier"
        )
        return ItemReport(identifier, element.get("title", ""), "unchecked", wording(reason))
