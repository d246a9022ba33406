"""A bank of 100,000 used items against an empty one: CPU of draw, export and status.

    python -m tests.bench.hundred_thousand [ITEMS]

A term of the shipped pool congruences-quiz is drawn; its items are entered again and again under
other names, as used in 40 terms before and answered by 42 students each, until the bank holds ITEMS
(100,000).  Each command then runs in a process of its own, once on this bank and once on an empty
one; told are its seconds of CPU, and the size of the bank.  Run by hand; figures stand in
DEVELOPERS.md.
"""

import json
import resource
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from hashlib import sha256
from pathlib import Path

from sqlalchemy import insert, select

from itembank.bank import open_bank
from itembank.bank import schema as t
from itembank.bank.entries import stored_items
from itembank.kinds.table import SIGNATURES
from itembank.spec import FamilyShelf, find_families, library, load_pool
from itembank.terms import draw, scores

TERMS = 40
POOL = "congruences-quiz"


def filled(place: str, wanted: int) -> None:
    """A bank that holds so many items, each used in one of 40 terms and answered."""
    shelf = FamilyShelf(find_families([library() / "families"]), SIGNATURES)
    bank = open_bank(place, create=True)
    draw.draw(bank, load_pool(library() / "pools" / f"{POOL}.yaml", shelf), "term-0")
    with bank.writing() as connection:
        real = [dict(row._mapping) for row in connection.execute(select(t.items))]
        groups = {r.item: r.family for r in connection.execute(select(t.uses))}
        items = stored_items(connection, [row["id"] for row in real])
        told = {row["id"]: scores.features_of(item) for row, item in zip(real, items, strict=True)}
        of_draw = dict(connection.execute(select(t.draws)).one()._mapping)
        each = wanted // TERMS
        for n in range(1, TERMS + 1):
            connection.execute(insert(t.terms).values(id=n + 1, name=f"term-{n}"))
            connection.execute(insert(t.draws).values({**of_draw, "id": n + 1, "term": n + 1}))
            enter(connection, n, each, real, groups, told)


def enter(connection, n: int, each: int, real: Sequence[dict], groups: dict, told: dict) -> None:
    """The items of one term, their uses, and a report on them."""
    first = 1000 + (n - 1) * each
    names = [sha256(f"{n}/{i}".encode()).hexdigest() for i in range(each)]
    sources = [real[i % len(real)] for i in range(each)]
    numbers = range(first, first + each)
    connection.execute(
        insert(t.problems),
        [{"id": k, "key": name[:32], "purpose": "graded"}
         for k, name in zip(numbers, names, strict=True)],
    )  # fmt: skip
    connection.execute(
        insert(t.items),
        [
            {**row, "id": k, "problem": k, "identifier": f"item-{name[:16]}", "fingerprint": name}
            for k, name, row in zip(numbers, names, sources, strict=True)
        ],
    )
    use = {"draw": n + 1, "term": n + 1, "rests": 2, "purpose": "graded", "times": 1, "part": 0}
    connection.execute(
        insert(t.uses),
        [
            {**use, "item": k, "problem": k, "family": groups[row["id"]]}
            for k, row in zip(numbers, sources, strict=True)
        ],
    )
    families = list(dict.fromkeys(groups.values()))
    facts = {"release": f"r{n}", "section": "", "choose": {str(g): 1 for g in range(len(families))}}
    connection.execute(
        insert(t.reports).values(
            id=n, term=n + 1, source=f"s{n}", students=42, facts=json.dumps(facts), tool="0"
        )
    )
    connection.execute(
        insert(t.usages),
        [
            {
                "report": n, "item": k, "students": 42, "correct": 24, "advice": "keep",
                "facts": json.dumps({
                    "group": families.index(groups[row["id"]]), "features": told[row["id"]],
                    "by_score": {str(r): [7, r + (-1) ** (k // len(real))] for r in range(1, 7)},
                }),
            }
            for k, row in zip(numbers, sources, strict=True)
        ],
    )  # fmt: skip


def cpu(*arguments: str) -> float:
    """Seconds of CPU of a command in a process of its own."""
    command = [sys.executable, "-c", "from itembank.cli import main; main()", *arguments]
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main(wanted: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        full, empty = (str(Path(folder, f"{name}.db")) for name in ("full", "empty"))
        filled(full, wanted)
        print(f"{wanted} items: {Path(full).stat().st_size / wanted / 1000:.1f} kB an item")
        out = str(Path(folder, "out"))
        steps = {
            "draw": ("draw", POOL, "--term", "next"),
            "export": ("export", POOL, "--term", "next", "--out", out, "--to", "cc13"),
            "status, first": ("status", POOL),
            "status, again": ("status", POOL),
        }
        print("CPU seconds     full   empty")
        for name, step in steps.items():
            seconds = [cpu(*step, "--bank", place) for place in (full, empty)]
            print(f"{name:14} {seconds[0]:6.2f}  {seconds[1]:6.2f}", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if sys.argv[1:] else 100_000)
