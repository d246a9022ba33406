"""How many changes of packages the audit catches, by class and format.

    python -m tests.bench.mutants [MUTANTS] [TOLD.txt] [FORMATS...]

An item in each form of the shipped pools is written alone, in each format that a reader reads as
markup, and changed in every way of `tests/audit/mutation.py`; of all changes about MUTANTS are
tried, evenly, over all formats (or those named: their part of them).  Each is, in this order,

    caught     by the audit: disagreed, unchecked or refused
    harmless   `tests/audit/harmless.py` says why
    writing    told by the rules of item writing (`audit --writing`), not by the audit
    against    told by a comparison with the package as it was (`audit --against`) alone
    same       a comparison finds nothing, and `harmless.py` says why
    passes     none of these

What is told by a comparison alone, and what passes, is written out with its place.
"""

import os
import random
import sys
import tempfile
import zipfile
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

from exporters.formats import FORMATS, write_package
from exporters.release import Release
from itembank.audit import audit_package
from itembank.audit.against import compared
from itembank.audit.rules_of_writing import writing_findings
from itembank.cli.arguments import pool_named
from itembank.pipeline import making
from itembank.values.errors import PackageError
from tests.audit.harmless import reason, reason_if_same
from tests.audit.mutation import Members, Mutant, Place, mutant, places

POOLS = ("congruences-quiz", "lifting-practice")
MARKUP = tuple(name for name in FORMATS if name != "latex")
KINDS = ("caught", "harmless", "writing", "against", "same", "passes")


@cache
def releases() -> list[Release]:
    """A release of one or two items for each form of the shipped pools."""
    found: dict[str, Release] = {}
    for pool in POOLS:
        release = making.released(pool_named(pool, ()), "2027-spring")
        for group in release.groups:
            item = next(iter(group.items))
            one = replace(group, items=(item,), choose=1)
            found.setdefault(item.response.form, replace(release, groups=(one,)))
    return list(found.values())


def packages(format: str) -> Iterator[Members]:
    for release in releases():
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "p.zip"
            write_package(format, release, path)
            with zipfile.ZipFile(path) as z:
                yield {name: z.read(name) for name in z.namelist()}


def spread(found: list[Place], most: int, name: str) -> list[Place]:
    """At most so many of the changes, each as likely, fixed by the name."""
    return found if len(found) <= most else random.Random(name).sample(found, most)


def agreed(members: Members, path: Path) -> bool:
    """Whether the audit agrees to a package, which is written there."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_STORED) as z:
        for name, data in members.items():
            z.writestr(name, data)
    try:
        return audit_package(path).clean
    except PackageError:
        return False


def told_by_comparison(path: Path, released: Path) -> bool:
    try:
        return not compared(path, released).clean
    except PackageError:
        return True


def broken_rules(path: Path) -> Counter[str]:
    """The findings on the writing that end in an error."""
    return Counter(str(f) for f in writing_findings(path) if f.severity != "note")


def verdict(made: Mutant, path: Path, released: Path) -> str:
    """The first of KINDS that a mutant is."""
    if not agreed(made.members, path):
        return "caught"
    if reason(made):
        return "harmless"
    if broken_rules(path) - broken_rules(released):
        return "writing"
    if told_by_comparison(path, released):
        return "against"
    return "same" if reason_if_same(made) else "passes"


def main(most: int, out: Path | None, formats: tuple[str, ...]) -> None:
    counts: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    told: Counter[str] = Counter()
    folder = Path("/dev/shm" if os.path.isdir("/dev/shm") else tempfile.gettempdir())
    share = most // (len(MARKUP) * len(releases()))
    with tempfile.TemporaryDirectory(dir=folder) as own:
        path, released = Path(own) / "p.zip", Path(own) / "released.zip"
        for format in formats:
            for i, members in enumerate(packages(format)):
                assert agreed(members, released), (format, i)
                found = list(places(members, tuple(members)))
                for place in spread(found, share, f"{format} {i}"):
                    made = mutant(members, place)
                    kind = verdict(made, path, released)
                    counts[made.what, format][kind] += 1
                    if kind in ("writing", "against", "passes"):
                        told[f"{kind} {format}: {made.what} of {made.where}"] += 1
    print_table(counts, formats)
    if out:
        lines = (f"{n} {line}" for line, n in told.most_common())
        out.write_text("\n".join(lines) + "\n", encoding="utf-8")


def print_table(counts: dict[tuple[str, str], Counter[str]], formats: tuple[str, ...]) -> None:
    """A row a class, a column a format: how many are of each of KINDS."""
    classes = sorted({what for what, _format in counts})
    print("/".join(KINDS))
    print("".ljust(20), *(f"{f:>20}" for f in (*formats, "all")))
    for what in [*classes, "all"]:
        cells = []
        for format in (*formats, "all"):
            told: Counter[str] = Counter()
            for (name, of), counted in counts.items():
                if what in (name, "all") and format in (of, "all"):
                    told += counted
            cells.append("/".join(str(told[kind]) for kind in KINDS).rjust(20))
        print(what.ljust(20), *cells)
    print("mutants:", sum(sum(c.values()) for c in counts.values()))


if __name__ == "__main__":
    main(
        int(sys.argv[1]) if sys.argv[1:] else 20_000,
        Path(sys.argv[2]) if sys.argv[2:] else None,
        tuple(sys.argv[3:]) or MARKUP,
    )
