"""How many changes of packages the audit catches, by class and format.

    python -m tests.bench.mutants [MUTANTS] [PASSED.txt] [FORMATS...]

An item in each form of the shipped pools is written alone, in each format, and changed in every
way of `tests/audit/mutation.py`; of all changes about MUTANTS are tried, evenly, over all formats
(or those named: their part of them).  What the audit
agrees to is counted as harmless if `tests/audit/harmless.py` says why; as compared if `--against`
the package as it was tells it; else as missed.  What is compared or missed is written out.
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
from itembank.cli.arguments import pool_named
from itembank.pipeline import making
from itembank.values.errors import PackageError
from tests.audit.mutation import Members, Place, mutant, places

POOLS = ("congruences-quiz", "lifting-practice")


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


def verdict(members: Members, path: Path) -> str:
    """What the audit says of a package: agreed, or what it found."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_STORED) as z:
        for name, data in members.items():
            z.writestr(name, data)
    try:
        report = audit_package(path)
    except PackageError:
        return "refused"
    return "agreed" if report.clean else "caught"


def told_by_comparison(path: Path, released: Path) -> bool:
    try:
        return not compared(path, released).clean
    except PackageError:
        return True


def main(most: int, out: Path | None, formats: tuple[str, ...]) -> None:
    from tests.audit.harmless import reason, reason_if_same

    counts: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    passed: Counter[tuple[str, str, str]] = Counter()
    folder = Path("/dev/shm" if os.path.isdir("/dev/shm") else tempfile.gettempdir())
    with tempfile.TemporaryDirectory(dir=folder) as own:
        path, released = Path(own) / "p.zip", Path(own) / "released.zip"
        made = [(f, i, m) for f in formats for i, m in enumerate(packages(f))]
        share = most // (len(FORMATS) * len(releases()))
        for format, i, members in made:
            assert verdict(members, path) == "agreed", (format, i)
            released.write_bytes(path.read_bytes())
            found = list(places(members, tuple(members)))
            for place in spread(found, share, f"{format} {i}"):
                made_so = mutant(members, place)
                said = verdict(made_so.members, path)
                kind = "harmless" if said == "agreed" and reason(made_so) else said
                if kind == "agreed" and told_by_comparison(path, released):
                    kind = "compared"
                elif kind == "agreed" and reason_if_same(made_so):
                    kind = "harmless"
                counts[made_so.what, format][kind] += 1
                if kind in ("agreed", "compared"):
                    passed[f"{kind} {format}", made_so.what, made_so.where] += 1
    print_table(counts, formats)
    if out:
        lines = (f"{n} {f}: {what} of {where}" for (f, what, where), n in passed.most_common())
        out.write_text("\n".join(lines) + "\n", encoding="utf-8")


def print_table(counts: dict[tuple[str, str], Counter[str]], formats: tuple[str, ...]) -> None:
    """A row a class, a column a format: caught, harmless, compared, missed."""
    classes = sorted({what for what, _format in counts})
    print("caught/h./compared/m.".ljust(22), *(f"{f:>15}" for f in formats))
    for what in [*classes, "all"]:
        cells = []
        for format in formats:
            told: Counter[str] = Counter()
            for name in classes if what == "all" else [what]:
                told += counts[name, format]
            caught = told["caught"] + told["refused"]
            kinds = (caught, told["harmless"], told["compared"], told["agreed"])
            cells.append("/".join(map(str, kinds)).rjust(15))
        print(what.ljust(22), *cells)
    print("mutants:", sum(sum(c.values()) for c in counts.values()))


if __name__ == "__main__":
    main(
        int(sys.argv[1]) if sys.argv[1:] else 20_000,
        Path(sys.argv[2]) if sys.argv[2:] else None,
        tuple(sys.argv[3:]) or tuple(FORMATS),
    )
