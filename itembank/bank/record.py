"""The whole record for other programs and for people: a table a file, and all of it as JSON.

What a record refers to stands under its name, where it has one, and under its number otherwise, so
that the tables can be read and joined without the bank.
"""

import csv
import io
import json
import zlib
from collections.abc import Iterator
from typing import Any

from sqlalchemy import Connection, Table, select

from itembank.bank.copying import TABLES, plain, referring, rows
from itembank.bank.schema import metadata

_NAMES = {
    "families": "name", "problems": "key", "items": "identifier", "terms": "name",
    "releases": "name",
}  # fmt: skip
"""The tables whose records have a name, and its column."""

_TOLD_AS_JSON = frozenset(
    ["facts", "request", "result", "target", "counts", "band", "spread", "answer"]
)
"""Columns that hold JSON."""


def documents(connection: Connection) -> Iterator[tuple[str, bytes]]:
    """The files of the record, by name: record.json, and a CSV for each table.

    The tables leave out the whole text of items, which record.json has.
    """
    named = _names(connection)
    whole: dict[str, list[dict[str, Any]]] = {}
    for table in TABLES:
        told = [_readable(table, row, named) for row in rows(table, connection)]
        whole[table.name] = told
        yield f"{table.name}.csv", _as_csv(table, told)
    text = json.dumps(whole, ensure_ascii=False, indent=1)
    yield "record.json", (text + "\n").encode()


def _names(connection: Connection) -> dict[str, dict[int, str]]:
    return {
        table: {
            row[0]: row[1]
            for row in connection.execute(
                select(metadata.tables[table].c.id, metadata.tables[table].c[column])
            )
        }
        for table, column in _NAMES.items()
    }


def _readable(
    table: Table, row: dict[str, Any], named: dict[str, dict[int, str]]
) -> dict[str, Any]:
    references = referring(table)
    told: dict[str, Any] = {}
    for column, value in row.items():
        if column in references and value is not None:
            told[column] = named.get(references[column], {}).get(value, value)
        elif column == "content":
            told[column] = json.loads(zlib.decompress(value))
        elif column == "recorded":
            told[column] = f"{plain(value):%Y-%m-%d %H:%M:%S}"
        elif column in _TOLD_AS_JSON and value:
            told[column] = json.loads(value)
        else:
            told[column] = value
    return told


def _as_csv(table: Table, told: list[dict[str, Any]]) -> bytes:
    """The rows under the names of the columns; text that a spreadsheet would run is quoted."""
    columns = [c.name for c in table.columns if c.name != "content"]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(columns)
    for row in told:
        writer.writerow([_cell(row[column]) for column in columns])
    return out.getvalue().encode()


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return "'" + value if value[:1] in ("=", "+", "-", "@") else value
    return json.dumps(value, ensure_ascii=False)
