"""What a release holds and what came back of it: of items, never of persons."""

from dataclasses import dataclass

from sqlalchemy import Connection, func, select

from itembank.bank.decisions import cleared
from itembank.bank.reported import set_aside
from itembank.bank.schema import items, release_groups, release_items, reports, usages


@dataclass(frozen=True)
class Released:
    """An item of a release: its number, and the group that it stands in."""

    item: int
    problem: int
    family: str
    group: int


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


def is_doubted(connection: Connection, item: int) -> bool:
    """Whether results told an item to rest or to retire, and nobody has cleared it."""
    return (
        connection.scalar(
            select(usages.c.id)
            .where(
                usages.c.item == item,
                usages.c.advice != "keep",
                usages.c.item.not_in(cleared()),
                usages.c.report.not_in(set_aside()),
            )
            .limit(1)
        )
        is not None
    )


def earlier_uses(connection: Connection, problem: int, term: int) -> tuple[int, int]:
    """How many were right of how many at the items of a problem, in the terms before one."""
    row = connection.execute(
        select(func.sum(usages.c.correct), func.sum(usages.c.students))
        .join(items, items.c.id == usages.c.item)
        .join(reports, reports.c.id == usages.c.report)
        .where(
            items.c.problem == problem,
            reports.c.term < term,
            reports.c.id.not_in(set_aside()),
        )
    ).one()
    return row[0] or 0, row[1] or 0
