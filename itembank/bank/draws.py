"""What a pool drew for a term, and what the record of all terms lets it draw.

A problem is used once a term.  After that it rests for as many terms as the pool that used it,
or the one that wants it, says - whichever is longer.  It comes again at most MOST_USES times,
never after a withdrawal, and never for the other purpose: practice and graded questions stay
apart for ever.  Terms count in the order in which the bank met them, those with a draw alone.

A draw that was undone counts for nothing, but for this: its term does not draw its problems again,
since an item of a problem, pool and term is one for ever.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, Connection, Subquery, bindparam, func, insert, select

from itembank import __version__
from itembank.bank.decisions import cleared
from itembank.bank.entries import READ_TOGETHER, Entry, enter, inserted, term_id
from itembank.bank.reported import set_aside
from itembank.bank.schema import (
    draws,
    families,
    items,
    problems,
    release_items,
    releases,
    terms,
    undone,
    usages,
    uses,
    withdrawals,
)
from itembank.values.parts import whole_of
from itembank.values.worded import worded

MOST_USES = 3
"""A problem is retired after so many uses (common practice)."""


def stands() -> ColumnElement[bool]:
    """Of a use: its draw was not undone."""
    return uses.c.draw.not_in(select(undone.c.draw))


def places() -> Subquery:
    """The terms that a draw stands for, each with its place in their order, from 1 on."""
    drawn = select(draws.c.term).where(draws.c.id.not_in(select(undone.c.draw)))
    return (
        select(terms.c.id, func.row_number().over(order_by=terms.c.id).label("place"))
        .where(terms.c.id.in_(drawn))
        .subquery()
    )


def _place_of(connection: Connection, term: int) -> int:
    """The place of a term among those that a draw stands for; if none does, the next for it."""
    place = places()
    before = connection.scalar(select(func.count()).select_from(place).where(place.c.id < term))
    return 1 + inserted(before)


@dataclass(frozen=True)
class Status:
    """What the record says of a problem: why it is refused, or ""; how often it was used, and the
    place of the term of its last use."""

    refused: str
    times: int = 0
    last: int = 0


_FRESH = Status("")

HELD_NAMES = 5_000
"""A bank of so many problems is not asked for each whether it has met it: to read their names takes
as long as to ask for a hundred."""

_OF_THIS_NAME = select(problems.c.id, problems.c.purpose).where(problems.c.key == bindparam("name"))
"""Made once: it is asked for every variant of a draw, and to make it took longer than to ask."""


@dataclass(frozen=True)
class Held:
    """An item that a pool holds for a term."""

    item: int
    identifier: str
    family: str
    part: int
    signs: tuple[str, ...]
    steps: int
    variant: tuple[str, int] = ("", 0)
    """Its own family and seed, and the number of its variant: alike for all parts of one."""


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """A draw while it is made: for one pool and term, by the facts that it states.

    names: those of all problems of the bank, which no other process adds to meanwhile; None where
    they are too many to be held.
    """

    connection: Connection
    pool: str
    term: int
    place: int
    purpose: str
    rests: int
    names: set[str] | None

    def status(self, problem: str) -> Status:
        """What the record says of the problem of this name."""
        if self.names is not None and problem not in self.names:
            return _FRESH
        found = self.connection.execute(_OF_THIS_NAME, {"name": problem}).first()
        if found is None:
            return _FRESH
        if found.purpose != self.purpose:
            return Status(worded("kept for {purpose}", purpose=found.purpose))
        place = places()
        used = self.connection.execute(
            select(place.c.place, uses.c.rests, terms.c.name)
            .join(terms, terms.c.id == uses.c.term)
            .join(place, place.c.id == uses.c.term)
            .where(uses.c.problem == found.id, stands())
        ).all()
        for use in used:
            if abs(self.place - use.place) <= max(self.rests, use.rests):
                return Status(worded("resting after {name}", name=use.name))
        if self.connection.scalar(
            select(uses.c.id).where(uses.c.problem == found.id, uses.c.term == self.term)
        ):
            return Status("of a draw for this term that was undone")
        if len(used) >= MOST_USES:
            return Status(worded("retired after {most_uses} uses", most_uses=MOST_USES))
        return Status(
            self.taken_out(found.id), len(used), max((use.place for use in used), default=0)
        )

    def enter(self, family: int, new: Sequence[Entry]) -> list[tuple[int, int]]:
        """Enter new items of a family; their (item, problem) numbers, in order."""
        if self.names is not None:
            self.names.update(entry.problem for entry in new)
        return enter(self.connection, family, self.purpose, new)

    def taken_out(self, problem: int) -> str:
        """Why people or results took the problem out, or ""."""
        if self.connection.scalar(
            select(func.count())
            .select_from(withdrawals.join(items, items.c.id == withdrawals.c.item))
            .where(items.c.problem == problem)
        ):
            return "withdrawn"
        advices = self.connection.scalars(
            select(usages.c.advice)
            .join(items, items.c.id == usages.c.item)
            .where(
                items.c.problem == problem,
                items.c.id.not_in(cleared()),
                usages.c.report.not_in(set_aside()),
            )
        ).all()
        if "rest" in advices:
            return "waits for a check of its key"
        return "retired by its results" if "retire" in advices else ""

    def held(self) -> list[Held]:
        """What the pool holds for the term by earlier draws, without what was withdrawn."""
        return held(self.connection, self.pool, self.term)

    def record(self, facts: Mapping[str, Any]) -> int:
        """The draw itself: with these facts and this version it can be made again."""
        return inserted(
            self.connection.scalar(
                insert(draws)
                .values(
                    pool=self.pool,
                    term=self.term,
                    purpose=self.purpose,
                    rests=self.rests,
                    facts=json.dumps(facts, ensure_ascii=False),
                    tool=__version__,
                )
                .returning(draws.c.id)
            )
        )

    def use(self, draw: int, family: str, parts: Sequence[Sequence[tuple[int, int]]]) -> None:
        """Record the use of (item, problem) numbers, by parts.

        Two that draw the same problem at once both count it as the same use, and the second
        is refused by the database, whatever locks there are.
        """
        recorded = self._times([problem for part in parts for _item, problem in part])
        rows = [
            {
                "draw": draw,
                "term": self.term,
                "rests": self.rests,
                "item": item,
                "problem": problem,
                "purpose": self.purpose,
                "times": 1 + recorded.get(problem, 0),
                "family": family,
                "part": number,
            }
            for number, part in enumerate(parts)
            for item, problem in part
        ]
        if rows:
            self.connection.execute(insert(uses), rows)

    def used(self, wanted: Sequence[int]) -> set[int]:
        """Those of these problems that were used, by draws that stand."""
        return set(self._times(wanted, stands()))

    def _times(self, wanted: Sequence[int], *which: ColumnElement[bool]) -> dict[int, int]:
        """How often each of these problems was used, if it was: by draws that were undone too, or
        by such uses alone."""
        found: dict[int, int] = {}
        for first in range(0, len(wanted), READ_TOGETHER):
            some = uses.c.problem.in_(wanted[first : first + READ_TOGETHER])
            rows = self.connection.execute(
                select(uses.c.problem, func.count()).where(some, *which).group_by(uses.c.problem)
            )
            found |= {row[0]: row[1] for row in rows}
        return found


def begun(connection: Connection, pool: str, term: str, purpose: str, rests: int) -> Drawing:
    number = term_id(connection, term)
    return Drawing(
        connection=connection,
        pool=pool,
        term=number,
        place=_place_of(connection, number),
        purpose=purpose,
        rests=rests,
        names=_names(connection),
    )


def _names(connection: Connection) -> set[str] | None:
    """The names of all problems, None if they are more than HELD_NAMES."""
    found = connection.scalars(select(problems.c.key).limit(HELD_NAMES + 1)).all()
    return set(found) if len(found) <= HELD_NAMES else None


def held(connection: Connection, pool: str, term: int, gone: bool = False) -> list[Held]:
    """What a pool holds for a term, in the order drawn; what was withdrawn only with `gone`."""
    query = (
        select(
            uses.c.item,
            items.c.identifier,
            uses.c.family,
            uses.c.part,
            items.c.signs,
            items.c.steps,
            items.c.seed,
            items.c.variant,
            families.c.name,
        )
        .join(draws, draws.c.id == uses.c.draw)
        .join(items, items.c.id == uses.c.item)
        .join(families, families.c.id == items.c.family)
        .where(draws.c.pool == pool, uses.c.term == term, stands())
        .order_by(uses.c.id)
    )
    if not gone:
        query = query.where(uses.c.item.not_in(select(withdrawals.c.item)))
    return [
        Held(
            item=row.item,
            identifier=row.identifier,
            family=row.family,
            part=row.part,
            signs=tuple(row.signs.split()),
            steps=row.steps,
            variant=(f"{whole_of(row.name)}/{row.seed}", row.variant),
        )
        for row in connection.execute(query)
    ]


def latest_facts(connection: Connection, pool: str, term: int) -> dict[str, Any] | None:
    """The facts of the last draw of a pool for a term that stands; None if there is none."""
    found = last_draw(connection, pool, term)
    facts = connection.scalar(select(draws.c.facts).where(draws.c.id == found))
    return json.loads(facts) if facts is not None else None


# ------------------------------------------------------------ undone


def last_draw(connection: Connection, pool: str, term: int) -> int | None:
    """The last draw of a pool for a term that stands."""
    found: int | None = connection.scalar(
        select(draws.c.id)
        .where(
            draws.c.pool == pool,
            draws.c.term == term,
            draws.c.id.not_in(select(undone.c.draw)),
        )
        .order_by(draws.c.id.desc())
        .limit(1)
    )
    return found


def releases_of_draw(connection: Connection, draw: int) -> list[str]:
    """The releases that hold items of a draw."""
    rows = connection.scalars(
        select(releases.c.name)
        .join(release_items, release_items.c.release == releases.c.id)
        .join(uses, uses.c.item == release_items.c.item)
        .where(uses.c.draw == draw)
        .order_by(releases.c.id)
    )
    return list(dict.fromkeys(rows))


def used_by_draw(connection: Connection, draw: int) -> dict[str, int]:
    """How many items of each family a draw used."""
    rows = connection.execute(
        select(uses.c.family, func.count())
        .where(uses.c.draw == draw)
        .group_by(uses.c.family)
        .order_by(func.min(uses.c.id))
    )
    return {row[0]: row[1] for row in rows}


def undo(connection: Connection, draw: int) -> None:
    connection.execute(insert(undone).values(draw=draw))
