"""A class whose answers are planted: forty students of ten abilities and eight questions."""

from pathlib import Path

from itembank.bank import entries
from itembank.terms import draw, export
from itembank.terms.tables import Columns

SPRING = "2027-spring"
COLUMNS = Columns(student="id", item="item", score="score", response="answer")
SLIP = "halved-in-the-integers"
QUADRATIC = "quadratic-mod-prime"
POOL = "".join(
    f"  - {{family: {family}, variants: 1}}\n"
    for family in (
        QUADRATIC,
        "linear-one-solution",
        "linear-several-solutions",
        "linear-solvable-or-not",
        "count-square-roots",
        "square-roots-two-primes",
        "zero-product-composite",
        "least-solution",
    )
)


def class_of(bank, pool, folder: Path, students: str = "Pemberton") -> Path:
    """Draw and export the pool; a table of answers, in which the better students miss only the
    last question, and all who miss the quadratic halve among the integers."""
    draw.draw(bank, pool, SPRING)
    export.export(bank, pool.id, SPRING, folder, ("cc13",))
    with bank.reading() as connection:
        items = list(entries.stored_items(connection, range(1, 9)))
    slip = next(f for f in items[0].feedback if SLIP in f.slips)
    wrong = " ".join(map(str, slip.response))
    lines = ["id,item,score,answer"]
    for student in range(40):
        ability = student % 10
        for place, item in enumerate(items):
            right = ability > place if place else ability > 8
            if place == 7:
                right = ability < 3
            answer = wrong if place == 0 and not right else ""
            lines.append(
                f"{students} {student},{item.identifier},{item.scoring.points * right},{answer}"
            )
    path = folder / "answers.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path
