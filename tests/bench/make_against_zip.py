"""Pool to package against merely serialising and zipping the same XML: ratios in one run.

    python -m tests.bench.make_against_zip [ITEMS]

A round draws, proves and composes the items of a new term and exports them in one format;
then, for comparison, it serialises the parsed documents of that very package with bare lxml
and zips them with zipfile.  Medians of the rounds are printed: the seconds of the processor
(which others at work on the machine do not change much) and of the clock, the ratio, and how
the processor's time falls to the stages.  Run by hand; figures stand in DEVELOPERS.md.
"""

import functools
import io
import statistics
import sys
import tempfile
import time
import zipfile
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path
from typing import Any

from lxml import etree

from exporters import cartridge, formats, qti1, qti2
from itembank.audit import audit_package
from itembank.kinds.table import KINDS, SIGNATURES
from itembank.pipeline import compose, making, selection
from itembank.spec import FamilyShelf, Pool, find_families, library, load_pool
from itembank.values import item
from itembank.values.collecting import collect_seldom

ROUNDS = 5


def pool_of(items: int, folder: Path) -> Pool:
    """The shipped homework with its variants multiplied."""
    text = (library() / "pools" / "lifting-homework.yaml").read_text(encoding="utf-8")
    for n in (8, 10):
        text = text.replace(f"variants: {n},", f"variants: {max(n, items * n // 66)},")
    path = folder / "lifting-homework.yaml"
    path.write_text(text, encoding="utf-8")
    return load_pool(path, FamilyShelf(find_families([library() / "families"]), SIGNATURES))


def bare(documents: list[tuple[str, etree._Element]]) -> None:
    with zipfile.ZipFile(io.BytesIO(), "w", zipfile.ZIP_DEFLATED) as z:
        for name, root in documents:
            z.writestr(name, etree.tostring(root, encoding="utf-8", xml_declaration=True))


# ------------------------------------------------------------ the stages


class Stages:
    """The processor's time by stage; what one stage calls of another counts for the other."""

    def __init__(self) -> None:
        self.spent: defaultdict[str, float] = defaultdict(float)
        self.open: list[str] = []
        self.since = 0.0

    def turn(self) -> None:
        """Give the time since the last turn to the innermost stage."""
        now = time.process_time()
        if self.open:
            self.spent[self.open[-1]] += now - self.since
        self.since = now

    def timed(self, stage: str, function: Callable[..., Any]) -> Callable[..., Any]:
        @functools.wraps(function)
        def measured(*args: Any, **kwargs: Any) -> Any:
            self.turn()
            self.open.append(stage)
            try:
                return function(*args, **kwargs)
            finally:
                self.turn()
                self.open.pop()

        return measured

    def watch(self, stage: str, owner: Any, *names: str) -> None:
        for name in names:
            setattr(owner, name, self.timed(stage, getattr(owner, name)))


def watched() -> Stages:
    """The stages of this process from now on, at the functions where each begins."""
    stages = Stages()
    stages.watch("draw", making, "released")
    stages.watch("prove", selection, "prove")
    stages.watch("compose", compose, "compose")
    for form, function in compose.FORMS.items():
        compose.FORMS[form] = stages.timed("compose", function)
    for kind in {k.problem for k in KINDS.values()}:
        stages.watch("solve", kind, "solve")
        stages.watch("slips", kind, "slips")
        stages.watch("worked solution", kind, "worked")
    stages.watch("hash", item, "canonical")
    stages.watch("elements", qti2, "assessment_item", "item_resource")
    stages.watch("elements", qti1, "item_element")
    stages.watch("write", qti2, "serialised", "fragment")
    stages.watch("write", qti1, "fragment")
    stages.watch("write", cartridge, "serialised")
    stages.watch("check and zip", formats, "write_package")
    return stages


# ------------------------------------------------------------ the rounds


def seconds(work: Callable[[], Any]) -> tuple[Any, float, float]:
    """What the work returns; its seconds of the processor, and of the clock."""
    clock, processor = time.perf_counter(), time.process_time()
    found = work()
    return found, time.process_time() - processor, time.perf_counter() - clock


def halves(seconds: list[float]) -> tuple[float, float]:
    first, second = seconds
    return first, second


def one_round(pool: Pool, format: str, term: str, package: Path) -> dict[str, tuple[float, float]]:
    """The seconds of each half of the work, of the comparison, and of the audit."""
    release, *made = seconds(lambda: making.released(pool, term))
    _, *written = seconds(lambda: formats.write_package(format, release, package))
    with zipfile.ZipFile(package) as z:
        documents = [(n, etree.fromstring(z.read(n))) for n in z.namelist()]
    _, *baseline = seconds(lambda: bare(documents))
    _, *audited = seconds(lambda: audit_package(package))
    names = ("draw, prove, compose", "export", "bare lxml and zipfile", "audit")
    return dict(zip(names, map(halves, (made, written, baseline, audited)), strict=True))


def main() -> None:
    collect_seldom()  # as the commands do
    pool_size = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        pool = pool_of(pool_size, folder)
        n = sum(entry.variants for entry in pool.entries)
        for format in ("qti21", "cc13"):
            compare(pool, format, folder / "package.zip", n)
        stages = watched()
        for format in ("qti21", "cc13"):
            stages.spent.clear()
            for k in range(ROUNDS):
                one_round(pool, format, f"stages {k}", folder / "package.zip")
            print(f"{format}, ms of the processor an item: ", end="")
            print(", ".join(f"{s} {t / ROUNDS / n * 1000:.3f}" for s, t in stages.spent.items()))


def compare(pool: Pool, format: str, package: Path, n: int) -> None:
    one_round(pool, format, "warming up", package)
    found = [one_round(pool, format, f"term {k}", package) for k in range(ROUNDS)]
    print(f"{format}: {n} items; medians of {ROUNDS} rounds, ms an item (processor, clock):")
    medians = {
        name: [statistics.median(r[name][i] for r in found) / n * 1000 for i in (0, 1)]
        for name in found[0]
    }
    for name, (processor, clock) in medians.items():
        print(f"  {name}: {processor:.3f}, {clock:.3f}")
    making_, export, bare_, audit = (processor for processor, _clock in medians.values())
    for what, total in (("", making_ + export), ("audited ", making_ + export + audit)):
        print(
            f"  pool to {what}package: {1000 / total:.0f} items/s, {total / bare_:.1f} times bare"
        )


if __name__ == "__main__":
    main()
