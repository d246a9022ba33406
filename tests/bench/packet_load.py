"""The packet of a large pool: how long the file, until it opens, and from item to item.

    python -m tests.bench.packet_load [ITEMS...]

Draws about so many items of the shipped families, writes their packet to a temporary folder, and
opens it in Chromium: bytes, seconds until it is ready, elements of the page, milliseconds from a
button to the next item drawn (median, best and worst of twenty, the key shown in each), and pages
of paper.  Run by hand with 70, 300 and 1,000 items; figures stand in DEVELOPERS.md.
"""

import base64
import re
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

from exporters.release import Release
from itembank.cli.arguments import pool_named
from itembank.pipeline import making
from itembank.review import packet_of_release
from tests.browser import chromium
from tests.browser.chromium import Chromium, Page

FAMILIES = (
    "linear-one-solution",
    "linear-solvable-or-not",
    "quadratic-leading-coefficient",
    "quadratic-solvable-or-not",
    "count-square-roots",
    "quadratic-two-prime-powers",
    "least-solution",
    "singular-root",
    "zero-product-composite",
    "order-modulo-prime",
    "steps-in-order",
    "lifts-of-roots",
    "stage-by-stage",
)

MOVES = 20

PRINTED = 300
"""The largest packet that is also printed: a thousand items on paper take minutes."""

chromium.PATIENCE = 600  # a thousand items on paper take their time

MOVED = """
(async () => {
  const began = performance.now();
  document.getElementById('next').click();
  await new Promise(done => addEventListener('hashchange', done, {once: true}));
  document.querySelector('.current .quiet')?.click();
  await new Promise(done => requestAnimationFrame(() => setTimeout(done)));
  return performance.now() - began;
})()
"""


def released(items: int, folder: Path) -> Release:
    """So many items of FAMILIES, as many of each as of any other."""
    shares = [items // len(FAMILIES) + (i < items % len(FAMILIES)) for i in range(len(FAMILIES))]
    listed = "".join(
        f"  - {{family: {family}, variants: {n}}}\n"
        for family, n in zip(FAMILIES, shares, strict=True)
        if n
    )
    path = folder / "large.yaml"
    path.write_text(
        "id: large\ntitle: A large pool\ncourse: NT 210\nseed: alder-ford-large\nitems:\n" + listed,
        encoding="utf-8",
    )
    return making.released(pool_named(str(path), ()), "2027-spring")


def moves(page: Page) -> list[float]:
    return [float(page.run(MOVED)) for _ in range(MOVES)]


def pages(page: Page) -> int:
    pdf = base64.b64decode(page.call("Page.printToPDF", paperWidth=8.27, paperHeight=11.69)["data"])
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


def measured(items: int) -> None:
    with tempfile.TemporaryDirectory() as folder, Chromium() as browser:
        path = Path(folder) / "review.html"
        path.write_bytes(packet_of_release(released(items, Path(folder))))
        began = time.perf_counter()
        page = browser.page(path.as_uri())
        opened = time.perf_counter() - began
        elements = page.run("document.getElementsByTagName('*').length")
        took = moves(page)
        print(
            f"{items} items: {path.stat().st_size / 1e6:.1f} MB, opens in {opened:.1f} s, "
            f"{elements} elements; moves in {median(took):.0f} ms, at least {min(took):.0f} and at "
            f"most {max(took):.0f} ms",
            flush=True,
        )
        if items <= PRINTED:
            print(f"    {pages(page)} pages of paper")


if __name__ == "__main__":
    for argument in sys.argv[1:] or ("70", "300", "1000"):
        measured(int(argument))
