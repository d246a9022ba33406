"""A finished package, read back and judged item by item.

    report = audit_package(Path("congruences.zip"))
    print(report.as_text())

Of every item the question is recovered from what the student reads, the key is
recomputed a second way, and the item's own scoring is run on right and wrong
answers.  An item that uses what is not known here is unchecked, never passed.
"""

from collections.abc import Iterable, Iterator
from concurrent.futures import Executor
from itertools import chain
from pathlib import Path

from itembank.audit import printed
from itembank.audit.assembly import misweighed
from itembank.audit.container import Container
from itembank.audit.contents import Contents, Reader
from itembank.audit.item import item_report
from itembank.audit.parts import apart, first_of_each, misplaced
from itembank.audit.report import ItemReport, Report
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import Element, parsed, sent
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
    with Container(path) as container:
        contents = Contents(container)
        reports = tuple(reports_of(contents.items(), executor, stories))
        findings = list(contents.findings)
    parts = [(report.identifier, report.part) for report in reports]
    if any(part is not None for _name, part in parts):
        if not contents.on_paper:
            findings += apart("", parts)
        for name, test in contents.tests.items():
            findings += misplaced(name, test, first_of_each(parts))
    for name, test in contents.tests.items():
        findings += misweighed(name, test, reports)
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
    return Report(path.name, reports, tuple(findings))


def reports_of(
    found: Iterable[tuple[Element, Reader]],
    executor: Executor | None,
    stories: frozenset[str] = frozenset(),
) -> Iterator[ItemReport]:
    """The reports in the order of the items; those of printed pages, which come last, made here."""
    if executor is None:
        return (element_report(element, reader, stories) for element, reader in found)
    here: list[ItemReport] = []

    def to_send() -> Iterator[tuple[bytes, Reader, frozenset[str]]]:
        for element, reader in found:
            if reader is printed.seen_item:
                here.append(element_report(element, reader, stories))
            else:
                yield sent(element), reader, stories

    tasks = several(to_send(), together(executor))
    return chain(chain.from_iterable(in_order(sent_reports, tasks, executor)), here)


def sent_reports(lot: Iterable[tuple[bytes, Reader, frozenset[str]]]) -> list[ItemReport]:
    """The reports on items that were sent, in any process."""
    return [element_report(parsed(data), reader, stories) for data, reader, stories in lot]


def element_report(
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
