"""Parallel forms on record: their request, their result, and the items of each."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, insert, select

from itembank import __version__
from itembank.bank.entries import inserted
from itembank.bank.schema import assemblies, form_items, forms, terms


@dataclass(frozen=True)
class Form:
    """A form: its name and the numbers of its items."""

    name: str
    items: tuple[int, ...]


@dataclass(frozen=True)
class Assembly:
    """Parallel forms that were assembled together, with all that defends them."""

    request: Mapping[str, Any]
    result: Mapping[str, Any]
    forms: tuple[Form, ...]


def record(
    connection: Connection,
    pool: str,
    term: int,
    request: Mapping[str, Any],
    result: Mapping[str, Any],
    made: Sequence[Form],
) -> None:
    """Record forms; the database refuses two that share an item."""
    assembly = inserted(
        connection.scalar(
            insert(assemblies)
            .values(
                pool=pool,
                term=term,
                request=json.dumps(request, ensure_ascii=False),
                result=json.dumps(result, ensure_ascii=False),
                tool=__version__,
            )
            .returning(assemblies.c.id)
        )
    )
    for form in made:
        number = connection.scalar(
            insert(forms).values(assembly=assembly, name=form.name).returning(forms.c.id)
        )
        rows = [{"form": number, "assembly": assembly, "item": item} for item in form.items]
        connection.execute(insert(form_items), rows)


def latest(connection: Connection, pool: str, term: int) -> Assembly | None:
    """The last forms of a pool and term, or None."""
    row = connection.execute(
        select(assemblies)
        .where(assemblies.c.pool == pool, assemblies.c.term == term)
        .order_by(assemblies.c.id.desc())
        .limit(1)
    ).first()
    if row is None:
        return None
    found: dict[str, list[int]] = {}
    for name, item in connection.execute(
        select(forms.c.name, form_items.c.item)
        .join(form_items, form_items.c.form == forms.c.id)
        .where(forms.c.assembly == row.id)
        .order_by(form_items.c.id)
    ):
        found.setdefault(name, []).append(item)
    return Assembly(
        json.loads(row.request),
        json.loads(row.result),
        tuple(Form(name, tuple(items)) for name, items in found.items()),
    )


def holding(connection: Connection, item: int) -> list[tuple[str, str, str]]:
    """The forms that hold an item, each once: pool, term, and the name of the form."""
    rows = connection.execute(
        select(assemblies.c.pool, terms.c.name.label("term"), forms.c.name)
        .join(forms, forms.c.assembly == assemblies.c.id)
        .join(form_items, form_items.c.form == forms.c.id)
        .join(terms, terms.c.id == assemblies.c.term)
        .where(form_items.c.item == item)
        .order_by(assemblies.c.id, forms.c.id)
    )
    return list(dict.fromkeys((row.pool, row.term, row.name) for row in rows))
