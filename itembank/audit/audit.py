"""A finished package, read back and judged item by item.

    report = audit_package(Path("congruences.zip"))
    print(report.as_text())

Of every item the question is recovered from what the student reads, the key is
recomputed a second way, and the item's own scoring is run on right and wrong
answers.  An item that uses what is not known here is unchecked, never passed.
"""

from concurrent.futures import Executor
from dataclasses import dataclass
from pathlib import Path

from itembank.audit.container import Container
from itembank.audit.contents import Contents, Reader
from itembank.audit.item import item_report
from itembank.audit.report import ItemReport, Report
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import Element


def audit_package(path: Path, executor: Executor | None = None) -> Report:
    """The report on a package; PackageError if it is none, or not a safe one.

    With an executor the items are judged in shares; what is reported does not depend on it.
    """
    if executor is None:
        found = [audit_share(path, 0, 1)]
    else:
        waiting = [executor.submit(audit_share, path, n, SHARES) for n in range(SHARES)]
        found = [future.result() for future in waiting]
    numbered = sorted((pair for share in found for pair in share.items), key=lambda pair: pair[0])
    reports = tuple(report for _number, report in numbered)
    findings = list(found[0].findings)
    seen: set[str] = set()
    for report in reports:
        if report.identifier in seen:
            findings.append(f"{report.identifier}: expected each identifier once, got it twice")
        seen.add(report.identifier)
    if not reports:
        findings.append(f"{path.name}: expected items, got none")
    return Report(path.name, reports, tuple(findings))


SHARES = 4
"""Into how many shares the items are dealt out where several processes audit."""


@dataclass(frozen=True)
class Share:
    """Every so-many-th item with its number, and what is wrong with the package itself."""

    items: tuple[tuple[int, ItemReport], ...]
    findings: tuple[str, ...]


def audit_share(path: Path, number: int, shares: int) -> Share:
    """The items whose place in the package is `number` modulo `shares`."""
    with Container(path) as container:
        contents = Contents(container)
        reports = [
            (place, element_report(element, reader))
            for place, (element, reader) in enumerate(contents.items())
            if place % shares == number
        ]
        return Share(tuple(reports), tuple(contents.findings))


def element_report(element: Element, reader: Reader) -> ItemReport:
    try:
        return item_report(reader(element))
    except Unsupported as reason:
        identifier = (
            element.get("identifier")
            or element.get("ident")
            or element.get("id")
            or "an item without identifier"
        )
        return ItemReport(identifier, element.get("title", ""), "unchecked", str(reason))
