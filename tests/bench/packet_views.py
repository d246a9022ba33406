"""Every view of the packet of every shipped pool: rules of accessibility, one screen, no side.

    python tests/bench/packet_views.py [POOL...]

Of each pool the first page, and of every family in every form the first item: as a question, and
with its key and all of its evidence unfolded; judged by axe-core in both themes.  Of every item,
with its key: whether question and key end within a screen of 1280 x 800, whether the decision is in
it, and whether anything scrolls sideways at 1280, 768, 390 and 320 pixels (400 % of 1280).  Run by
hand; figures stand in DEVELOPERS.md.
"""

import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1] / "browser"))

from itembank.cli.arguments import pool_named
from itembank.pipeline import making
from itembank.review import packet_of_release
from tests.browser import chromium
from tests.browser.chromium import Chromium, Page
from tests.browser.packets import AXE, opened_anew, sized, turn_to, violations

POOLS = Path(__file__).parents[2] / "specs" / "pools"

DESK, WIDTHS = (1280, 800), (768, 390, 320)

THEMES = ("light", "dark")

ITEMS = "JSON.parse(document.getElementById('items').textContent).items"

SHOW = "document.querySelector('.current:not(.open) .quiet')?.click()"

UNFOLD = "for (const e of document.querySelectorAll('.current .evidence')) e.open = true"

FOOT_OF_KEY = """
(() => {
  scrollTo(0, 0);
  const key = document.querySelector('.current .revealed > section');
  return Math.round(key.getBoundingClientRect().bottom);
})()
"""

DECISION = "document.querySelector('.current .decision').getBoundingClientRect().bottom"

DRAWN = "new Promise(done => requestAnimationFrame(() => setTimeout(done, 20)))"

chromium.PATIENCE = 300


def main(names: list[str]) -> None:
    with Chromium() as browser, tempfile.TemporaryDirectory() as folder:
        for name in names or sorted(path.stem for path in POOLS.glob("*.yaml")):
            editions = pool_named(name, ()).editions()
            release, *others = making.editions(editions, "2027-spring")
            path = Path(folder) / f"{Path(name).stem}.html"
            page = opened_anew(browser, path, packet_of_release(release, others=others))
            page.run(AXE.read_text(encoding="utf-8") + "; 0")
            told(name, page)
            page.call("Page.close")


def told(name: str, page: Page) -> None:
    items = page.run(ITEMS + ".map(one => ({name: one.item, kind: one.group + ', ' + one.shape}))")
    views, faults = 0, []
    for theme in THEMES:
        for view in views_of(page, items, theme):
            views += 1
            faults += [f"{theme}, {view}: {fault}" for fault in violations(page)]
    turn_to(page, "overview")
    feet, aside = [], list(sideways(page, "overview"))
    for one in items:
        feet.append((measured(page, one["name"]), one["kind"]))
        aside += sideways(page, one["name"])
    low = [(foot, kind) for foot, kind in feet if foot > DESK[1]]
    print(
        f"{name}: {len(items)} items, {views} views, {len(faults)} breaches; key at most "
        f"{max(feet)[0]} px down, of {len(low)} items beyond the screen; {len(aside)} sideways",
        flush=True,
    )
    for kind in sorted({kind for _foot, kind in low}):
        print(f"    {kind}: to {max(foot for foot, of in low if of == kind)} px")
    for fault in (*faults, *aside):
        print(f"    {fault}")


def views_of(page: Page, items: list[dict[str, Any]], theme: str) -> Iterator[str]:
    """Turns to each view in this theme, and tells which it is."""
    page.run("localStorage.clear()")
    page.reload()
    page.wait("window.ready === true")
    page.run(AXE.read_text(encoding="utf-8") + "; 0")
    feature = {"name": "prefers-color-scheme", "value": theme}
    page.call("Emulation.setEmulatedMedia", features=[feature])
    sized(page, *DESK)
    turn_to(page, "overview")
    yield "overview"
    seen: set[str] = set()
    for one in items:
        if one["kind"] in seen:
            continue
        seen.add(one["kind"])
        turn_to(page, one["name"])
        yield f"{one['kind']}, the question"
        page.run(SHOW)
        page.run(UNFOLD)
        page.run(DRAWN)
        yield f"{one['kind']}, its evidence"


def measured(page: Page, name: str) -> int:
    """How far down the key of an item ends, on a screen of a desk."""
    sized(page, *DESK)
    turn_to(page, name)
    page.run(SHOW)
    assert page.run(DECISION) <= DESK[1], name
    return int(page.run(FOOT_OF_KEY))


def sideways(page: Page, name: str) -> Iterator[str]:
    """Where the page that is open is wider than the window, all of its evidence unfolded."""
    page.run(UNFOLD)
    for width in (DESK[0], *WIDTHS):
        sized(page, width)
        found = page.run("document.documentElement.scrollWidth")
        if found > width:
            yield f"{name}: {found} px in {width}"


if __name__ == "__main__":
    main(sys.argv[1:])
