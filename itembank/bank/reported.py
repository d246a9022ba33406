"""Reports of results: each known by its release and its section, and replaced only on demand.

Students who were counted are not known any more, so the record tells reports apart, not people:
two on the same release and section would be the same students twice.  A report that was replaced
or taken back stays on record and counts no longer.
"""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from sqlalchemy import CompoundSelect, Connection, insert, select, union

from itembank import __version__
from itembank.bank.entries import inserted, named
from itembank.bank.schema import (
    families,
    items,
    replacements,
    reports,
    retractions,
    terms,
    usages,
)
from itembank.values.errors import ReportError
from itembank.values.worded import joined, worded

Outcome = Literal["new", "unchanged", "replaced"]
"""What became of a report: recorded; on record before; recorded in place of others."""

_COUNTED = ("score", "answers", "options", "slips")
"""The facts of an item that are counted; the others follow from them, and from other reports."""


@dataclass(frozen=True)
class Usage:
    """What came back of an item: how many students had it, how many were right, and the rest."""

    item: int
    students: int
    correct: int
    advice: str
    facts: Mapping[str, Any]

    @property
    def counts(self) -> tuple[object, ...]:
        return (self.students, self.correct, *map(self.facts.get, _COUNTED))


@dataclass(frozen=True, kw_only=True)
class Report:
    """What came back of a release, or of one section of its students (else "").

    source: a hash of the files that it was read from.
    """

    release: str
    section: str
    source: str
    students: int
    usages: Sequence[Usage]

    @property
    def counts(self) -> tuple[int, dict[int, tuple[object, ...]]]:
        return self.students, {u.item: u.counts for u in self.usages}

    @property
    def has_scores(self) -> bool:
        """Whether it holds what tells how hard questions are; none did once."""
        return any("by_score" in u.facts for u in self.usages)

    @property
    def whose(self) -> str:
        return (
            worded("section {section}", section=self.section)
            if self.section
            else worded("the whole release")
        )


@dataclass(frozen=True)
class Recorded:
    """A report on record, by its number."""

    number: int
    report: Report


def set_aside() -> CompoundSelect[tuple[int]]:
    """The reports that count no longer: another took their place, or they were taken back."""
    return union(select(replacements.c.report), select(retractions.c.report))


def standing(connection: Connection, term: int, release: str) -> list[Recorded]:
    """The reports of a release that count, in the order recorded."""
    rows = connection.execute(
        select(reports)
        .where(reports.c.term == term, reports.c.id.not_in(set_aside()))
        .order_by(reports.c.id)
    ).all()
    found = []
    for row in rows:
        facts = json.loads(row.facts)
        if facts["release"] == release:
            section = facts.get("section", "")  # none in banks of before there were sections
            of_items = tuple(_recorded_usages(connection, row.id))
            found.append(
                Recorded(
                    row.id,
                    Report(
                        release=release,
                        section=section,
                        source=row.source,
                        students=row.students,
                        usages=of_items,
                    ),
                )
            )
    return found


def _recorded_usages(connection: Connection, report: int) -> list[Usage]:
    rows = connection.execute(select(usages).where(usages.c.report == report).order_by(usages.c.id))
    return [
        Usage(row.item, row.students, row.correct, row.advice, json.loads(row.facts))
        for row in rows
    ]


def facts_standing(
    connection: Connection,
) -> Iterator[tuple[dict[str, Any], list[tuple[str, dict[str, Any]]]]]:
    """Of each report that counts its facts, and those of its items, each with its family."""
    rows = connection.execute(
        select(reports.c.id, reports.c.facts)
        .where(reports.c.id.not_in(set_aside()))
        .order_by(reports.c.id)
    ).all()
    for row in rows:
        of_items = connection.execute(
            select(families.c.name, usages.c.facts)
            .join(items, items.c.id == usages.c.item)
            .join(families, families.c.id == items.c.family)
            .where(usages.c.report == row.id)
            .order_by(usages.c.id)
        )
        yield json.loads(row.facts), [(name, json.loads(facts)) for name, facts in of_items]


def record(
    connection: Connection, term: int, report: Report, facts: Mapping[str, Any], replace: bool
) -> tuple[Outcome, tuple[Report, ...]]:
    """Record a report unless the same is on record; and the reports that it replaces.

    It stands for all students of its section, or of the release: with `replace` it takes the
    place of what is on record of any of them.  Else ReportError, where something is.
    """
    others = [
        one
        for one in standing(connection, term, report.release)
        if not report.section or one.report.section in ("", report.section)
    ]
    again = len(others) == 1 and _same(others[0].report, report)
    if again and not (replace and report.has_scores and not others[0].report.has_scores):
        return "unchanged", ()
    if others and not replace:
        raise ReportError(_refusal(connection, [one.report for one in others], report))
    number = inserted(
        connection.scalar(
            insert(reports)
            .values(
                term=term,
                source=_unused_source(connection, report.source),
                students=report.students,
                facts=_as_text({**facts, "section": report.section}),
                tool=__version__,
            )
            .returning(reports.c.id)
        )
    )
    rows = [
        {
            "report": number,
            "item": usage.item,
            "students": usage.students,
            "correct": usage.correct,
            "advice": usage.advice,
            "facts": _as_text(usage.facts),
        }
        for usage in report.usages
    ]
    if rows:
        connection.execute(insert(usages), rows)
    gone = [{"report": one.number, "successor": number} for one in others]
    if gone:
        connection.execute(insert(replacements), gone)
    return "replaced" if gone else "new", tuple(one.report for one in others)


@dataclass(frozen=True, kw_only=True)
class Filed:
    """A report as it stands on record.

    recorded: the day, in UTC.  successor: the report that took its place; taken_back: why it was
    taken back; None where it was not.
    """

    number: int
    term: str
    release: str
    section: str
    students: int
    recorded: str
    successor: int | None
    taken_back: str | None

    @property
    def counts(self) -> bool:
        return self.successor is None and self.taken_back is None


def filed(connection: Connection, release: str = "") -> list[Filed]:
    """All reports of a release, or of all, in the order recorded."""
    rows = connection.execute(
        select(
            reports,
            terms.c.name.label("term_name"),
            replacements.c.successor,
            retractions.c.reason,
        )
        .join(terms, terms.c.id == reports.c.term)
        .outerjoin(replacements, replacements.c.report == reports.c.id)
        .outerjoin(retractions, retractions.c.report == reports.c.id)
        .order_by(reports.c.id)
    ).all()
    found = []
    for row in rows:
        facts = json.loads(row.facts)
        if release in ("", facts["release"]):
            found.append(
                Filed(
                    number=row.id,
                    term=row.term_name,
                    release=facts["release"],
                    section=facts.get("section", ""),
                    students=row.students,
                    recorded=f"{row.recorded:%Y-%m-%d}",
                    successor=row.successor,
                    taken_back=row.reason,
                )
            )
    return found


def take_back(connection: Connection, number: int, reason: str) -> Filed:
    """Count a report no longer.  ReportError for one that is not on record, or counts no more."""
    found = {one.number: one for one in filed(connection)}.get(number)
    if found is None:
        raise ReportError(
            worded("report {number}: not on record; `itembank reports` lists them", number=number)
        )
    if found.taken_back is not None:
        raise ReportError(
            worded(
                "report {number}: taken back before: {taken_back}",
                number=number,
                taken_back=found.taken_back,
            )
        )
    if found.successor is not None:
        raise ReportError(
            worded(
                "report {number}: counts no more, report {successor} took its place",
                number=number,
                successor=found.successor,
            )
        )
    connection.execute(insert(retractions).values(report=number, reason=reason))
    return found


def _same(one: Report, other: Report) -> bool:
    return (one.section, one.counts) == (other.section, other.counts)


def _unused_source(connection: Connection, source: str) -> str:
    """The hash, or with a number after it where other results of the same files are on record."""
    n, name = 1, source
    while connection.scalar(select(reports.c.id).where(reports.c.source == name)) is not None:
        n += 1
        name = f"{source}-{n}"
    return name


def _refusal(connection: Connection, others: Sequence[Report], report: Report) -> str:
    """Why a report is not recorded: what is on record, and in what this one differs."""
    there = joined(", ", (_of_students(one) for one in others))
    here = _of_students(report)
    if len(others) == 1 and others[0].section == report.section:
        here = _difference(connection, others[0], report)
    return worded(
        "release {release}: on record are results of {there}; these differ: {here}; say --replace "
        "if these take their place, or --section NAME if they are of others",
        release=report.release,
        there=there,
        here=here,
    )


def _of_students(report: Report) -> str:
    return worded("{whose} ({n} students)", whose=report.whose, n=report.students)


def _difference(connection: Connection, there: Report, here: Report) -> str:
    """In what two reports differ: how many students, and the first question with other counts."""
    told: list[str] = []
    if there.students != here.students:
        told.append(worded("{n} students", n=here.students))
    ours, theirs = ({u.item: u for u in report.usages} for report in (here, there))
    changed = [
        item
        for item in dict.fromkeys((*theirs, *ours))
        if item not in ours or item not in theirs or ours[item].counts != theirs[item].counts
    ]
    if changed:
        ((name, _title, _family),) = named(connection, changed[:1])
        before, now = (_right_of(of.get(changed[0])) for of in (theirs, ours))
        if before == now:
            told.append(worded("{item} other answers", item=name))
        else:
            told.append(
                worded("{item} {before} there, {now} here", item=name, before=before, now=now)
            )
        if len(changed) > 1:
            told.append(worded("and {n} more questions", n=len(changed) - 1))
    return joined(", ", told) if told else ""


def _right_of(usage: Usage | None) -> str:
    if usage is None:
        return worded("nobody had it")
    return worded("{n} of {of} right", n=usage.correct, of=usage.students)


def _as_text(facts: Mapping[str, Any]) -> str:
    return json.dumps(facts, ensure_ascii=False, sort_keys=True)
