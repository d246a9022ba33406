"""A finished package as the packet shows it: what its own files show, key and feedback included.

It is read by the audit's readers, which share nothing with what wrote it; the evidence is derived
anew from the statement that each item carries.  The hash of an item is over the lines shown.
An item that cannot be read is an entry too, which says why and can be returned only.
"""

from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

from itembank.audit.container import Container
from itembank.audit.contents import Contents
from itembank.audit.guessed import NUMBERED
from itembank.audit.item import item_report
from itembank.audit.pieces import Reader
from itembank.audit.prose import Formula, Line, Lines, text_of
from itembank.audit.report import ItemReport
from itembank.audit.seen import SeenItem
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import Element as Source
from itembank.audit.xml import sent
from itembank.languages import Said, say
from itembank.notation import mathml
from itembank.notation.elements import Child, Element
from itembank.notation.reading import formula
from itembank.review import package_parts, vocabulary
from itembank.review.entry import (
    Entry,
    choices,
    facts_list,
    field,
    folded,
    proved,
    risks,
    section,
)
from itembank.review.evidence import Evidence, evidence_or_none
from itembank.review.outcomes import Outcome
from itembank.review.writer import Writer, h
from itembank.values.errors import PackageError, StatementError
from itembank.values.worded import joined, worded

_FORMS = {
    "any": "select all",
    "one": "select one",
    "text": "typed",
    "entries": "entries",
    "order": "order",
    "pairs": "match",
    "stages": "guided",
}

_NAMELESS = "no identifier"
"""What stands for a name on record, in every language."""

_IN_PARTS = ("order", "pairs", "stages")


def package_entries(page: Writer, path: Path) -> tuple[list[Entry], list[str]]:
    """An entry for each item, and what is wrong with the package around them.

    Raises PackageError where not one item can be read.
    """
    with Container(path) as container:
        contents = Contents(container)
        entries = [
            _entry_of_element(page, n, *found) for n, found in enumerate(contents.items(), 1)
        ]
    if all(e.unread for e in entries):
        told = worded("{file}: expected items that can be read, got none", file=path.name)
        first = [worded("the first: {why}", why=entries[0].unread)] if entries else []
        raise PackageError(joined("; ", [told, *first]))
    return entries, contents.findings


def _entry_of_element(page: Writer, n: int, element: Source, reader: Reader) -> Entry:
    """The n-th entry: of the item as it is read, or of one that cannot be."""
    data = sent(element)
    try:
        seen = reader(element)
        return _entry_of_seen(page, seen, item_report(seen))
    except Unsupported as reason:
        return _unread_entry(page, n, element, data, str(reason))


def _unread_entry(page: Writer, n: int, element: Source, data: bytes, reason: str) -> Entry:
    """An item of which nothing can be shown but its name, and why; its hash is over its XML."""
    name = next(filter(None, map(element.get, ("identifier", "ident", "id"))), _NAMELESS)
    shown = page.text(say("no identifier")) if name == _NAMELESS else name
    mark = sha256(data).hexdigest()
    facts = [(say("Identifier"), shown), (say("Hash of its file"), mark)]
    return Entry(
        identifier=f"unread-{n}",
        title=element.get("title") or shown,
        language=page.language,
        family="",
        form="",
        level="",
        outcomes=(),
        steps=0,
        solutions=None,
        position=None,
        twin=f"unread-{n}",
        risks=(page.text(say("could not be read: {why}", why=reason)),),
        question=(),
        revealed=tuple(section(page, say("About this item"), [facts_list(page, facts)])),
        data={
            "item": f"unread-{n}",
            "fingerprint": mark,
            "family": "",
            "index": 0,
            "unread": reason,
            "seen": [f"identifier: {name}", f"could not be read: {reason}"],
        },
        unread=reason,
    )


def _entry_of_seen(page: Writer, seen: SeenItem, report: ItemReport) -> Entry:
    *statement, _ask = [part.strip() for part in seen.statement.split(";")]
    found = evidence_or_none(statement) if statement else None
    lines = tuple(_shown_lines(seen))
    mark = sha256("\n".join(lines).encode()).hexdigest()
    residues = found.residues if found else None
    return Entry(
        identifier=seen.identifier,
        title=seen.title,
        language=seen.language,
        family=NUMBERED.sub("", seen.title),
        form=_FORMS[seen.form],
        level="",
        outcomes=(),
        steps=found.solution.effort if found else 0,
        solutions=None if residues is None else len(residues),
        position=_place_of_key(seen),
        twin=found.problem.twin if found else seen.identifier,
        risks=tuple(map(page.text, (*_audit_risks(report), *risks(found)))),
        question=(*_paragraphs(page, seen, seen.stem), *_controls(page.of(seen.language), seen)),
        revealed=tuple(_revealed(page, seen, found, report, mark)),
        data={
            "item": seen.identifier,
            "fingerprint": mark,
            "family": "",
            "index": 0,
            "form": _FORMS[seen.form],
            **({"parts": package_parts.key_data(seen)} if seen.form in _IN_PARTS else {}),
            "key": list(seen.declared),
            "seen": list(lines),
        },
    )


def _audit_risks(report: ItemReport) -> Iterator[Said]:
    if report.status == "unchecked":
        yield say("the audit says: unchecked")
    elif report.status == "disagreed":
        yield say("the audit says: disagreed")


def _place_of_key(seen: SeenItem) -> int | None:
    names = [option.identifier for option in seen.options]
    if seen.form == "one" and seen.declared and seen.declared[0] in names:
        return names.index(seen.declared[0]) + 1
    return None


# ------------------------------------------------------------ what is shown


def _shown_lines(seen: SeenItem) -> Iterator[str]:
    yield f"title: {seen.title}"
    yield from (f"question: {line}" for line in text_of(seen.stem).splitlines())
    if seen.form in _IN_PARTS:
        yield from package_parts.shown_lines(seen)
    for option in () if seen.form in _IN_PARTS else seen.options:
        word = "right option" if option.identifier in seen.declared else "wrong option"
        yield f"{word} {option.identifier}: {option.label}"
    if not seen.options and seen.form not in _IN_PARTS:
        yield f"key: {', '.join(seen.declared)}"
    yield from (f"{name}: {worth}" for name, worth in sorted(seen.points.items()))
    for name, read in sorted(seen.feedback.items()):
        yield from (f"feedback {name}: {line}" for line in read.text().splitlines())


def _paragraphs(page: Writer, seen: SeenItem, lines: Lines) -> list[Element]:
    own = page.of(seen.language).language
    return [h("p", *_parts(line, own)) for line in lines]


def _parts(line: Line, language: str) -> Iterator[Child]:
    """The text of a line, and its formulas as mathematics where they can be read."""
    for part in line:
        if not isinstance(part, Formula):
            yield part
            continue
        try:
            yield mathml.math(formula(part.text), language=language)
        except StatementError:
            yield part.text


def _controls(page: Writer, seen: SeenItem) -> list[Element]:
    """What is answered in, in the language of the item."""
    if seen.form in _IN_PARTS:
        return package_parts.fields(page, seen)
    if seen.form == "text":
        return [field(seen.identifier, page.text(say("Your answer")))]
    if seen.form == "entries":
        return [
            field(f"{seen.identifier}-{n}", page.text(say("Solution {n}, or blank", n=n)))
            for n in range(1, seen.most + 1)
        ]
    kind = "checkbox" if seen.form == "any" else "radio"
    labels = [(o.identifier, (o.label,)) for o in seen.options]
    return [choices(page, seen.identifier, kind, labels)]


def _revealed(
    page: Writer, seen: SeenItem, found: Evidence | None, report: ItemReport, mark: str
) -> Iterator[Element]:
    yield from section(page, say("Key"), [_key(page, seen)])
    outcome = Outcome(vocabulary.AUDITED[report.status], failed=report.status != "agreed")
    yield from folded(page, say("The audit of this package"), outcome, _audited(page, report))
    yield from proved(page, found)
    for name, read in seen.feedback.items():
        told = page.within(seen.language, _paragraphs(page, seen, read.lines()))
        yield from folded(page, say("Feedback {name}", name=name), Outcome(None), told)
    facts: list[tuple[Said | str, Child]] = [
        (say("Identifier"), seen.identifier),
        (say("Hash of what is shown"), mark),
        (say("Statement"), page.english(seen.statement)),
        *((name, str(worth)) for name, worth in seen.points.items()),
    ]
    yield from folded(page, say("About this item"), Outcome(None), [facts_list(page, facts)])


def _key(page: Writer, seen: SeenItem) -> Element:
    if seen.form in _IN_PARTS:
        labels = package_parts.told_key(seen)
    else:
        labels = [o.label for o in seen.options if o.identifier in seen.declared]
    tag = "ol" if seen.form == "order" else "ul"
    return h(
        tag,
        {**({"class": "key"} if tag == "ul" else {}), **page.lang(seen.language)},
        *(h("li", label) for label in labels or seen.declared),
    )


def _audited(page: Writer, report: ItemReport) -> list[Element]:
    lines = (f"{report.status}: {report.how}", *report.findings)
    return [h("p", page.english(line)) for line in lines]
