"""What reviewers said of items, each bound to the hash of what they saw."""

from sqlalchemy import Connection, Select, insert, select

from itembank.bank.entries import identity
from itembank.bank.schema import decisions
from itembank.errors import BankError

VERDICTS = ("approved", "rejected", "cleared")
"""`cleared`: the key was checked after results had cast doubt on it, and stands."""


def decide(
    connection: Connection,
    item: int,
    fingerprint: str,
    reviewer: str,
    scope: str,
    verdict: str,
    comment: str = "",
) -> None:
    """Record a reviewer's word; BankError if it is bound to a hash other than the item's."""
    if verdict not in VERDICTS:
        raise BankError(f"verdict: expected one of {', '.join(VERDICTS)}; got {verdict}")
    identifier, held = identity(connection, item)
    if held != fingerprint:
        raise BankError(
            f"{identifier}: the decision is bound to the hash {fingerprint[:16]}, the item has "
            f"{held[:16]}: the reviewer saw something else"
        )
    connection.execute(
        insert(decisions).values(
            item=item,
            fingerprint=fingerprint,
            reviewer=reviewer,
            scope=scope,
            verdict=verdict,
            comment=comment,
        )
    )


def verdicts(connection: Connection, item: int) -> list[tuple[str, str, str]]:
    """(reviewer, scope, verdict) of each decision on an item, in order."""
    rows = connection.execute(
        select(decisions.c.reviewer, decisions.c.scope, decisions.c.verdict)
        .where(decisions.c.item == item)
        .order_by(decisions.c.id)
    )
    return [(row.reviewer, row.scope, row.verdict) for row in rows]


def cleared() -> Select[tuple[int]]:
    """The items whose key was checked after results had cast doubt on it."""
    return select(decisions.c.item).where(decisions.c.verdict == "cleared")
