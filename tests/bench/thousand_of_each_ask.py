"""A thousand items of each ask that needs the derivation, exported and audited; where keys stand.

    python -m tests.bench.thousand_of_each_ask [N] [FORMAT ...] [ASK ...]

The families that ask it share the N items (1000), in the first of their forms.  For each ask and
each format (all, where none is named): how many are agreed, unchecked, disagreed.  Ends with 1
unless all are agreed.
"""

import sys
from collections import Counter
from collections.abc import Callable
from functools import partial
from itertools import islice
from pathlib import Path
from tempfile import TemporaryDirectory

from exporters.formats import FORMATS, write_package
from exporters.release import Group, Release
from itembank.audit import audit_package
from itembank.audit.report import Status
from itembank.kinds.asking import LINE_ASKS, REASON_ASKS
from itembank.kinds.table import SIGNATURES
from itembank.pipeline.selection import fits, item_of
from itembank.pipeline.variants import Stream
from itembank.spec import Family, PoolEntry, find_families, library, load_family
from itembank.values.item import SelectOne


def asks(ask: str, family: Family) -> bool:
    return family.ask == ask


ASKS: dict[str, Callable[[Family], bool]] = {
    **{ask: partial(asks, ask) for ask in (*LINE_ASKS, *REASON_ASKS)},
    "always, sometimes or never": lambda family: family.kind == "claim",
    "the steps among others": lambda family: family.spare > 0,
    "which": lambda family: family.ask == "which",
    "an example": lambda family: family.ask == "an example",
    "whether true": lambda family: family.ask == "whether true",
    "the sum of all solutions": lambda family: family.kind == "solution_sum",
    "for which right sides": lambda family: family.kind.endswith("right_sides"),
}
"""By ask, which families put it."""


def group_of(family: Family, n: int) -> Group:
    entry = PoolEntry.model_construct(
        family=family, variants=n, choose=1, points=1, form=family.forms[0]
    )
    stream = islice(Stream(family, "thousand", fits(family)), n)
    items = tuple(item_of(variant, entry) for variant in stream)
    places = Counter(
        place
        for item in items
        if isinstance(item.response, SelectOne)
        for place, o in enumerate(item.response.options, 1)
        if o.correct
    )
    told = ", ".join(f"{place}: {places[place]}" for place in sorted(places))
    print(f"  {family.id}: {len(items)} items, keys at {told}")
    return Group(family=family.id, title=family.title, items=items, choose=1, points=1)


def audited(ask: str, groups: tuple[Group, ...], format: str) -> bool:
    release = Release(
        pool_id="lines", title=ask, course="NT 210", term="2027-spring", language="en",
        groups=groups,
    )  # fmt: skip
    with TemporaryDirectory() as folder:
        path = Path(folder) / "package.zip"
        write_package(format, release, path)
        report = audit_package(path)
    words: tuple[Status, ...] = ("agreed", "unchecked", "disagreed")
    print(f"  {format}: " + ", ".join(f"{report.count(word)} {word}" for word in words), flush=True)
    return report.count("agreed") == len(report.items)


def main() -> int:
    n = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    formats = [a for a in sys.argv[2:] if a in FORMATS] or list(FORMATS)
    asks = [a for a in sys.argv[2:] if a in ASKS] or list(ASKS)
    families = [
        load_family(path, SIGNATURES) for path in find_families([library() / "families"]).values()
    ]
    well = True
    for ask in asks:
        print(ask, flush=True)
        asking = [family for family in families if ASKS[ask](family)]
        groups = tuple(group_of(family, -(-n // len(asking))) for family in asking)
        for format in formats:
            well &= audited(ask, groups, format)
    return 0 if well else 1


if __name__ == "__main__":
    raise SystemExit(main())
