"""What a platform reports of a release that was drawn for a test."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from sqlalchemy import text

from itembank.bank import entries
from itembank.terms import draw, export
from itembank.terms.tables import Columns
from itembank.values.item import Item

SPRING, AUTUMN = "2027-spring", "2027-autumn"
COLUMNS = Columns(student="id", item="item", score="score", response="answer")


def released(bank, pool, tmp_path: Path) -> list[Item]:
    """The items of a release of the pool, in the order of its entries."""
    draw.draw(bank, pool, SPRING)
    export.export(bank, pool.id, SPRING, tmp_path, ("cc13",))
    with bank.reading() as connection:
        numbers = list(connection.scalars(text("SELECT item FROM release_items ORDER BY id")))
        return list(entries.stored_items(connection, numbers))


def table(tmp_path: Path, rows: Sequence[Mapping[str, object]], name: str = "t.csv") -> Path:
    path = tmp_path / name
    lines = ["id,item,score,answer"]
    lines += [f'{r["id"]},{r["item"]},{r["score"]},"{r.get("answer", "")}"' for r in rows]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def right_and_wrong(
    item: Item, right: int, of: int, student: Callable[[int], str]
) -> list[dict[str, object]]:
    return [
        {"id": student(i), "item": item.identifier, "score": item.scoring.points * (i < right)}
        for i in range(of)
    ]
