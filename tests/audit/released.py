"""One item in a package of its own, and what the audit says of it."""

from pathlib import Path

from exporters.formats import write_package
from exporters.release import Group, Release
from itembank.audit import audit_package
from itembank.audit.report import ItemReport
from itembank.values.item import Item


def report_of(item: Item, folder: Path, format: str = "qti21") -> ItemReport:
    group = Group(family="alone", title=item.title, items=(item,), choose=1, points=1)
    release = Release(
        pool_id="alone", title="One item", course="NT 210", term="2027-spring",
        language=item.language, groups=(group,),
    )  # fmt: skip
    path = folder / f"{format}.zip"
    write_package(format, release, path)
    (report,) = audit_package(path).items
    return report
