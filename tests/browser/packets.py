"""The packet in a browser: what a person does in it, for the tests of the packet."""

from dataclasses import replace
from pathlib import Path

from exporters.release import Release
from itembank.notation.tree import Paragraph
from itembank.review import seen_lines
from itembank.values.item import Item, ListEntry
from itembank.values.verdicts import FACETS, OnFacet, Spoken
from tests.browser.chromium import Chromium, Page, executable
from tests.browser.readers import MODULES

AXE = MODULES / "axe-core" / "axe.min.js"
SCHEMA = Path(__file__).parents[2] / "specs" / "schema" / "decisions.schema.json"

POOL = """
id: review-me
title: Homework 6 - polynomial congruences
course: NT 210 Elementary Number Theory, Alder Ford College
seed: alder-ford-review
items:
  - {family: singular-root, variants: 2, points: 3, form: list}
  - {family: quadratic-two-prime-powers, variants: 2, points: 3, form: select all}
  - {family: zero-product-composite, variants: 2, points: 2, form: select one}
  - {family: linear-one-solution, variants: 1}
  - {family: quadratic-solvable-or-not, variants: 2}
  - {family: order-modulo-prime, variants: 1}
  - {family: steps-in-order, variants: 1}
  - {family: lifts-of-roots, variants: 1}
  - {family: stage-by-stage, variants: 1, points: 5}
"""


def missing_for_packets() -> str | None:
    if executable() is None:
        return "chromium is not installed"
    return None if AXE.is_file() else "axe-core is not installed: run `npm ci` in tests/browser"


def opened_anew(browser: Chromium, path: Path, packet: bytes) -> Page:
    """The packet, opened from a file, wide as a desk's screen, nothing of it remembered."""
    path.write_bytes(packet)
    page = browser.empty(window=False)
    page.open(path.as_uri())
    page.run("localStorage.clear()")
    reload(page)
    sized(page, 1100)
    return page


def items(release: Release) -> list[Item]:
    return [item for group in release.groups for item in group.items]


def sized(page: Page, width: int, height: int = 900) -> None:
    page.call(
        "Emulation.setDeviceMetricsOverride",
        width=width,
        height=height,
        deviceScaleFactor=1,
        mobile=False,
    )


def reload(page: Page) -> None:
    page.reload()
    page.wait("document.readyState === 'complete' && window.ready === true")


def turn_to(page: Page, name: str) -> None:
    page.run(f"location.hash = '{name}'")
    page.wait(f"document.querySelector('.page.current').id === '{name}'")


def visible(page: Page, part: str) -> bool:
    return bool(page.run(f"document.querySelector('.current {part}').checkVisibility()"))


def text(page: Page, part: str) -> str:
    return str(page.run(f"document.querySelector('{part}').textContent"))


def press(page: Page, key: str, n: int = 1) -> None:
    typed = {"Enter": "\r", " ": " "}.get(key)
    code = {"Tab": 9, "Enter": 13, " ": 32, "Down": 40}[key]
    name = {" ": "Space", "Down": "ArrowDown"}.get(key, key)
    what = {"key": " " if key == " " else name, "code": name, "windowsVirtualKeyCode": code}
    for _ in range(n):
        page.call(
            "Input.dispatchKeyEvent", type="keyDown", **what, **({"text": typed} if typed else {})
        )
        page.call("Input.dispatchKeyEvent", type="keyUp", **what)


def write(page: Page, words: str) -> None:
    page.call("Input.insertText", text=words)


def tab_to(page: Page, condition: str) -> None:
    """Press Tab until what has the focus satisfies the condition on `e`."""
    for _ in range(80):
        press(page, "Tab")
        if page.run(f"(e => Boolean({condition}))(document.activeElement)"):
            return
    raise AssertionError(f"the keyboard does not reach: {condition}")


def answer(page: Page, item: Item) -> None:
    assert isinstance(item.response, ListEntry)
    tab_to(page, "e.matches('.current .question input')")
    write(page, ", ".join(map(str, item.response.values)))


def saved(page: Page, browser: Chromium, folder: Path) -> Path:
    browser.call("Browser.setDownloadBehavior", behavior="allow", downloadPath=str(folder))
    tab_to(page, "e.id === 'save'")
    press(page, "Enter")
    page.wait("document.getElementById('said').textContent.includes('Decisions saved')")
    for _ in range(200):
        found = list(folder.glob("*decisions.json"))
        if found:
            return found[0]
        page.run("new Promise(done => setTimeout(done, 25))")
    raise AssertionError("nothing was downloaded")


PACKET = "const packet = JSON.parse(document.getElementById('items').textContent).packet; "


def stored(page: Page, script: str) -> object:
    """What a script finds in this browser's storage, where `packet` is the hash of the packet."""
    return page.run("(() => {" + PACKET + "return " + script + "})()")


def accept(page: Page, name: str) -> None:
    turn_to(page, name)
    page.run("document.querySelector('.current .quiet').click()")
    page.run("document.querySelector('.current .all').click()")


def choose(page: Page, facet: str, verdict: str, comment: str = "") -> None:
    page.run(
        f"document.querySelector('.current [data-facet={facet}] [value={verdict}]').click();"
        f"document.querySelector('.current [data-facet={facet}] textarea').focus()"
    )
    write(page, comment)


def enter_name(page: Page, name: str) -> None:
    page.run("document.getElementById('reviewer').select()")
    write(page, name)
    press(page, "Tab")


def violations(page: Page) -> list[str]:
    found = page.run(
        "axe.run(document, {resultTypes: ['violations']})"
        ".then(r => r.violations.map(v => v.id + ': ' + v.nodes[0].html))"
    )
    assert isinstance(found, list)
    return found


def accepted_by(person: str, item: Item) -> Spoken:
    return Spoken(
        item=item.fingerprint,
        person=person,
        date="2027-01-15",
        facets=tuple(OnFacet(facet, "accepted", "", item.facets[facet]) for facet in FACETS),
        name=item.identifier,
        seen=tuple(seen_lines(item)),
    )


def with_a_comma(release: Release) -> Release:
    """The release, the last paragraph of the first worked solution with a comma for its stop."""
    first, *rest = release.groups
    item, *others = first.items
    last = item.solution[-1]
    assert isinstance(last, Paragraph)
    end = replace(last, content=(*last.content, ", as was to be shown."))
    changed = replace(item, solution=(*item.solution[:-1], end))
    assert changed.identifier == item.identifier
    return replace(release, groups=(replace(first, items=(changed, *others)), *rest))
