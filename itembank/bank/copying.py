"""A bank copied into another, on whatever database; or two brought together.

A record that both hold is kept once.  What both hold in different words is refused, with nothing
copied: an item under one name with two contents, a release under one name with two sets of
questions, a problem that both used in the same term.  Numbers of records are those of the bank
they come into.  Terms keep their order: one that only the source knows comes after all.

Whether all has arrived is asked of both banks anew: each record is told by a hash of what it says,
in which the records it refers to stand by their hashes, so that no number counts.
"""

import zlib
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from typing import Any

from sqlalchemy import Connection, ForeignKey, Table, UniqueConstraint, func, insert, select, text

from itembank.bank.connection import Bank
from itembank.bank.schema import metadata, terms, uses
from itembank.values.errors import BankError
from itembank.values.worded import worded

TABLES = metadata.sorted_tables
"""Each after those that it refers to."""

_OWN = {"id", "times"}
"""Columns that a bank counts itself."""

_ASIDE = {"recorded", "tool", "counts"}
"""Columns in which two records of the same may differ: when, and by which version."""

_MEASURED = "capacities"
"""What every bank measures again; its own figures stay."""

_TOGETHER = 500
"""Records read and written at a time."""

Row = dict[str, Any]
_Numbers = dict[str, dict[int, int]]
"""Of each table, the numbers of its records there by those here."""


@dataclass(frozen=True)
class Copied:
    """How many records of each table the source holds, and how many of them were new."""

    records: Mapping[str, int]
    new: Mapping[str, int]


def copy(source: Bank, into: Bank, keep: bool = True) -> Copied:
    """Copy all that a bank holds into another, and check that it is there.

    Raises BankError, and leaves the other as it was, where the two contradict each other.
    Without `keep` it is only tried.
    """
    if source.name == into.name:
        raise BankError(
            worded(
                "{name}: expected two banks, got one; name another to copy into", name=source.name
            )
        )
    with source.reading() as here, into.writing(keep) as there:
        _refuse_other_order(source.name, here, there)
        numbers: _Numbers = {}
        new = {}
        for table in TABLES:
            numbers[table.name], new[table.name] = _copied(table, here, there, numbers, into.name)
        _count_on(there)
        _refuse_unless_there(source.name, here, there)
        return Copied({name: len(found) for name, found in numbers.items()}, new)


def _refuse_other_order(name: str, here: Connection, there: Connection) -> None:
    """BankError where a term would come after one that it came before."""
    order = select(terms.c.name).order_by(terms.c.id)
    ours, theirs = list(here.scalars(order)), list(there.scalars(order))
    both = [term for term in ours if term in theirs]
    new = [term for term in ours if term not in theirs]
    if both != [term for term in theirs if term in both] or ours[len(ours) - len(new) :] != new:
        raise BankError(
            worded(
                "{name}: its terms ({ours}) stand in another order than those of the bank to "
                "copy into ({theirs}); copy that one into this one",
                name=name,
                ours=", ".join(ours),
                theirs=", ".join(theirs),
            )
        )


def _copied(
    table: Table, here: Connection, there: Connection, numbers: _Numbers, name: str
) -> tuple[dict[int, int], int]:
    """The numbers of the records there, and how many are new."""
    references = referring(table)
    known = _Known(table, there)
    found: dict[int, int] = {}
    new = 0
    for row in rows(table, here):
        moved = {
            column: numbers[references[column]][value] if column in references and value else value
            for column, value in row.items()
            if column != "id"
        }
        if "recorded" in moved:
            moved["recorded"] = plain(moved["recorded"]).replace(tzinfo=UTC)
        number = known.same(moved, name)
        if number is None:
            if table is uses:
                moved["times"] = known.next_time(moved["problem"])
            if table is terms:  # whose numbers are their order, and are given by hand
                moved["id"] = 1 + (there.scalar(select(func.max(terms.c.id))) or 0)
            number = int(
                there.execute(insert(table).values(**moved).returning(table.c.id)).scalar_one()
            )
            if table is uses:
                known.times[moved["problem"]] = moved["times"]
            new += 1
        found[row["id"]] = number
    return found, new


class _Known:
    """The records of a table of the bank that is copied into, found by what they say."""

    def __init__(self, table: Table, there: Connection) -> None:
        self.table = table
        self.keys = [
            [column.name for column in one.columns]
            for one in table.constraints
            if isinstance(one, UniqueConstraint) and not {c.name for c in one.columns} & _OWN
        ] + [[column.name] for column in table.columns if column.unique]
        self.by_key: dict[tuple[Any, ...], tuple[int, tuple[Any, ...]]] = {}
        self.by_content: dict[tuple[Any, ...], list[int]] = {}
        self.times: Counter[int] = Counter()
        for row in rows(table, there):
            content = self.content(row)
            self.by_content.setdefault(content, []).append(row["id"])
            for key in self.keys:
                self.by_key[(*key, *(row[c] for c in key))] = row["id"], content
            if table is uses:
                self.times[row["problem"]] = max(self.times[row["problem"]], row["times"])

    @property
    def names(self) -> list[str]:
        """The columns that say what a record is; an item's bytes are told by its fingerprint."""
        return [c.name for c in self.table.columns if c.name not in _OWN | {"content"}]

    def content(self, row: Row) -> tuple[Any, ...]:
        return tuple(plain(row[name]) for name in self.names)

    def same(self, row: Row, name: str) -> int | None:
        """The number of the record that says the same, or None; BankError for a contradiction.

        Of several that say the same, as two decisions may, each is found once.
        """
        content = self.content(row)
        for key in self.keys:
            found = self.by_key.get((*key, *(row[c] for c in key)))
            if found is not None and self.differs(found[1], content):
                told = ", ".join(f"{c} {str(row[c])[:60]}" for c in key)
                raise BankError(
                    worded(
                        "{name}: both banks hold a record of {other_name} ({told}), and they "
                        "differ; "
                        "nothing was copied",
                        name=name,
                        other_name=self.table.name,
                        told=told,
                    )
                )
            if found is not None:
                return found[0]
        left = self.by_content.get(content)
        return left.pop(0) if left else None

    def differs(self, one: tuple[Any, ...], other: tuple[Any, ...]) -> bool:
        return self.table.name != _MEASURED and any(
            a != b for name, a, b in zip(self.names, one, other, strict=True) if name not in _ASIDE
        )

    def next_time(self, problem: int) -> int:
        return self.times[problem] + 1


def referring(table: Table) -> dict[str, str]:
    """The columns that hold the number of a record, and of which table."""
    found: dict[str, str] = {}
    for column in table.columns:
        for key in column.foreign_keys:
            if isinstance(key, ForeignKey) and key.column.name == "id":
                found[column.name] = key.column.table.name
            elif key.column.name in _referring_once(key.column.table):
                found.setdefault(column.name, _referring_once(key.column.table)[key.column.name])
    return found


def _referring_once(table: Table) -> dict[str, str]:
    return {
        column.name: key.column.table.name
        for column in table.columns
        for key in column.foreign_keys
        if key.column.name == "id"
    }


def rows(table: Table, connection: Connection) -> Iterator[Row]:
    """The records of a table in the order of their numbers."""
    last = 0
    while True:
        lot = connection.execute(
            select(table).where(table.c.id > last).order_by(table.c.id).limit(_TOGETHER)
        ).all()
        for row in lot:
            yield dict(row._mapping)
        if len(lot) < _TOGETHER:
            return
        last = lot[-1].id


def _count_on(there: Connection) -> None:
    """Of PostgreSQL: the next number of each table comes after those that were given by hand."""
    if there.dialect.name != "postgresql":
        return
    for table in TABLES:
        highest = there.scalar(select(func.max(table.c.id)))
        if highest:
            there.execute(
                text("SELECT setval(pg_get_serial_sequence(:name, 'id'), :highest)"),
                {"name": table.name, "highest": highest},
            )


# ------------------------------------------------------------ is all of it there?


def plain(value: Any) -> Any:
    """A value as every database gives it: days in UTC, bytes as bytes."""
    if isinstance(value, datetime):
        return (value if value.tzinfo is None else value.astimezone(UTC)).replace(tzinfo=None)
    return bytes(value) if isinstance(value, memoryview) else value


def _hashes(connection: Connection) -> dict[str, Counter[str]]:
    """What each table says: its records by hash, and how many say the same."""
    of: dict[str, dict[int, str]] = {}
    for table in TABLES:
        references = referring(table)
        of[table.name] = {
            row["id"]: sha256(
                repr(
                    [
                        (c, of[references[c]][v] if c in references and v else _said(c, v))
                        for c, v in sorted(row.items())
                        if c not in _OWN
                    ]
                ).encode()
            ).hexdigest()
            for row in rows(table, connection)
        }
    return {name: Counter(found.values()) for name, found in of.items()}


def _said(column: str, value: Any) -> Any:
    """What a column says that must be the same in both banks."""
    if column in _ASIDE:
        return ""
    return zlib.decompress(value) if column == "content" else plain(value)


def _refuse_unless_there(name: str, here: Connection, there: Connection) -> None:
    """BankError unless every record is in the other bank, by count and by hash."""
    ours, theirs = _hashes(here), _hashes(there)
    for table, found in ours.items():
        missing = found - theirs[table]
        if missing and table != _MEASURED:
            raise BankError(
                worded(
                    "{name}: {total} of {other_total} records of {table} did not arrive as they "
                    "are; "
                    "nothing was copied",
                    name=name,
                    total=missing.total(),
                    other_total=found.total(),
                    table=table,
                )
            )
