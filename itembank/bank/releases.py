"""What was handed out: releases with their groups and items, and their packages by hash."""

import json
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from hashlib import sha256
from math import floor
from typing import Any

from sqlalchemy import Connection, Row, func, insert, select

from itembank import __version__
from itembank.bank.decisions import returned
from itembank.bank.draws import Held, held, latest_facts
from itembank.bank.entries import identity, inserted
from itembank.bank.schema import (
    items,
    packages,
    release_groups,
    release_items,
    releases,
    terms,
    withdrawals,
)
from itembank.values.errors import BankError
from itembank.values.parts import side_by_side
from itembank.values.points import Points, from_plain, plain, points
from itembank.values.worded import worded


@dataclass(frozen=True)
class Part:
    """A group of a release: the numbers of its items, of which a student gets `choose`."""

    family: str
    title: str
    choose: int
    points: Points
    items: tuple[int, ...]


@dataclass(frozen=True)
class Contents:
    """What a release says and holds; `form`: of parallel forms, which one.

    instructions: what students are told at the head of a sheet of paper.
    """

    title: str
    course: str
    language: str
    parts: tuple[Part, ...]
    form: str = ""
    instructions: str = ""

    @property
    def items(self) -> tuple[int, ...]:
        return tuple(item for part in self.parts for item in part.items)


@dataclass(frozen=True)
class Package:
    """A package as it was written; `target`: how its format was to be written.

    counts: what it holds by type, as text; "" where that was not recorded.
    """

    format: str
    target: Mapping[str, Any]
    file: str
    sha256: str
    counts: str = ""


@dataclass(frozen=True)
class Released:
    """A release as it is on record."""

    number: int
    name: str
    pool: str
    term: str
    facts: Mapping[str, Any]
    since: int | None = None
    tool: str = ""


# ------------------------------------------------------------ what is to be released


def drawn_contents(connection: Connection, pool: str, term: int, term_name: str) -> Contents:
    """What a pool holds for a term now, in the order of its file; withdrawn items left out.

    So are items that a reviewer returned, where others were drawn in their place.
    Raises BankError for a pool that was not drawn, or that lacks items of a group.
    """
    facts = latest_facts(connection, pool, term)
    if facts is None:
        raise BankError(
            worded(
                "pool {pool}: it was not drawn for {term_name}; `itembank draw {pool} --term "
                "{term_name}` does it",
                pool=pool,
                term_name=term_name,
            )
        )
    parts: list[Part] = []
    found = held(connection, pool, term)
    objected = returned(connection, [item.item for item in found])
    torn = {item.item for item in _incomplete(found, facts["entries"], objected)}
    for entry in facts["entries"]:
        own = [i for i in found if i.family == entry["family"] and i.item not in torn]
        sound = [item for item in own if item.item not in objected]
        own = sound if len(sound) >= entry["variants"] else own
        numbers = sorted({item.part for item in own})
        for number in numbers:
            choose = entry["choose"] if len(numbers) == 1 else 1
            chosen = tuple(item.item for item in own if item.part == number)
            if len(chosen) < choose:
                raise BankError(
                    worded(
                        "pool {pool}: family {entry}: {n} items are left for {term_name}, of which "
                        "a student is to get {choose}; draw the pool again, which replaces what "
                        "was "
                        "withdrawn",
                        pool=pool,
                        entry=entry["family"],
                        n=len(chosen),
                        term_name=term_name,
                        choose=choose,
                    )
                )
            parts.append(
                Part(entry["family"], entry["title"], choose, from_plain(entry["points"]), chosen)
            )
        if not numbers:
            raise BankError(
                worded(
                    "pool {pool}: family {entry}: no item is left for {term_name}; draw the pool "
                    "again, which replaces what was withdrawn",
                    pool=pool,
                    entry=entry["family"],
                    term_name=term_name,
                )
            )
    told = facts.get("instructions", "")
    return Contents(
        facts["title"], facts["course"], facts["language"], tuple(parts), instructions=told
    )


def _incomplete(
    found: Sequence[Held], entries: Sequence[Mapping[str, Any]], objected: Collection[int]
) -> Iterator[Held]:
    """The parts of variants of which another part is withdrawn, or returned and to be replaced."""
    for names in side_by_side([entry["family"] for entry in entries], str):
        if len(names) == 1:
            continue
        held = [
            {i.variant for i in found if i.family == name and i.item not in objected}
            for name in names
        ]
        whole = set.intersection(*held)
        yield from (i for i in found if i.family in names and i.variant not in whole)


def whole_variants(contents: Contents, wanted: Collection[int]) -> set[int]:
    """Of the wanted items those of which all parts are wanted."""
    found: set[int] = set()
    for parts in side_by_side(contents.parts, lambda part: part.family):
        for row in zip(*(part.items for part in parts), strict=True):
            if set(row) <= set(wanted):
                found.update(row)
    return found


def fingerprint(connection: Connection, contents: Contents) -> str:
    """A hash of all that the release holds: the same again, the same release."""
    hashes = {
        row.id: row.fingerprint
        for first in range(0, len(contents.items), MANY)
        for row in connection.execute(
            select(items.c.id, items.c.fingerprint).where(
                items.c.id.in_(contents.items[first : first + MANY])
            )
        )
    }
    said = [contents.title, contents.course, contents.language]
    said += [contents.instructions] if contents.instructions else []
    data = said + [
        [p.family, p.title, p.choose, plain(p.points), [hashes[i] for i in p.items]]
        for p in contents.parts
    ]
    return sha256(json.dumps(data).encode()).hexdigest()


MANY = 500
"""Numbers named in one query."""


def name_for(connection: Connection, base: str, mark: str) -> str:
    """The name of a release of this fingerprint: the one on record, or the next that is free.

    The first of a pool and term has its plain name, later ones a number after it: a platform
    must not take the corrected one for the first.
    """
    n = 1
    while True:
        name = base if n == 1 else f"{base}-{n}"
        found = connection.scalar(select(releases.c.fingerprint).where(releases.c.name == name))
        if found is None or found == mark:
            return name
        n += 1


# ------------------------------------------------------------ on record


def record(
    connection: Connection,
    name: str,
    pool: str,
    term: int,
    contents: Contents,
    mark: str,
    since: int | None = None,
) -> None:
    """Record a release, if it is not on record; BankError if its name is another's meanwhile."""
    found = connection.scalar(select(releases.c.fingerprint).where(releases.c.name == name))
    if found == mark:
        return
    if found is not None:
        raise BankError(
            worded(
                "release {name}: another process has just taken this name; run it again", name=name
            )
        )
    number = inserted(
        connection.scalar(
            insert(releases)
            .values(
                name=name,
                pool=pool,
                term=term,
                since=since,
                fingerprint=mark,
                facts=json.dumps(
                    {
                        "title": contents.title,
                        "course": contents.course,
                        "language": contents.language,
                        "form": contents.form,
                        **({"instructions": told} if (told := contents.instructions) else {}),
                    },
                    ensure_ascii=False,
                ),
                tool=__version__,
            )
            .returning(releases.c.id)
        )
    )
    for position, part in enumerate(contents.parts):
        group = connection.scalar(
            insert(release_groups)
            .values(
                release=number,
                number=position,
                family=part.family,
                title=part.title,
                choose=part.choose,
                points=floor(part.points),
                half=part.points != floor(part.points),
            )
            .returning(release_groups.c.id)
        )
        rows = [{"release": number, "release_group": group, "item": i} for i in part.items]
        connection.execute(insert(release_items), rows)


def record_packages(connection: Connection, name: str, written: Sequence[Package]) -> None:
    number = released(connection, name).number
    known = {(p.format, p.sha256) for p in packages_of(connection, number)}
    rows = [
        {
            "release": number,
            "format": p.format,
            "target": json.dumps(p.target),
            "file": p.file,
            "sha256": p.sha256,
            "counts": p.counts,
        }
        for p in written
        if (p.format, p.sha256) not in known
    ]
    if rows:
        connection.execute(insert(packages), rows)


def released(connection: Connection, name: str) -> Released:
    """The release of this name; BankError if there is none, with the names there are."""
    row = connection.execute(
        select(releases, terms.c.name.label("term_name"))
        .join(terms, terms.c.id == releases.c.term)
        .where(releases.c.name == name)
    ).first()
    if row is None:
        known = connection.scalars(select(releases.c.name).order_by(releases.c.id.desc()).limit(5))
        raise BankError(
            worded(
                "release {name}: the bank has none of this name; the last are: {known}",
                name=name,
                known=", ".join(known) or worded("none"),
            )
        )
    return Released(
        row.id, row.name, row.pool, row.term_name, json.loads(row.facts), row.since, row.tool
    )


def released_forms(connection: Connection, pool: str, term: int) -> list[str]:
    """The forms of a pool and term that were released, each once."""
    facts = connection.scalars(
        select(releases.c.facts)
        .where(releases.c.pool == pool, releases.c.term == term)
        .order_by(releases.c.id)
    )
    names = (json.loads(text)["form"] for text in facts)
    return list(dict.fromkeys(name for name in names if name))


def released_items(connection: Connection, release: int) -> tuple[int, ...]:
    return tuple(
        connection.scalars(
            select(release_items.c.item)
            .where(release_items.c.release == release)
            .order_by(release_items.c.id)
        )
    )


def packages_of(connection: Connection, release: int) -> tuple[Package, ...]:
    rows = connection.execute(
        select(packages).where(packages.c.release == release).order_by(packages.c.id)
    )
    return tuple(
        Package(row.format, json.loads(row.target), row.file, row.sha256, row.counts)
        for row in rows
    )


def released_contents(connection: Connection, release: Released) -> Contents:
    """What a release holds, as it was recorded."""
    rows = connection.execute(
        select(release_groups)
        .where(release_groups.c.release == release.number)
        .order_by(release_groups.c.number)
    ).all()
    items_of: dict[int, list[int]] = {row.id: [] for row in rows}
    for group, item in connection.execute(
        select(release_items.c.release_group, release_items.c.item)
        .where(release_items.c.release == release.number)
        .order_by(release_items.c.id)
    ):
        items_of[group].append(item)
    parts = tuple(
        Part(row.family, row.title, row.choose, _points_of(row), tuple(items_of[row.id]))
        for row in rows
    )
    facts = release.facts
    said, told = (facts["title"], facts["course"], facts["language"]), facts.get("instructions", "")
    return Contents(*said, parts, facts["form"], told)


def _points_of(group: Row[Any]) -> Points:
    """What each question of a group counts."""
    return points(group.points + Fraction(group.half, 2))


def series(connection: Connection, pool: str, term: str, form: str, since: bool) -> list[str]:
    """The releases of which each takes the place of the one before: of a pool and term, whole
    (or `since` another), or of one form of it; those with packages, in the order of their making.
    """
    rows = connection.execute(
        select(releases.c.name, releases.c.facts)
        .join(terms, terms.c.id == releases.c.term)
        .where(
            releases.c.pool == pool,
            terms.c.name == term,
            releases.c.since.is_not(None) if since else releases.c.since.is_(None),
            releases.c.id.in_(select(packages.c.release)),
        )
        .order_by(releases.c.id)
    )
    return [row.name for row in rows if json.loads(row.facts)["form"] == form]


def taken_out(connection: Connection, release: int) -> list[str]:
    """The identifiers of the items of a release that were withdrawn, in its order."""
    return list(
        connection.scalars(
            select(items.c.identifier)
            .join(release_items, release_items.c.item == items.c.id)
            .join(withdrawals, withdrawals.c.item == items.c.id)
            .where(release_items.c.release == release)
            .order_by(release_items.c.id)
        )
    )


# ------------------------------------------------------------ withdrawals


@dataclass(frozen=True)
class Holding:
    """A release that holds an item: in which group, drawn how, of how many."""

    release: Released
    group: str
    choose: int
    of: int
    packages: tuple[Package, ...]


def holdings(connection: Connection, item: int) -> list[Holding]:
    """Every release that holds an item, in the order of their making."""
    rows = connection.execute(
        select(
            releases.c.name,
            release_groups.c.id,
            release_groups.c.title,
            release_groups.c.choose,
        )
        .join(release_groups, release_groups.c.release == releases.c.id)
        .join(release_items, release_items.c.release_group == release_groups.c.id)
        .where(release_items.c.item == item)
        .order_by(releases.c.id)
    ).all()
    found = []
    for row in rows:
        release = released(connection, row.name)
        size = connection.scalar(
            select(func.count())
            .select_from(release_items)
            .where(release_items.c.release_group == row.id)
        )
        found.append(
            Holding(
                release,
                row.title,
                row.choose,
                inserted(size),
                packages_of(connection, release.number),
            )
        )
    return found


def withdrawn_because(connection: Connection, item: int) -> str | None:
    """The reason for which an item was taken out; None if it was not."""
    found: str | None = connection.scalar(
        select(withdrawals.c.reason).where(withdrawals.c.item == item)
    )
    return found


def refuse_another_reason(connection: Connection, item: int, reason: str) -> bool:
    """Whether an item was taken out before for this reason; BankError if it was for another."""
    found = withdrawn_because(connection, item)
    if found not in (None, reason):
        name, _mark = identity(connection, item)
        raise BankError(
            worded(
                "{name}: it was withdrawn before: {found}; `itembank rescoring {name}` writes "
                "its note and the corrected packages again",
                name=name,
                found=found,
            )
        )
    return found is not None


def withdraw(connection: Connection, item: int, reason: str) -> None:
    """Take an item out, for ever; BankError if it was taken out before for another reason."""
    if not refuse_another_reason(connection, item, reason):
        connection.execute(insert(withdrawals).values(item=item, reason=reason))
