"""Families in their versions, problems, items and terms: entered once, and found again."""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import starmap
from typing import Any

from sqlalchemy import Connection, Select, func, insert, select

from itembank import __version__
from itembank.bank.schema import draws, families, items, problems, terms, undone
from itembank.bank.stored import item_from, stored
from itembank.forms import form_of
from itembank.spec import Family
from itembank.values.errors import BankError
from itembank.values.item import Item, Response
from itembank.values.parts import letter_of, name_of_all, name_of_part, whole_of
from itembank.values.worded import joined, worded

Purpose = str
"""graded or practice."""


# ------------------------------------------------------------ terms


def term_id(connection: Connection, name: str) -> int:
    """The number of a term; a new one comes after all that the bank has met."""
    found = connection.scalar(select(terms.c.id).where(terms.c.name == name))
    if found is None:
        last = connection.scalar(select(func.max(terms.c.id))) or 0
        connection.execute(insert(terms).values(id=last + 1, name=name))
        found = last + 1
    return found


def has_term(connection: Connection, name: str) -> bool:
    """Whether the bank has met a term, drawn for or not."""
    return connection.scalar(select(terms.c.id).where(terms.c.name == name)) is not None


def drawn_terms(connection: Connection) -> list[str]:
    """The names of the terms that a draw stands for, in their order."""
    drawn = select(draws.c.term).where(draws.c.id.not_in(select(undone.c.draw)))
    return list(
        connection.scalars(select(terms.c.name).where(terms.c.id.in_(drawn)).order_by(terms.c.id))
    )


def known_term(connection: Connection, name: str) -> int:
    found: int | None = connection.scalar(select(terms.c.id).where(terms.c.name == name))
    if found is None:
        known = ", ".join(drawn_terms(connection)) or "none"
        raise BankError(
            worded(
                "term {name}: the bank has no draw for it; it knows: {known}",
                name=name,
                known=known,
            )
        )
    return found


# ------------------------------------------------------------ families


def known_family(connection: Connection, family: Family) -> int | None:
    """The family's entry in this version; None if it has none, or one of another content."""
    found: int | None = connection.scalar(
        select(families.c.id).where(
            families.c.name == family.id,
            families.c.version == family.version,
            families.c.fingerprint == family.fingerprint,
        )
    )
    return found


def family_id(connection: Connection, family: Family) -> int:
    """The family's entry in this version, entered if new.

    Raises BankError where the version was entered before with another content: what was
    released under it must stay what it was.
    """
    found = connection.execute(
        select(families.c.id, families.c.fingerprint).where(
            families.c.name == family.id, families.c.version == family.version
        )
    ).first()
    if found is None:
        return inserted(
            connection.execute(
                insert(families)
                .values(
                    name=family.id,
                    version=family.version,
                    fingerprint=family.fingerprint,
                    source=family.path.read_text(encoding="utf-8"),
                )
                .returning(families.c.id)
            ).scalar_one()
        )
    if found.fingerprint != family.fingerprint:
        raise BankError(
            worded(
                "family {id}: the bank holds version {version} with another content; set its "
                "version to {other_version}",
                id=family.id,
                version=family.version,
                other_version=family.version + 1,
            )
        )
    return inserted(found.id)


def inserted(value: object) -> int:
    if not isinstance(value, int):
        raise TypeError(f"expected the number of a record, got {value!r}")
    return value


# ------------------------------------------------------------ items


@dataclass(frozen=True, kw_only=True)
class Entry:
    """An item as it is entered, made without the database, so in any process.

    problem: names the problem and its disguises.  signs: what near twins have in common.
    """

    problem: str
    identifier: str
    fingerprint: str
    seed: str
    variant: int
    title: str
    form: str
    ask: str
    statement: str
    answer: str
    steps: int
    digits: int
    singular: int
    signs: str
    content: bytes
    tool: str = __version__


def entry_of(item: Item, problem: str, digits: int, singular: int, signs: Sequence[str]) -> Entry:
    content, fingerprint = stored(item)
    return Entry(
        problem=problem,
        identifier=item.identifier,
        fingerprint=fingerprint,
        seed=item.provenance.seed,
        variant=item.provenance.index,
        title=item.title,
        form=item.response.form,
        ask=item.ask,
        statement="\n".join(item.statement),
        answer=key_text(item.response),
        steps=item.steps,
        digits=digits,
        singular=singular,
        signs=" ".join(signs),
        content=content,
    )


def key_text(response: Response) -> str:
    """The right response, as JSON that a person reads: [2, 7], "none", 5, true."""
    return json.dumps(form_of(response).kept(response), ensure_ascii=False)


def enter(
    connection: Connection, family: int, purpose: Purpose, entries: Sequence[Entry]
) -> list[tuple[int, int]]:
    """Enter new items; their (item, problem) numbers, in order.

    A problem is practice or graded from its first item on, for ever.
    """
    names = [entry.problem for entry in entries]
    known = _problem_numbers(connection, names)
    new = [{"key": name, "purpose": purpose} for name in names if name not in known]
    if new:
        connection.execute(insert(problems), new)
        known = _problem_numbers(connection, names)
    rows = []
    for entry in entries:
        rows.append({**vars(entry), "problem": known[entry.problem], "family": family})
    numbers = connection.scalars(
        insert(items).returning(items.c.id, sort_by_parameter_order=True), rows
    )
    return [(number, row["problem"]) for number, row in zip(numbers, rows, strict=True)]


def _problem_numbers(connection: Connection, names: Sequence[str]) -> dict[str, int]:
    found = connection.execute(
        select(problems.c.key, problems.c.id).where(problems.c.key.in_(names))
    )
    return {row.key: row.id for row in found}


def item_number(connection: Connection, name: str) -> int:
    """The number of the item of this identifier, or of a fingerprint that begins so.

    A part of a question that is one item in packages has a name by that item, too.
    """
    query = select(items.c.id, items.c.identifier).order_by(items.c.identifier).limit(2)
    if name.startswith("parts-"):
        return _part_number(connection, name)
    if name.startswith("item-"):
        found = connection.execute(query.where(items.c.identifier == name)).all()
    else:
        found = connection.execute(
            query.where(items.c.fingerprint.startswith(name, autoescape=True))
        ).all()
    if not name or len(found) != 1:
        told = worded(
            "item {item}: expected the identifier of an item of the bank, such as "
            "item-0123456789abcdef",
            item=name or repr(name),
        )
        several = [worded("which begins the hash of several")] if len(found) > 1 else []
        raise BankError(joined(", ", [told, *several]))
    return inserted(found[0].id)


def _part_number(connection: Connection, name: str) -> int:
    """The number of a part by the item that holds all parts: "parts-0123456789abcdef.b"."""
    whole, _dot, letter = name.partition(".")
    rows = connection.execute(_parts().where(families.c.name.contains("."))).all()
    found: dict[tuple[Any, ...], dict[str, Any]] = {}
    for row in rows:
        variant = whole_of(row.name), row.version, row.seed, row.variant
        found.setdefault(variant, {})[letter_of(row.name)] = row
    for own in found.values():
        in_order = [own[part] for part in sorted(own)]
        if name_of_all([row.identifier for row in in_order]) == whole:
            if letter in own:
                return inserted(own[letter].id)
            raise BankError(
                worded(
                    "item {item}: it holds the parts of a question; expected one of them: {parts}",
                    item=whole,
                    parts=", ".join(name_of_part(whole, part) for part in sorted(own)),
                )
            )
    raise BankError(worded("item {item}: the bank holds no question of this name", item=name))


def _parts() -> Select[Any]:
    """What tells parts of one variant."""
    return select(
        items.c.id, items.c.identifier, items.c.seed, items.c.variant,
        families.c.name, families.c.version,
    ).join(families, families.c.id == items.c.family)  # fmt: skip


def whole_item(connection: Connection, number: int) -> str:
    """The identifier of the one item that holds all parts, if this is one of them; else ""."""
    own = connection.execute(_parts().where(items.c.id == number)).one()
    if not letter_of(own.name):
        return ""
    beside = connection.execute(
        _parts()
        .where(
            items.c.seed == own.seed,
            items.c.variant == own.variant,
            families.c.version == own.version,
            families.c.name.startswith(f"{whole_of(own.name)}.", autoescape=True),
        )
        .order_by(families.c.name)
    )
    return name_of_all([row.identifier for row in beside])


def identity(connection: Connection, item: int) -> tuple[str, str]:
    """The identifier and the fingerprint of an item."""
    row = connection.execute(
        select(items.c.identifier, items.c.fingerprint).where(items.c.id == item)
    ).one()
    return row.identifier, row.fingerprint


def fingerprints(connection: Connection, numbers: Sequence[int]) -> dict[int, str]:
    """The fingerprint of each of these items."""
    found: dict[int, str] = {}
    for first in range(0, len(numbers), READ_TOGETHER):
        rows = connection.execute(
            select(items.c.id, items.c.fingerprint).where(
                items.c.id.in_(numbers[first : first + READ_TOGETHER])
            )
        )
        found |= {row.id: row.fingerprint for row in rows}
    return found


def named(connection: Connection, numbers: Sequence[int]) -> list[tuple[str, str, str]]:
    """Identifier, title and family of some items, in the order of their entry."""
    found: list[tuple[str, str, str]] = []
    for first in range(0, len(numbers), READ_TOGETHER):
        rows = connection.execute(
            select(items.c.identifier, items.c.title, families.c.name)
            .join(families, families.c.id == items.c.family)
            .where(items.c.id.in_(numbers[first : first + READ_TOGETHER]))
            .order_by(items.c.id)
        )
        found += [(row.identifier, row.title, row.name) for row in rows]
    return found


def stored_items(connection: Connection, numbers: Sequence[int]) -> Iterator[Item]:
    """The items of these numbers, in this order, read a few at a time."""
    return starmap(item_from, contents(connection, numbers))


def contents(connection: Connection, numbers: Sequence[int]) -> Iterator[tuple[bytes, str]]:
    """The items of these numbers as they are stored, with their fingerprints."""
    for first in range(0, len(numbers), READ_TOGETHER):
        wanted = numbers[first : first + READ_TOGETHER]
        rows = connection.execute(
            select(items.c.id, items.c.content, items.c.fingerprint).where(items.c.id.in_(wanted))
        )
        found = {row.id: (row.content, row.fingerprint) for row in rows}
        for number in wanted:
            yield found[number]


READ_TOGETHER = 50
"""Items read from the database at a time."""
