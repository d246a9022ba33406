"""What a pool drew for a term, and what the record of all terms lets it draw.

A problem is used once a term.  After that it rests for as many terms as the pool that used it,
or the one that wants it, says - whichever is longer.  It comes again at most MOST_USES times,
never after a withdrawal, and never for the other purpose: practice and graded questions stay
apart for ever.  Terms count in the order in which the bank met them.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, func, insert, select

from itembank import __version__
from itembank.bank.decisions import cleared
from itembank.bank.entries import inserted, term_id
from itembank.bank.reported import set_aside
from itembank.bank.schema import (
    draws,
    items,
    problems,
    terms,
    usages,
    uses,
    withdrawals,
)

MOST_USES = 3
"""A problem is retired after so many uses (common practice)."""


@dataclass(frozen=True)
class Status:
    """What the record says of a problem: why it is refused, or ""; how often it was used, and the
    number of the term of its last use."""

    refused: str
    times: int = 0
    last: int = 0


FRESH = Status("")


@dataclass(frozen=True)
class Held:
    """An item that a pool holds for a term."""

    item: int
    identifier: str
    family: str
    part: int
    signs: tuple[str, ...]
    steps: int


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """A draw while it is made: for one pool and term, by the facts that it states."""

    connection: Connection
    pool: str
    term: int
    purpose: str
    rests: int

    def status(self, problem: str) -> Status:
        """What the record says of the problem of this name."""
        found = self.connection.execute(
            select(problems.c.id, problems.c.purpose).where(problems.c.key == problem)
        ).first()
        if found is None:
            return FRESH
        if found.purpose != self.purpose:
            return Status(f"kept for {found.purpose}")
        used = self.connection.execute(
            select(uses.c.term, uses.c.rests, terms.c.name)
            .join(terms, terms.c.id == uses.c.term)
            .where(uses.c.problem == found.id)
        ).all()
        for use in used:
            if abs(self.term - use.term) <= max(self.rests, use.rests):
                return Status(f"resting after {use.name}")
        if len(used) >= MOST_USES:
            return Status(f"retired after {MOST_USES} uses")
        return Status(
            self.taken_out(found.id), len(used), max((use.term for use in used), default=0)
        )

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
        rows = [
            {
                "draw": draw,
                "term": self.term,
                "rests": self.rests,
                "item": item,
                "problem": problem,
                "purpose": self.purpose,
                "times": 1 + self.times_used(problem),
                "family": family,
                "part": number,
            }
            for number, part in enumerate(parts)
            for item, problem in part
        ]
        if rows:
            self.connection.execute(insert(uses), rows)

    def times_used(self, problem: int) -> int:
        return (
            self.connection.scalar(
                select(func.count()).select_from(uses).where(uses.c.problem == problem)
            )
            or 0
        )


def begun(connection: Connection, pool: str, term: str, purpose: str, rests: int) -> Drawing:
    return Drawing(
        connection=connection,
        pool=pool,
        term=term_id(connection, term),
        purpose=purpose,
        rests=rests,
    )


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
        )
        .join(draws, draws.c.id == uses.c.draw)
        .join(items, items.c.id == uses.c.item)
        .where(draws.c.pool == pool, uses.c.term == term)
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
        )
        for row in connection.execute(query)
    ]


def latest_facts(connection: Connection, pool: str, term: int) -> dict[str, Any] | None:
    """The facts of the last draw of a pool for a term; None if there was none."""
    found = connection.scalar(
        select(draws.c.facts)
        .where(draws.c.pool == pool, draws.c.term == term)
        .order_by(draws.c.id.desc())
        .limit(1)
    )
    return json.loads(found) if found is not None else None
