"""Statistics that came back from a term: of items and of whole tests, never of persons."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, func, insert, select

from itembank import __version__
from itembank.bank.decisions import cleared
from itembank.bank.entries import inserted
from itembank.bank.schema import items, release_groups, release_items, reports, usages


@dataclass(frozen=True)
class Released:
    """An item of a release: its number, and the group that it stands in."""

    item: int
    problem: int
    family: str
    group: int


@dataclass(frozen=True)
class Usage:
    """What came back of an item: how many students had it, how many were right, and the rest."""

    item: int
    students: int
    correct: int
    advice: str
    facts: Mapping[str, Any]


def released(connection: Connection, release: int) -> list[Released]:
    """The items of a release with their groups, in order."""
    rows = connection.execute(
        select(items.c.id, items.c.problem, release_groups.c.family, release_groups.c.number)
        .join(release_items, release_items.c.item == items.c.id)
        .join(release_groups, release_groups.c.id == release_items.c.release_group)
        .where(release_items.c.release == release)
        .order_by(release_items.c.id)
    )
    return [Released(row.id, row.problem, row.family, row.number) for row in rows]


def choices(connection: Connection, release: int) -> dict[int, int]:
    """How many questions a student gets from each group of a release, by its number."""
    rows = connection.execute(
        select(release_groups.c.number, release_groups.c.choose)
        .where(release_groups.c.release == release)
        .order_by(release_groups.c.number)
    )
    return {row.number: row.choose for row in rows}


def record(
    connection: Connection,
    term: int,
    source: str,
    students: int,
    facts: Mapping[str, Any],
    found: Sequence[Usage],
) -> None:
    """Record a report whose source is not on record."""
    number = inserted(
        connection.scalar(
            insert(reports)
            .values(
                term=term,
                source=source,
                students=students,
                facts=as_text(facts),
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
        for usage in found
    ]
    if rows:
        connection.execute(insert(usages), rows)


def on_record(connection: Connection, source: str) -> bool:
    """Whether results of this source were recorded."""
    return connection.scalar(select(reports.c.id).where(reports.c.source == source)) is not None


def is_doubted(connection: Connection, item: int) -> bool:
    """Whether results told an item to rest or to retire, and nobody has cleared it."""
    return (
        connection.scalar(
            select(usages.c.id)
            .where(
                usages.c.item == item,
                usages.c.advice != "keep",
                usages.c.item.not_in(cleared()),
            )
            .limit(1)
        )
        is not None
    )


def other_uses(connection: Connection, problem: int, source: str) -> tuple[int, int]:
    """How many were right of how many at the items of a problem, by the reports besides one."""
    row = connection.execute(
        select(func.sum(usages.c.correct), func.sum(usages.c.students))
        .join(items, items.c.id == usages.c.item)
        .join(reports, reports.c.id == usages.c.report)
        .where(items.c.problem == problem, reports.c.source != source)
    ).one()
    return row[0] or 0, row[1] or 0


def recorded(connection: Connection, term: int, release: str) -> list[Usage]:
    """What came back of the items of a release, report by report, in the order recorded."""
    of_term = connection.execute(
        select(reports.c.id, reports.c.facts).where(reports.c.term == term)
    )
    of_release = [row.id for row in of_term if json.loads(row.facts)["release"] == release]
    rows = connection.execute(
        select(usages).where(usages.c.report.in_(of_release)).order_by(usages.c.id)
    )
    return [
        Usage(row.item, row.students, row.correct, row.advice, json.loads(row.facts))
        for row in rows
    ]


def as_text(facts: Mapping[str, Any]) -> str:
    return json.dumps(facts, ensure_ascii=False, sort_keys=True)
