"""Reports of results: each known by its release and its section, and replaced only on demand.

Students who were counted are not known any more, so the record tells reports apart, not people:
two on the same release and section would be the same students twice.  A report that was replaced
stays on record and counts no longer.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from sqlalchemy import Connection, Select, insert, select

from itembank import __version__
from itembank.bank.entries import inserted, named
from itembank.bank.schema import replacements, reports, usages
from itembank.values.errors import ReportError

Outcome = Literal["new", "unchanged", "replaced"]
"""What became of a report: recorded; on record before; recorded in place of others."""

COUNTED = ("score", "answers", "options", "slips")
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
        return (self.students, self.correct, *map(self.facts.get, COUNTED))


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
    def whose(self) -> str:
        return f"section {self.section}" if self.section else "the whole release"


@dataclass(frozen=True)
class Recorded:
    """A report on record, by its number."""

    number: int
    report: Report


def replaced() -> Select[tuple[int]]:
    """The reports that count no longer."""
    return select(replacements.c.report)


def standing(connection: Connection, term: int, release: str) -> list[Recorded]:
    """The reports of a release that count, in the order recorded."""
    rows = connection.execute(
        select(reports)
        .where(reports.c.term == term, reports.c.id.not_in(replaced()))
        .order_by(reports.c.id)
    ).all()
    found = []
    for row in rows:
        facts = json.loads(row.facts)
        if facts["release"] == release:
            section = facts.get("section", "")  # none in banks of before there were sections
            of_items = tuple(recorded_usages(connection, row.id))
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


def recorded_usages(connection: Connection, report: int) -> list[Usage]:
    rows = connection.execute(select(usages).where(usages.c.report == report).order_by(usages.c.id))
    return [
        Usage(row.item, row.students, row.correct, row.advice, json.loads(row.facts))
        for row in rows
    ]


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
    if len(others) == 1 and same(others[0].report, report):
        return "unchanged", ()
    if others and not replace:
        raise ReportError(refusal(connection, [one.report for one in others], report))
    number = inserted(
        connection.scalar(
            insert(reports)
            .values(
                term=term,
                source=unused_source(connection, report.source),
                students=report.students,
                facts=as_text({**facts, "section": report.section}),
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
            "facts": as_text(usage.facts),
        }
        for usage in report.usages
    ]
    if rows:
        connection.execute(insert(usages), rows)
    gone = [{"report": one.number, "successor": number} for one in others]
    if gone:
        connection.execute(insert(replacements), gone)
    return "replaced" if gone else "new", tuple(one.report for one in others)


def same(one: Report, other: Report) -> bool:
    return (one.section, one.counts) == (other.section, other.counts)


def unused_source(connection: Connection, source: str) -> str:
    """The hash, or with a number after it where other results of the same files are on record."""
    n, name = 1, source
    while connection.scalar(select(reports.c.id).where(reports.c.source == name)) is not None:
        n += 1
        name = f"{source}-{n}"
    return name


def refusal(connection: Connection, others: Sequence[Report], report: Report) -> str:
    """Why a report is not recorded: what is on record, and in what this one differs."""
    there = ", ".join(f"{one.whose} ({one.students} students)" for one in others)
    here = f"{report.whose} ({report.students} students)"
    if len(others) == 1 and others[0].section == report.section:
        here = difference(connection, others[0], report)
    return (
        f"release {report.release}: on record are results of {there}; these differ: {here}; "
        "say --replace if these take their place, or --section NAME if they are of others"
    )


def difference(connection: Connection, there: Report, here: Report) -> str:
    """In what two reports differ: how many students, and the first question with other counts."""
    told = [] if there.students == here.students else [f"{here.students} students"]
    ours, theirs = ({u.item: u for u in report.usages} for report in (here, there))
    changed = [
        item
        for item in dict.fromkeys((*theirs, *ours))
        if item not in ours or item not in theirs or ours[item].counts != theirs[item].counts
    ]
    if changed:
        ((name, _title, _family),) = named(connection, changed[:1])
        right = [f"{u.correct} of {u.students} right" if u else "nobody had it" for u in
                 (theirs.get(changed[0]), ours.get(changed[0]))]  # fmt: skip
        one = f"{right[0]} there, {right[1]} here" if right[0] != right[1] else "other answers"
        more = f", and {len(changed) - 1} more questions" if len(changed) > 1 else ""
        told.append(f"{name} {one}{more}")
    return ", ".join(told)


def as_text(facts: Mapping[str, Any]) -> str:
    return json.dumps(facts, ensure_ascii=False, sort_keys=True)
