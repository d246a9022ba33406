"""A finished package as the packet shows it: what its own files show, key and feedback included.

It is read by the audit's readers, which share nothing with what wrote it; the evidence is derived
anew from the statement that each item carries.  The hash of an item is over the lines shown.
"""

from collections.abc import Iterator, Sequence
from hashlib import sha256
from pathlib import Path

from itembank.audit.container import Container
from itembank.audit.contents import Contents
from itembank.audit.item import item_report
from itembank.audit.prose import Formula, Line, Lines, text_of
from itembank.audit.report import ItemReport
from itembank.audit.seen import SeenItem, SeenOption
from itembank.audit.unsupported import Unsupported
from itembank.errors import PackageError, StatementError
from itembank.notation import mathml
from itembank.notation.elements import HTML, Child, Element, Maker
from itembank.notation.reading import formula
from itembank.packet.entry import (
    Entry,
    certificates,
    choices,
    drawn,
    facts_list,
    field,
    risks,
    second_way,
    section,
)
from itembank.packet.evidence import Evidence, evidence_or_none
from itembank.words import _

h = Maker(HTML)

FORMS = {"any": "select all", "one": "select one", "text": "typed", "entries": "entries"}


def package_entries(path: Path) -> list[Entry]:
    """An entry for each item that can be read; PackageError if there is none."""
    entries = []
    with Container(path) as container:
        for element, reader in Contents(container).items():
            try:
                seen = reader(element)
            except Unsupported:
                continue
            entries.append(entry_of_seen(seen, item_report(seen)))
    if not entries:
        raise PackageError(f"{path.name}: expected items that can be read, got none")
    return entries


def entry_of_seen(seen: SeenItem, report: ItemReport) -> Entry:
    *statement, _ask = [part.strip() for part in seen.statement.split(";")]
    found = evidence_or_none(statement) if statement else None
    lines = tuple(shown_lines(seen))
    mark = sha256("\n".join(lines).encode()).hexdigest()
    residues = found.residues if found else None
    return Entry(
        identifier=seen.identifier,
        title=seen.title,
        family=seen.title.rpartition(" (")[0] or seen.title,
        form=FORMS[seen.form],
        level="",
        outcomes=(),
        steps=found.solution.effort if found else 0,
        solutions=None if residues is None else len(residues),
        position=place_of_key(seen),
        twin=found.problem.twin if found else seen.identifier,
        risks=(*audit_risks(report), *risks(found)),
        question=(*paragraphs(seen.stem), *controls(seen)),
        revealed=tuple(revealed(seen, found, report, mark)),
        data={
            "item": seen.identifier,
            "fingerprint": mark,
            "family": "",
            "index": 0,
            "form": FORMS[seen.form],
            "key": list(seen.declared),
            "seen": list(lines),
        },
    )


def audit_risks(report: ItemReport) -> tuple[str, ...]:
    return () if report.status == "agreed" else (_("the audit says: {s}").format(s=report.status),)


def place_of_key(seen: SeenItem) -> int | None:
    names = [option.identifier for option in seen.options]
    if seen.form == "one" and seen.declared and seen.declared[0] in names:
        return names.index(seen.declared[0]) + 1
    return None


# ------------------------------------------------------------ what is shown


def shown_lines(seen: SeenItem) -> Iterator[str]:
    yield f"title: {seen.title}"
    yield from (f"question: {line}" for line in text_of(seen.stem).splitlines())
    for option in seen.options:
        word = "right option" if option.identifier in seen.declared else "wrong option"
        yield f"{word} {option.identifier}: {option.label}"
    if not seen.options:
        yield f"key: {', '.join(seen.declared)}"
    yield from (f"{name}: {worth}" for name, worth in sorted(seen.points.items()))
    for name, lines in sorted(seen.feedback.items()):
        yield from (f"feedback {name}: {line}" for line in text_of(lines()).splitlines())


def paragraphs(lines: Lines) -> list[Element]:
    return [h("p", *parts(line)) for line in lines]


def parts(line: Line) -> Iterator[Child]:
    """The text of a line, and its formulas as mathematics where they can be read."""
    for part in line:
        if not isinstance(part, Formula):
            yield part
            continue
        try:
            yield mathml.math(formula(part.text))
        except StatementError:
            yield part.text


def controls(seen: SeenItem) -> list[Element]:
    if seen.form == "text":
        return [field(seen.identifier, _("Your answer"))]
    if seen.form == "entries":
        return [
            field(f"{seen.identifier}-{n}", _("Solution {n}, or blank").format(n=n))
            for n in range(1, seen.most + 1)
        ]
    kind = "checkbox" if seen.form == "any" else "radio"
    return [choices(seen.identifier, kind, [(o.identifier, (o.label,)) for o in seen.options])]


def revealed(
    seen: SeenItem, found: Evidence | None, report: ItemReport, mark: str
) -> Iterator[Element]:
    yield from section(_("Key"), [key(seen.options, seen.declared)])
    yield from section(_("The audit of this package"), audited(report))
    if found:
        yield from section(_("Evidence"), certificates(found))
        yield from section(_("The second way"), second_way(found))
        yield from section(_("Figures"), drawn(found))
    for name, lines in seen.feedback.items():
        yield from section(_("Feedback {name}").format(name=name), paragraphs(lines()))
    facts = [
        (_("Identifier"), seen.identifier),
        (_("Hash of what is shown"), mark),
        (_("Statement"), seen.statement),
        *((name, str(worth)) for name, worth in seen.points.items()),
    ]
    yield from section(_("About this item"), [facts_list(facts)])


def key(options: Sequence[SeenOption], declared: Sequence[str]) -> Element:
    labels = [o.label for o in options if o.identifier in declared] or list(declared)
    return h("ul", {"class": "key"}, *(h("li", label) for label in labels))


def audited(report: ItemReport) -> list[Element]:
    lines = (f"{report.status}: {report.how}", *report.findings)
    return [h("p", line) for line in lines]
