"""What reviewers said of items, each bound to the hash of what they saw, facet by facet."""

from collections.abc import Iterable, Iterator, Sequence

from sqlalchemy import Connection, Row, Select, insert, select

from itembank.bank.entries import READ_TOGETHER, fingerprints, identity
from itembank.bank.schema import decision_facets, decisions, items, settlements
from itembank.values.errors import BankError
from itembank.values.verdicts import OnFacet, Spoken, Verdict, folded, open_returns
from itembank.values.worded import worded

_VERDICTS = ("approved", "rejected", "cleared")
"""`cleared`: the key was checked after results had cast doubt on it, and stands."""

_OF_THE_BANK: dict[Verdict, str] = {"accepted": "approved", "returned": "rejected"}
"""A reviewer's words for a verdict, and the bank's."""

_OF_A_REVIEWER: dict[str, Verdict] = {"approved": "accepted", "rejected": "returned"}


def decide(
    connection: Connection,
    item: int,
    fingerprint: str,
    reviewer: str,
    scope: str,
    verdict: str,
    comment: str = "",
    said: str = "",
) -> int:
    """Record a reviewer's word, of the day `said`, and return its number.

    Raises BankError if it is bound to a hash other than the item's.
    """
    if verdict not in _VERDICTS:
        raise BankError(
            worded(
                "verdict: expected one of {verdicts}; got {verdict}",
                verdicts=", ".join(_VERDICTS),
                verdict=verdict,
            )
        )
    identifier, held = identity(connection, item)
    if held != fingerprint:
        raise BankError(
            worded(
                "{identifier}: the decision is bound to the hash {fingerprint}, the item has "
                "{held}: the reviewer saw something else",
                identifier=identifier,
                fingerprint=fingerprint[:16],
                held=held[:16],
            )
        )
    row = connection.execute(
        insert(decisions)
        .values(
            item=item,
            fingerprint=fingerprint,
            reviewer=reviewer,
            scope=scope,
            verdict=verdict,
            comment=comment,
            said=said,
        )
        .returning(decisions.c.id)
    )
    return int(row.scalar_one())


def speak(connection: Connection, item: int, word: Spoken) -> None:
    """Record a word facet by facet; of a settlement, which return it settles.

    Raises BankError for a settlement of what nobody returned.
    """
    returned = any(f.verdict == "returned" for f in word.facets)
    number = decide(
        connection,
        item,
        word.item,
        word.person,
        ", ".join(f.facet for f in word.facets),
        _OF_THE_BANK["returned" if returned else "accepted"],
        "\n".join(f"{f.facet}: {f.comment}" for f in word.facets if f.comment),
        word.date,
    )
    connection.execute(
        insert(decision_facets),
        [
            {
                "decision": number,
                "facet": f.facet,
                "verdict": _OF_THE_BANK[f.verdict],
                "comment": f.comment,
                "hash": f.hash,
            }
            for f in word.facets
        ],
    )
    if word.over:
        settled = _returned_by(connection, item, word.over, word.facets[0].facet)
        connection.execute(insert(settlements).values(decision=number, settled=settled))


def _returned_by(connection: Connection, item: int, person: str, facet: str) -> int:
    """The number of the last return of a facet by a person; BankError if there is none."""
    for number, word in reversed(list(_numbered(connection, [item]))):
        if folded(word.person) == folded(person) and any(
            f.facet == facet and f.verdict == "returned" for f in word.facets
        ):
            return number
    raise BankError(
        worded(
            "{identity}: expected a return of {facet} by {person} in the bank, found none; "
            "decide on that reviewer's file with this bank first",
            identity=identity(connection, item)[0],
            facet=facet,
            person=person,
        )
    )


def words(connection: Connection, items: Iterable[int]) -> list[Spoken]:
    """What was said of these items, in the order of the record; `cleared` is no such word."""
    return [word for _number, word in _numbered(connection, list(items))]


def _numbered(connection: Connection, items: Sequence[int]) -> Iterator[tuple[int, Spoken]]:
    for first in range(0, len(items), READ_TOGETHER):
        yield from _numbered_of(connection, items[first : first + READ_TOGETHER])


def _numbered_of(connection: Connection, numbers: Sequence[int]) -> Iterator[tuple[int, Spoken]]:
    settled = decisions.alias("settled")
    rows = connection.execute(
        select(decisions, items.c.identifier, settled.c.reviewer.label("over"))
        .join(items, items.c.id == decisions.c.item)
        .outerjoin(settlements, settlements.c.decision == decisions.c.id)
        .outerjoin(settled, settled.c.id == settlements.c.settled)
        .where(decisions.c.item.in_(numbers), decisions.c.verdict != "cleared")
        .order_by(decisions.c.id)
    ).all()
    facets: dict[int, list[OnFacet]] = {}
    for row in connection.execute(
        select(decision_facets)
        .join(decisions, decisions.c.id == decision_facets.c.decision)
        .where(decisions.c.item.in_(numbers))
        .order_by(decision_facets.c.id)
    ):
        facet = OnFacet(row.facet, _OF_A_REVIEWER[row.verdict], row.comment, row.hash)
        facets.setdefault(row.decision, []).append(facet)
    for row in rows:
        yield (
            row.id,
            Spoken(
                item=row.fingerprint,
                person=row.reviewer,
                date=row.said,
                facets=tuple(facets.get(row.id) or _whole_scope(row)),
                over=row.over or "",
                name=row.identifier,
            ),
        )


def _whole_scope(row: Row[tuple[object, ...]]) -> Iterator[OnFacet]:
    """What a decision says that was recorded for a whole scope, without facets of its own.

    A return is one of the facets that its comment names, line by line; of all, if it names none.
    """
    scope = str(row.scope).split(", ")
    lines = str(row.comment).splitlines()
    named = [f for f in scope if any(line.startswith(f"{f}: ") for line in lines)]
    for facet in scope:
        if row.verdict == "approved":
            yield OnFacet(facet, "accepted")
        elif facet in named or not named:
            said = [line for line in lines if line.startswith(f"{facet}: ")] or lines
            yield OnFacet(facet, "returned", " ".join(said).removeprefix(f"{facet}: "))
        else:
            yield OnFacet(facet, "accepted")


def returned(connection: Connection, numbers: Sequence[int]) -> set[int]:
    """Which of these items a return holds, one that nobody has taken back or settled."""
    held = {one.item for one in open_returns(words(connection, numbers))}
    if not held:
        return set()
    marks = fingerprints(connection, numbers)
    return {number for number in numbers if marks[number] in held}


def cleared() -> Select[tuple[int]]:
    """The items whose key was checked after results had cast doubt on it."""
    return select(decisions.c.item).where(decisions.c.verdict == "cleared")
