"""What happened, in order: to an item, to a release, to a pool; and the releases there are.

For people who ask years later: every line has its day, by the clock of the database.
"""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Select, func, select

from itembank.bank.entries import item_number
from itembank.bank.forms import holding
from itembank.bank.releases import packages_of, released, series, taken_out
from itembank.bank.schema import (
    assemblies,
    decisions,
    draws,
    items,
    release_items,
    releases,
    replacements,
    reports,
    retractions,
    terms,
    undone,
    usages,
    uses,
    withdrawals,
)
from itembank.values.errors import BankError
from itembank.values.worded import joined, worded


@dataclass(frozen=True)
class Event:
    """What happened on a day (UTC), in one line."""

    day: str
    what: str


_Found = tuple[datetime, int, str]
"""When, in which order on one moment, and what."""

FIRST, THEN, AFTER, LAST = range(4)


def history(connection: Connection, name: str) -> list[Event]:
    """All that happened to the item, release or pool of this name; BankError if there is none."""
    if name.startswith("item-"):
        found = _of_item(connection, item_number(connection, name))
    elif connection.scalar(select(releases.c.id).where(releases.c.name == name)):
        found = _of_release(connection, name)
    elif connection.scalar(select(draws.c.id).where(draws.c.pool == name).limit(1)):
        found = _of_pool(connection, name)
    else:
        raise BankError(
            worded(
                "{name}: expected an item (item-...), a release or a pool of the bank, found "
                "none of this name; `itembank releases` lists the releases",
                name=name,
            )
        )
    return [Event(f"{when:%Y-%m-%d}", what) for when, _n, what in sorted(found, key=_moment)]


def _moment(found: _Found) -> tuple[datetime, int]:
    return found[0].replace(tzinfo=None), found[1]


# ------------------------------------------------------------ an item


def _of_item(connection: Connection, item: int) -> Iterator[_Found]:
    for row in connection.execute(
        select(draws.c.recorded, draws.c.pool, terms.c.name, undone.c.recorded.label("undone"))
        .join(uses, uses.c.draw == draws.c.id)
        .join(terms, terms.c.id == draws.c.term)
        .outerjoin(undone, undone.c.draw == draws.c.id)
        .where(uses.c.item == item)
        .order_by(draws.c.id)
    ):
        yield row.recorded, FIRST, worded("drawn for {pool}, {name}", pool=row.pool, name=row.name)
        if row.undone is not None:
            yield row.undone, THEN, worded("the draw was undone")
    for made in connection.execute(
        select(releases.c.name, releases.c.recorded)
        .join(release_items, release_items.c.release == releases.c.id)
        .where(release_items.c.item == item)
        .order_by(releases.c.id)
    ):
        yield made.recorded, AFTER, worded("released in {name}", name=made.name)
    yield from _decided(connection, select(decisions).where(decisions.c.item == item))
    yield from _results_of_item(connection, item)
    for out in connection.execute(select(withdrawals).where(withdrawals.c.item == item)):
        yield out.recorded, LAST, worded("withdrawn: {reason}", reason=out.reason)
    yield from (
        (when, THEN, worded("on form {form} of {pool}, {term}", form=form, pool=pool, term=term))
        for pool, term, form in holding(connection, item)
        for when in _assembled(connection, pool, term)
    )


def _assembled(connection: Connection, pool: str, term: str) -> Sequence[datetime]:
    return connection.scalars(
        select(func.min(assemblies.c.recorded))
        .join(terms, terms.c.id == assemblies.c.term)
        .where(assemblies.c.pool == pool, terms.c.name == term)
    ).all()


def _decided(connection: Connection, query: Select[Any]) -> Iterator[_Found]:
    for row in connection.execute(query.order_by(decisions.c.id)):
        by = {"person": row.reviewer, "scope": row.scope}
        if row.verdict == "accepted":
            told = worded("accepted by {person} ({scope})", **by)
        elif row.verdict == "returned":
            told = worded("returned by {person} ({scope})", **by)
        else:
            told = worded("{verdict} by {person} ({scope})", verdict=row.verdict, **by)
        comment = [" ".join(row.comment.split())] if row.comment else []
        yield row.recorded, AFTER, joined(": ", [told, *comment])


def _results_of_item(connection: Connection, item: int) -> Iterator[_Found]:
    for row in connection.execute(
        select(usages, reports.c.recorded, reports.c.facts.label("told"))
        .join(reports, reports.c.id == usages.c.report)
        .where(usages.c.item == item)
        .order_by(reports.c.id)
    ):
        release = json.loads(row.told)["release"]
        told = worded(
            "results of {release}: {n} of {of} right",
            release=release,
            n=row.correct,
            of=row.students,
        )
        advice = [] if row.advice == "keep" else [worded("advice: {advice}", advice=row.advice)]
        yield row.recorded, LAST, joined(", ", [told, *advice])
        yield from _set_aside_later(connection, row.report)


def _results_of(connection: Connection, names: Sequence[str]) -> Iterator[_Found]:
    """The reports on these releases."""
    for row in connection.execute(select(reports).order_by(reports.c.id)):
        facts = json.loads(row.facts)
        if facts["release"] in names:
            told_of = {"release": facts["release"], "n": row.students, "report": row.id}
            if section := facts.get("section"):
                told = worded(
                    "results of {release}, section {section}: {n} students, report {report}",
                    section=section,
                    **told_of,
                )
            else:
                told = worded("results of {release}: {n} students, report {report}", **told_of)
            yield row.recorded, LAST, told
            yield from _set_aside_later(connection, row.id)


def _set_aside_later(connection: Connection, report: int) -> Iterator[_Found]:
    """Why a report counts no longer."""
    for other in connection.execute(
        select(reports.c.recorded, replacements.c.successor)
        .join(replacements, replacements.c.successor == reports.c.id)
        .where(replacements.c.report == report)
    ):
        yield (
            other.recorded,
            LAST,
            worded(
                "report {successor} took the place of report {report}",
                successor=other.successor,
                report=report,
            ),
        )
    for back in connection.execute(select(retractions).where(retractions.c.report == report)):
        yield (
            back.recorded,
            LAST,
            worded("report {report} was taken back: {reason}", report=report, reason=back.reason),
        )


# ------------------------------------------------------------ a release, a pool


def _of_release(connection: Connection, name: str) -> Iterator[_Found]:
    found = released(connection, name)
    when = connection.scalar(select(releases.c.recorded).where(releases.c.id == found.number))
    assert when is not None
    count = func.count(release_items.c.id)
    size = connection.scalar(select(count).where(release_items.c.release == found.number))
    yield (
        when,
        FIRST,
        worded(
            "released, {size} items of {pool} for {term}",
            size=size,
            pool=found.pool,
            term=found.term,
        ),
    )
    for package in packages_of(connection, found.number):
        yield (
            when,
            THEN,
            worded("package {file}, SHA-256 {sha256}", file=package.file, sha256=package.sha256),
        )
    row = series(connection, found.pool, found.term, found.facts["form"], bool(found.since))
    if name in row:
        for later in row[row.index(name) + 1 :]:
            then = connection.scalar(select(releases.c.recorded).where(releases.c.name == later))
            assert then is not None
            yield then, LAST, worded("{later} took its place", later=later)
    yield from _results_of(connection, [name])
    for out in connection.execute(
        select(withdrawals.c.recorded, withdrawals.c.reason, items.c.identifier)
        .join(items, items.c.id == withdrawals.c.item)
        .join(release_items, release_items.c.item == items.c.id)
        .where(release_items.c.release == found.number)
        .order_by(withdrawals.c.id)
    ):
        yield (
            out.recorded,
            AFTER,
            worded(
                "{identifier} withdrawn: {reason}", identifier=out.identifier, reason=out.reason
            ),
        )


def _of_pool(connection: Connection, pool: str) -> Iterator[_Found]:
    sizes = {
        row[0]: row[1]
        for row in connection.execute(select(uses.c.draw, func.count()).group_by(uses.c.draw))
    }
    for row in connection.execute(
        select(draws.c.id, draws.c.recorded, terms.c.name, undone.c.recorded.label("undone"))
        .join(terms, terms.c.id == draws.c.term)
        .outerjoin(undone, undone.c.draw == draws.c.id)
        .where(draws.c.pool == pool)
        .order_by(draws.c.id)
    ):
        yield (
            row.recorded,
            FIRST,
            worded("drawn for {name}: {sizes} items", name=row.name, sizes=sizes.get(row.id, 0)),
        )
        if row.undone is not None:
            yield row.undone, THEN, worded("the draw for {name} was undone", name=row.name)
    for forms in connection.execute(
        select(assemblies.c.recorded, assemblies.c.result, terms.c.name)
        .join(terms, terms.c.id == assemblies.c.term)
        .where(assemblies.c.pool == pool)
        .order_by(assemblies.c.id)
    ):
        result = json.loads(forms.result)
        told = worded(
            "parallel forms for {term}: {n}", term=forms.name, n=len(result.get("effort", ()))
        )
        replaced = [
            worded("{new} in place of {gone}", new=new, gone=gone)
            for gone, new in result.get("replaced", {}).items()
        ]
        yield forms.recorded, THEN, joined(", ", [told, *replaced])
    names = []
    for made in connection.execute(
        select(releases).where(releases.c.pool == pool).order_by(releases.c.id)
    ):
        names.append(made.name)
        yield made.recorded, AFTER, worded("released {name}", name=made.name)
    yield from _results_of(connection, names)
    for out in connection.execute(
        select(withdrawals.c.recorded, withdrawals.c.reason, items.c.identifier)
        .join(items, items.c.id == withdrawals.c.item)
        .join(uses, uses.c.item == items.c.id)
        .join(draws, draws.c.id == uses.c.draw)
        .where(draws.c.pool == pool)
        .order_by(withdrawals.c.id)
    ):
        yield (
            out.recorded,
            LAST,
            worded(
                "{identifier} withdrawn: {reason}", identifier=out.identifier, reason=out.reason
            ),
        )


# ------------------------------------------------------------ the releases


@dataclass(frozen=True, kw_only=True)
class Listed:
    """A release as it stands: `withdrawn`, how many of its items were taken out since;
    `replaced_by`, the release that stands in its place, or ""."""

    name: str
    pool: str
    term: str
    form: str
    day: str
    items: int
    withdrawn: int
    formats: tuple[str, ...]
    replaced_by: str


def listed(connection: Connection, pool: str = "") -> list[Listed]:
    """The releases of a pool, or of all, in the order of their making."""
    query = select(releases).order_by(releases.c.id)
    found = []
    for row in connection.execute(query.where(releases.c.pool == pool) if pool else query).all():
        release = released(connection, row.name)
        form = release.facts["form"]
        others = series(connection, release.pool, release.term, form, bool(release.since))
        count = select(func.count()).select_from(release_items)
        found.append(
            Listed(
                name=row.name,
                pool=row.pool,
                term=release.term,
                form=form,
                day=f"{row.recorded:%Y-%m-%d}",
                items=connection.scalar(count.where(release_items.c.release == row.id)) or 0,
                withdrawn=len(taken_out(connection, row.id)),
                formats=tuple(
                    dict.fromkeys(p.format for p in packages_of(connection, release.number))
                ),
                replaced_by=others[-1] if row.name in others[:-1] else "",
            )
        )
    return found
