"""Counts for `status`: how much of each family was used, rests, was approved or withdrawn."""

from collections.abc import Iterator
from dataclasses import dataclass

from sqlalchemy import ColumnElement, Connection, distinct, func, select

from itembank.bank.decisions import cleared, words
from itembank.bank.draws import places, stands
from itembank.bank.releases import MANY
from itembank.bank.reported import set_aside
from itembank.bank.schema import (
    decisions,
    draws,
    families,
    items,
    reports,
    terms,
    usages,
    uses,
    withdrawals,
)
from itembank.terms.outlook import Past
from itembank.values.verdicts import accepted_items


@dataclass(frozen=True)
class FamilyUse:
    """The problems of a family: used in each term, in the order of terms; used at all; used and
    resting in the term after the last; used and never taken out, as the next term (`following`)
    finds them; the items that are approved, and those withdrawn."""

    by_term: dict[str, int]
    used: int
    resting: int
    past: tuple[Past, ...]
    following: int
    approved: int
    withdrawn: int


def _of_family(connection: Connection, family: str) -> ColumnElement[bool]:
    """Of a use: its item is of the family, in whatever group of a pool it stands.

    Where no draw had families that stand in, the group tells it, which is much faster.
    """
    stand_ins = select(draws.c.id).where(draws.c.facts.contains('"instead": {')).limit(1)
    if connection.scalar(stand_ins) is None:
        return uses.c.family == family
    own = select(items.c.id).join(families, families.c.id == items.c.family)
    return uses.c.item.in_(own.where(families.c.name == family))


def family_use(connection: Connection, family: str) -> FamilyUse:
    rows = connection.execute(
        select(terms.c.name, func.count())
        .join(uses, uses.c.term == terms.c.id)
        .where(_of_family(connection, family), stands())
        .group_by(terms.c.id, terms.c.name)
        .order_by(terms.c.id)
    )
    by_term = {row[0]: row[1] for row in rows}
    place = places()
    problems = (
        select(func.count(distinct(uses.c.problem)))
        .join(place, place.c.id == uses.c.term)
        .where(_of_family(connection, family), stands())
    )
    following = 1 + (connection.scalar(select(func.count()).select_from(place)) or 0)
    return FamilyUse(
        by_term=by_term,
        used=connection.scalar(problems) or 0,
        resting=connection.scalar(problems.where(place.c.place + uses.c.rests >= following)) or 0,
        past=tuple(past(connection, family)),
        following=following,
        approved=_approved(connection, family),
        withdrawn=connection.scalar(
            select(func.count())
            .select_from(withdrawals)
            .join(items, items.c.id == withdrawals.c.item)
            .join(families, families.c.id == items.c.family)
            .where(families.c.name == family)
        )
        or 0,
    )


def past(connection: Connection, family: str) -> Iterator[Past]:
    """The used problems of a family that draws may use again once they have rested."""
    withdrawn = select(items.c.problem).join(withdrawals, withdrawals.c.item == items.c.id)
    advised = (
        select(items.c.problem)
        .join(usages, usages.c.item == items.c.id)
        .where(
            usages.c.advice != "keep",
            usages.c.item.not_in(cleared()),
            usages.c.report.not_in(set_aside()),
        )
    )
    place = places()
    rows = connection.execute(
        select(
            func.max(place.c.place).label("last"),
            func.count().label("times"),
            func.max(uses.c.rests).label("rests"),
        )
        .join(place, place.c.id == uses.c.term)
        .where(
            _of_family(connection, family),
            stands(),
            uses.c.problem.not_in(withdrawn),
            uses.c.problem.not_in(advised),
        )
        .group_by(uses.c.problem)
        .order_by(uses.c.problem)
    )
    return (Past(row.last, row.times, row.rests) for row in rows)


def _approved(connection: Connection, family: str) -> int:
    """How many items of a family are approved in every facet, with no return open."""
    rows = connection.execute(
        select(items.c.id, items.c.fingerprint)
        .distinct()
        .join(decisions, decisions.c.item == items.c.id)
        .join(families, families.c.id == items.c.family)
        .where(families.c.name == family, decisions.c.verdict == "approved")
    )
    marks = {row.id: row.fingerprint for row in rows}
    accepted = accepted_items(words(connection, marks))
    return sum(mark in accepted for mark in marks.values())


def all_terms(connection: Connection) -> list[tuple[int, str]]:
    """The terms that the bank has met, in its order."""
    rows = connection.execute(select(terms.c.id, terms.c.name).order_by(terms.c.id))
    return [(row.id, row.name) for row in rows]


def doubted(connection: Connection, family: str) -> list[tuple[str, str, str, str]]:
    """Items of a family that results tell to rest or retire: identifier, title, term, advice.

    Each once for each advice; without those that were cleared or withdrawn.
    """
    rows = connection.execute(
        select(items.c.identifier, items.c.title, terms.c.name, usages.c.advice)
        .join(usages, usages.c.item == items.c.id)
        .join(reports, reports.c.id == usages.c.report)
        .join(terms, terms.c.id == reports.c.term)
        .join(families, families.c.id == items.c.family)
        .where(
            families.c.name == family,
            usages.c.advice != "keep",
            usages.c.report.not_in(set_aside()),
            items.c.id.not_in(cleared()),
            items.c.id.not_in(select(withdrawals.c.item)),
        )
        .order_by(usages.c.id)
    )
    return list(dict.fromkeys((row.identifier, row.title, row.name, row.advice) for row in rows))


def answers(connection: Connection, family: str) -> tuple[int, int]:
    """How many of the family's questions were answered, by all reports, and how many rightly."""
    row = connection.execute(
        select(func.sum(usages.c.students), func.sum(usages.c.correct))
        .join(items, items.c.id == usages.c.item)
        .join(families, families.c.id == items.c.family)
        .where(families.c.name == family, usages.c.report.not_in(set_aside()))
    ).one()
    return int(row[0] or 0), int(row[1] or 0)


def problems_of(connection: Connection, numbers: tuple[int, ...]) -> dict[int, int]:
    """The problem of each item."""
    return {
        row.id: row.problem
        for first in range(0, len(numbers), MANY)
        for row in connection.execute(
            select(items.c.id, items.c.problem).where(items.c.id.in_(numbers[first : first + MANY]))
        )
    }
