"""What was measured of a family in a version: measured once, since a version never changes."""

import json
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from sqlalchemy import Connection, insert, select

from itembank.bank.schema import bands, capacities
from itembank.pipeline.species import Count


def band(connection: Connection, family: int, spread: Mapping[str, Any]) -> dict[str, Any] | None:
    """The band of effort that was set for this spread (and these methods), or None."""
    found = connection.scalar(
        select(bands.c.band).where(bands.c.family == family, bands.c.spread == _as_text(spread))
    )
    return json.loads(found) if found is not None else None


def keep_band(
    connection: Connection, family: int, spread: Mapping[str, Any], found: Mapping[str, Any]
) -> None:
    connection.execute(
        insert(bands).values(family=family, spread=_as_text(spread), band=_as_text(found))
    )


def capacity(connection: Connection, family: int) -> Count | None:
    """How many variants the family has, or None."""
    c = capacities.c
    found = connection.execute(
        select(c.least, c.likely, c.most, c.exact).where(c.family == family)
    ).first()
    return Count(**found._mapping) if found else None


def keep_capacity(connection: Connection, family: int, count: Count) -> None:
    connection.execute(insert(capacities).values(family=family, **asdict(count)))


def _as_text(value: Mapping[str, Any]) -> str:
    return json.dumps(value, sort_keys=True)
