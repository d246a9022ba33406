"""How often mathematics is read from text on the way from a pool to its packages.

    python -m tests.bench.parser_calls [POOL]

Counts calls of the readers of formulas and of prose (`formula`, `formula_in_prose`, `prose`), found
in a cache or not, and the templates of sentences that are read, each once in a language. What a
problem states, what its steps say and what its options show are trees built from numbers, so the
first count is 0; the second falls to 0 once the sentences of a family have been met.
"""

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from tempfile import TemporaryDirectory

from exporters.formats import write_package
from exporters.release import Group, Release
from itembank.kinds.table import SIGNATURES
from itembank.languages.speaking import shape
from itembank.notation.prose import prose
from itembank.notation.reading import formula, formula_in_prose
from itembank.pipeline import selection
from itembank.spec import FamilyShelf, Pool, PoolEntry, find_families, library, load_pool
from itembank.values.item import Item

READERS = (formula, formula_in_prose, prose)


@dataclass(frozen=True)
class Calls:
    """Readings of texts, and of the templates of sentences."""

    texts: int
    templates: int

    @classmethod
    def so_far(cls) -> "Calls":
        infos = [reader.cache_info() for reader in READERS]
        return cls(sum(i.hits + i.misses for i in infos), shape.cache_info().misses)

    def since(self, before: "Calls") -> "Calls":
        return Calls(self.texts - before.texts, self.templates - before.templates)


def counted_items(entry: PoolEntry, pool: Pool, seed: str) -> Iterator[tuple[Item, Calls]]:
    """The items of an entry, each with the calls that it took to draw, prove and compose."""
    stream = selection.stream_of(entry.family, pool, seed)
    before = Calls.so_far()
    for variant in islice(stream, entry.variants):
        item = selection.item_of(variant, entry, pool.language)
        yield item, Calls.so_far().since(before)
        before = Calls.so_far()


def lifting_homework() -> Pool:
    return pool_of(library() / "pools" / "lifting-homework.yaml")


def pool_of(path: Path) -> Pool:
    return load_pool(path, FamilyShelf(find_families([library() / "families"]), SIGNATURES))


def release_of(pool: Pool, items: dict[str, list[Item]]) -> Release:
    """The items by family as one release."""
    groups = tuple(
        Group(family=e.family.id, title=e.family.title, items=tuple(items[e.family.id]),
              choose=e.choose, points=e.points)
        for e in pool.entries
    )  # fmt: skip
    return Release(
        pool_id=pool.id, title=pool.title, course=pool.course, term="bench",
        language=pool.language, groups=groups,
    )  # fmt: skip


def calls_of_export(release: Release, format: str, folder: Path) -> Calls:
    before = Calls.so_far()
    write_package(format, release, folder / f"{format}.zip")
    return Calls.so_far().since(before)


def main() -> None:
    pool = pool_of(Path(sys.argv[1])) if len(sys.argv) > 1 else lifting_homework()
    items: dict[str, list[Item]] = {}
    print("family: texts read, templates read, an item each")
    for entry in pool.entries:
        found = list(counted_items(entry, pool, "bench"))
        items[entry.family.id] = [item for item, _calls in found]
        print(f"{entry.family.id}: " + " ".join(f"{c.texts},{c.templates}" for _item, c in found))
    release = release_of(pool, items)
    with TemporaryDirectory() as folder:
        for format in ("qti21", "cc13"):
            print(f"{format}: {calls_of_export(release, format, Path(folder))}")


if __name__ == "__main__":
    main()
