"""The packet in a browser: answer, reveal, accept, return, close, come back, save, decide."""

import json
import os
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from chromium import Chromium, Page, executable
from jsonschema import Draft202012Validator
from readers import MODULES

from exporters.release import Release
from itembank import deciding, making
from itembank.cli.arguments import pool_named
from itembank.item import Item, ListEntry
from itembank.notation.prose import display
from itembank.packet import packet_of_release

pytestmark = pytest.mark.browser

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


def missing() -> str | None:
    if executable() is None:
        return "chromium is not installed"
    return None if AXE.is_file() else "axe-core is not installed: run `npm ci` in tests/browser"


@pytest.fixture(scope="module")
def browser() -> Iterator[Chromium]:
    reason = missing()
    if reason and "browser" in os.environ.get("ITEMBANK_REQUIRE", "").split():
        pytest.fail(f"ITEMBANK_REQUIRE asks for the browser tests, but {reason}")
    if reason:
        pytest.skip(reason)
    with Chromium() as opened:
        yield opened


@pytest.fixture(scope="module")
def release(tmp_path_factory: pytest.TempPathFactory) -> Release:
    path = tmp_path_factory.mktemp("pool") / "review-me.yaml"
    path.write_text(POOL, encoding="utf-8")
    return making.released(pool_named(str(path), ()), "2027-spring")


@pytest.fixture
def page(browser: Chromium, release: Release, tmp_path: Path) -> Iterator[Page]:
    """The packet, opened from a file, wide as a desk's screen, nothing of it remembered."""
    path = tmp_path / "review.html"
    path.write_bytes(packet_of_release(release))
    opened = browser.page(path.as_uri())
    opened.run("localStorage.clear()")
    reload(opened)
    sized(opened, 1100)
    yield opened
    opened.call("Page.close")


def items(release: Release) -> list[Item]:
    return [item for group in release.groups for item in group.items]


def sized(page: Page, width: int) -> None:
    page.call(
        "Emulation.setDeviceMetricsOverride",
        width=width,
        height=900,
        deviceScaleFactor=1,
        mobile=False,
    )


def reload(page: Page) -> None:
    page.run("window.ready = false")
    page.call("Page.reload")
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
    page.wait("document.getElementById('said').textContent.includes('Saved')")
    for _ in range(200):
        found = list(folder.glob("*decisions.json"))
        if found:
            return found[0]
        page.run("new Promise(done => setTimeout(done, 25))")
    raise AssertionError("nothing was downloaded")


# ------------------------------------------------------------ a review


def test_a_review_by_keyboard_survives_closing_and_comes_back_as_decisions(
    page: Page, browser: Chromium, release: Release, tmp_path: Path
):
    first, second = items(release)[:2]

    turn_to(page, first.identifier)
    assert not visible(page, ".revealed")
    assert not visible(page, ".decision")
    answer(page, first)
    press(page, "Enter")
    assert visible(page, ".revealed")
    assert text(page, ".current .outcome") == "Your answer agrees with the key."
    tab_to(page, "e.matches('.current .all')")
    press(page, "Enter")
    assert text(page, ".current .status") == "accepted"

    turn_to(page, second.identifier)
    tab_to(page, "e.matches('.current .quiet')")
    press(page, "Enter")
    assert text(page, ".current .outcome") == "The key was shown unanswered."
    tab_to(page, "e.matches('.current [data-facet=wording] [value=accepted]')")
    page.call("Input.dispatchKeyEvent", type="keyDown", key="ArrowRight", windowsVirtualKeyCode=39)
    page.call("Input.dispatchKeyEvent", type="keyUp", key="ArrowRight", windowsVirtualKeyCode=39)
    assert text(page, ".current .status") == "Say why in the comment."
    tab_to(page, "e.matches('.current [data-facet=wording] textarea')")
    write(page, "“Such as 1, 2, 3” could be taken for a hint.")
    assert text(page, ".current .status") == "returned"

    reload(page)
    assert text(page, "#progress") == f"2 of {len(items(release))} decided"
    assert text(page, ".current .outcome") == "The key was shown unanswered."
    page.run("document.getElementById('reviewer').focus()")
    write(page, "R. Moss")
    path = saved(page, browser, tmp_path)

    Draft202012Validator(json.loads(SCHEMA.read_text())).validate(json.loads(path.read_text()))
    file = deciding.read_decisions(path)
    outcomes = list(deciding.applied(file, items(release)))
    assert [(o.decision.item, o.decision.verdict, o.outcome) for o in outcomes] == [
        (first.identifier, "accepted", "stands"),
        (second.identifier, "returned", "stands"),
    ]
    assert file.reviewer == "R. Moss"
    assert file.decisions[0].blind == "answered"
    assert file.decisions[0].agreed is True

    old = first.statement[0]
    digit = next(c for c in reversed(old) if c.isdigit())
    changed = replace(first, stem=(first.stem[0], display(old[:-1] + str((int(digit) + 1) % 10))))
    void = next(deciding.applied(file, [changed, *items(release)[1:]]))
    assert void.outcome == "changed"
    assert any(line.startswith("+ question") for line in void.difference)


def test_a_wrong_answer_is_told_and_an_empty_one_reveals_nothing(page: Page, release: Release):
    item = items(release)[0]
    turn_to(page, item.identifier)
    tab_to(page, "e.matches('.current .question [type=submit]')")
    press(page, "Enter")
    assert not visible(page, ".revealed")

    page.run("document.querySelector('.current .question input').focus()")
    write(page, "none")
    press(page, "Enter")
    assert visible(page, ".revealed")
    assert text(page, ".current .outcome").startswith("Your answer differs")


@pytest.mark.parametrize("place", range(13))
def test_the_key_agrees_with_itself_in_every_form(page: Page, release: Release, place: int):
    item = items(release)[place]
    turn_to(page, item.identifier)
    page.run(
        """(() => {
          const data = JSON.parse(document.getElementById('items').textContent);
          const item = data.items.find(i => i.item === location.hash.slice(1));
          const text = document.querySelector('.current .question input[type=text]');
          if (item.parts)
            document.querySelectorAll('.current .question .part').forEach((box, i) => {
              const part = item.parts[i];
              box.value = part.list ? part.list.join(', ') || part.none : part.choice;
            });
          else if (text) text.value = item.key.join(', ') || item.none;
          else for (const key of item.key)
            document.querySelector(`.current .question [value="${key}"]`).click();
        })()"""
    )
    page.run("document.querySelector('.current .question [type=submit]').click()")

    assert text(page, ".current .outcome") == "Your answer agrees with the key."


@pytest.mark.parametrize("form", ["order", "match", "guided"])
def test_one_part_chosen_by_keyboard_is_kept_and_is_not_the_key(
    page: Page, release: Release, form: str
):
    item = next(i for i in items(release) if i.response.form == form)
    turn_to(page, item.identifier)
    tab_to(page, "e.matches('.current .question select')")
    press(page, "Down")
    reload(page)
    chosen = page.run("document.querySelector('.current .question select').selectedIndex")
    assert chosen == 1

    page.run("document.querySelector('.current .question [type=submit]').click()")
    assert text(page, ".current .outcome").startswith("Your answer differs")
    assert page.run("document.querySelector('.current .question select').disabled")


# ------------------------------------------------------------ for everyone


def violations(page: Page) -> list[str]:
    found = page.run(
        "axe.run(document, {resultTypes: ['violations']})"
        ".then(r => r.violations.map(v => v.id + ': ' + v.nodes[0].html))"
    )
    assert isinstance(found, list)
    return found


@pytest.mark.parametrize("width", [1100, 320])
def test_no_page_breaks_a_rule_of_accessibility(page: Page, release: Release, width: int):
    sized(page, width)
    page.run(AXE.read_text(encoding="utf-8") + "; 0")
    assert violations(page) == []

    firsts = [next(iter(group.items)) for group in release.groups]
    for item in firsts if width > 1000 else firsts[:2]:
        turn_to(page, item.identifier)
        page.run("document.querySelector('.current .quiet').click()")
        assert violations(page) == []
    turn_to(page, items(release)[1].identifier)  # still without its key
    assert violations(page) == []


def test_at_400_percent_nothing_but_tables_and_formulas_is_wider_than_the_window(
    page: Page, release: Release
):
    sized(page, 320)
    for name in ("overview", *(item.identifier for item in items(release))):
        turn_to(page, name)
        page.run("(document.querySelector('.current .quiet') || document.body).click()")
        assert page.run("document.documentElement.scrollWidth") <= 320, name


def test_paper_holds_every_item_with_its_evidence(page: Page, release: Release):
    page.call("Emulation.setEmulatedMedia", media="print")
    shown = page.run("[...document.querySelectorAll('.revealed')].every(e => e.checkVisibility())")
    assert shown
    assert not page.run("document.querySelector('header form').checkVisibility()")
