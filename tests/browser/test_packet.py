"""The packet in a browser: answer, reveal, accept, return, close, come back, save, decide."""

import json
import os
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from chromium import Chromium, Page, executable
from jsonschema import Draft202012Validator
from readers import MODULES

from exporters.keys import key
from exporters.release import Release
from itembank.cli.arguments import pool_named
from itembank.notation.prose import display
from itembank.pipeline import making
from itembank.review import deciding, packet_of_package, packet_of_release, seen_lines
from itembank.values.item import Item, ListEntry
from itembank.values.verdicts import FACETS, OnFacet, Spoken, accepted_items, carried

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
    assert (void.outcome, void.void) == ("in part", ("wording", "accessibility"))
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


@pytest.mark.parametrize(("spelled", "agrees"), [("+0{}", True), ("00{}", True), ("{}+", False)])
def test_a_plus_sign_and_zeros_before_a_typed_integer_make_no_other_answer(
    page: Page, release: Release, spelled: str, agrees: bool
):
    for form in ("integer", "list"):
        item = next(i for i in items(release) if i.response.form == form and key(i.response))
        turn_to(page, item.identifier)
        page.run("document.querySelector('.current .question input').focus()")
        write(page, ", ".join(spelled.format(value) for value in key(item.response)))
        press(page, "Enter")

        said = "Your answer agrees with the key." if agrees else "Your answer differs"
        assert text(page, ".current .outcome").startswith(said)


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


# ------------------------------------------------------------ kept in the browser

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


@pytest.fixture
def other(browser: Chromium, page: Page) -> Iterator[Page]:
    """The same packet in another tab."""
    opened = browser.page(str(page.run("location.href.split('#')[0]")))
    yield opened
    opened.call("Page.close")


def test_two_tabs_keep_what_was_decided_in_either(page: Page, other: Page, release: Release):
    first, second, third = items(release)[:3]
    accept(page, first.identifier)
    accept(other, second.identifier)
    accept(page, third.identifier)

    told = f"3 of {len(items(release))} decided"
    for tab in (page, other):
        tab.wait(f"document.getElementById('progress').textContent === '{told}'")
        reload(tab)
        assert text(tab, "#progress") == told


def test_a_tab_that_never_heard_of_the_other_overwrites_nothing(
    page: Page, other: Page, release: Release
):
    """As where the event of the storage comes late, or not at all."""
    first, second = items(release)[:2]
    other.run("addEventListener('storage', e => e.stopImmediatePropagation(), true)")
    accept(page, first.identifier)
    accept(other, second.identifier)

    reload(other)
    assert text(other, "#progress") == f"2 of {len(items(release))} decided"


def test_two_tabs_on_one_item_keep_the_newest_word_on_each_facet(
    page: Page, other: Page, release: Release
):
    name = items(release)[0].identifier
    for tab in (page, other):
        turn_to(tab, name)
    page.run("document.querySelector('.current .quiet').click()")
    other.wait("document.querySelector('.current').classList.contains('open')")
    choose(page, "key", "returned", "7 is missing")
    choose(other, "wording", "accepted")
    choose(page, "wording", "returned", "unclear")

    for tab in (page, other):
        tab.wait("document.querySelector('.current [data-facet=wording] textarea').value")
        reload(tab)
        assert tab.run(
            "[...document.querySelectorAll('.current [data-facet] input:checked')]"
            ".map(e => e.closest('fieldset').dataset.facet + ' ' + e.value)"
        ) == ["key returned", "wording returned"]
        assert text(tab, ".current [data-facet=key] textarea") == ""
        assert tab.run("document.querySelector('.current textarea').value") == "7 is missing"


@pytest.mark.parametrize(
    "damaged",
    [
        '{"reviewer":"R. Moss","items":null}',
        '{"reviewer":"R. Moss","items":{"NAME":null}}',
        '{"reviewer":"R. Moss","items":{"NAME":{"given":7,"blind":"","facets":{}}}}',
        '{"reviewer":"R. Moss","people":{"~r. moss":null}}',
        '{"reviewer":7}',
        "null",
        "[]",
        "{",
    ],
)
def test_damaged_work_is_set_aside_and_told(page: Page, release: Release, damaged: str):
    name = items(release)[0].identifier
    damaged = damaged.replace("NAME", name)
    stored(page, f"localStorage.setItem('itembank-' + packet, {json.dumps(damaged)})")
    reload(page)

    assert "damaged" in text(page, "#notices")
    sized(page, 320)
    assert page.run("document.documentElement.scrollWidth") <= 320
    assert stored(page, "localStorage.getItem('itembank-' + packet + '-damaged-1')") == damaged
    accept(page, name)
    reload(page)
    assert text(page, "#progress") == f"1 of {len(items(release))} decided"
    assert text(page, "#notices") == ""


def test_work_from_before_names_were_told_apart_is_that_of_its_reviewer(
    page: Page, release: Release
):
    name = items(release)[0].identifier
    facets = {f: {"verdict": "accepted", "comment": ""} for f in FACETS}
    old = {
        "reviewer": "R. Moss",
        "items": {name: {"given": [], "blind": "asked", "facets": facets}},
    }
    stored(page, f"localStorage.setItem('itembank-' + packet, {json.dumps(json.dumps(old))})")
    reload(page)

    assert text(page, "#notices") == ""
    assert text(page, "#progress") == f"1 of {len(items(release))} decided"


def test_a_second_reviewer_inherits_nothing_of_the_first(page: Page, release: Release):
    first, second = items(release)[:2]
    count = len(items(release))
    accept(page, first.identifier)
    enter_name(page, "R. Moss")
    assert text(page, "#progress") == f"1 of {count} decided"

    enter_name(page, "A. Reed")
    assert text(page, "#progress") == f"0 of {count} decided"
    assert not visible(page, ".revealed")
    assert "Decisions kept under the name R. Moss: 1." in text(page, "#notices")
    accept(page, second.identifier)
    enter_name(page, " r.  moss")
    turn_to(page, first.identifier)
    assert text(page, ".current .status") == "accepted"
    assert text(page, "#progress") == f"1 of {count} decided"
    reload(page)
    assert text(page, "#progress") == f"1 of {count} decided"

    enter_name(page, "R. Mossop")
    assert text(page, "#progress") == f"0 of {count} decided"
    page.run("document.querySelector('#notices button').click()")  # take them over
    assert text(page, "#progress") == f"1 of {count} decided"


def test_leaving_asks_first_where_decisions_are_not_saved(
    page: Page, browser: Chromium, release: Release, tmp_path: Path
):
    press(page, "Tab")
    assert page.reload() == ""
    accept(page, items(release)[0].identifier)
    press(page, "Tab")
    assert page.reload(leave=False) == "beforeunload"

    enter_name(page, "R. Moss")
    saved(page, browser, tmp_path)
    assert page.reload() == ""


def test_progress_is_told_after_a_reload_wherever_one_was(page: Page, release: Release):
    first, second = items(release)[:2]
    accept(page, first.identifier)
    for name in ("overview", second.identifier, first.identifier):
        turn_to(page, name)
        reload(page)
        assert text(page, "#progress") == f"1 of {len(items(release))} decided"


# ------------------------------------------------------------ returns on record


@pytest.fixture
def returned(browser: Chromium, release: Release, tmp_path: Path) -> Iterator[Page]:
    """The packet where A. Reed has returned the first item, and R. Moss has accepted it."""
    mark = items(release)[0].fingerprint
    said = [OnFacet(f, "accepted") for f in FACETS]
    back = [OnFacet("wording", "returned", "“Such as” is a <hint>."), *said[2:]]
    words = [
        Spoken(item=mark, person=person, date="2027-01-15", facets=tuple(facets))
        for person, facets in (("A. Reed", back), ("R. Moss", said))
    ]
    path = tmp_path / "returned.html"
    path.write_bytes(packet_of_release(release, words))
    opened = browser.page(path.as_uri())
    opened.run("localStorage.clear()")
    reload(opened)
    sized(opened, 1100)
    yield opened
    opened.call("Page.close")


def test_a_third_person_settles_a_return_in_the_packet(
    returned: Page, browser: Chromium, release: Release, tmp_path: Path
):
    page, item = returned, items(release)[0]
    assert page.run("document.querySelectorAll('.held a').length") == 1
    assert "is a <hint>" not in page.run("document.querySelector('main').innerText")
    turn_to(page, item.identifier)
    page.run("document.querySelector('.current .quiet').click()")
    assert text(page, ".current .settling legend") == (
        "Wording: returned by A. Reed, 2027-01-15: “Such as” is a <hint>."
    )

    box = "document.querySelector('.current .settling input')"
    for name, note in (("a. reed", "Your own return"), ("R. Moss", "You have decided")):
        enter_name(page, name)
        assert page.run(f"{box}.disabled")
        assert text(page, ".current .settling .note").startswith(note)
    enter_name(page, "C. Lund")
    page.run("document.querySelector('.current .quiet').click()")
    page.run(f"{box}.click()")
    assert text(page, ".current .status") == "Say why in the comment."
    page.run("document.querySelector('.current .settling textarea').focus()")
    write(page, "It is the textbook's wording.")
    page.run(AXE.read_text(encoding="utf-8") + "; 0")
    assert violations(page) == []

    path = saved(page, browser, tmp_path)
    Draft202012Validator(json.loads(SCHEMA.read_text())).validate(json.loads(path.read_text()))
    (settlement,) = deciding.read_decisions(path).settlements
    assert (settlement.over, settlement.facet, settlement.verdict) == (
        "A. Reed",
        "wording",
        "accepted",
    )


# ------------------------------------------------------------ mended since


@pytest.fixture
def mended(browser: Chromium, release: Release, tmp_path: Path) -> Iterator[Page]:
    """The packet where R. Moss has accepted the first two items, and the first has a comma more."""
    words = [accepted_by("R. Moss", item) for item in items(release)[:2]]
    path = tmp_path / "mended.html"
    path.write_bytes(packet_of_release(with_a_comma(release), words))
    opened = browser.page(path.as_uri())
    opened.run("localStorage.clear()")
    reload(opened)
    sized(opened, 1100)
    yield opened
    opened.call("Page.close")


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
    end = replace(item.solution[-1], content=(*item.solution[-1].content, ", as was to be shown."))
    changed = replace(item, solution=(*item.solution[:-1], end))
    assert changed.identifier == item.identifier
    return replace(release, groups=(replace(first, items=(changed, *others)), *rest))


def test_of_a_mended_item_the_wording_alone_is_asked_and_its_change_is_shown(
    mended: Page, browser: Chromium, release: Release, tmp_path: Path
):
    page, now = mended, items(with_a_comma(release))
    assert text(page, "#progress") == f"1 of {len(now)} decided"
    page.run(
        "const box = document.getElementById('queue-state'); box.value = 'undecided';"
        "box.dispatchEvent(new Event('input', {bubbles: true}))"
    )
    hidden = "[...document.querySelectorAll('.items tbody tr[hidden] td:last-child')]"
    assert page.run(f"{hidden}.map(cell => cell.dataset.status)") == [now[1].identifier]

    turn_to(page, now[0].identifier)
    assert text(page, ".current .note") == "Asked again: Wording."
    assert not visible(page, ".changes")
    page.run("document.querySelector('.current .quiet').click()")
    assert visible(page, ".changes")
    assert "as was to be shown." in text(page, ".current .changes ins mark")
    assert page.run(
        "[...document.querySelectorAll('.current [data-facet]')]"
        ".filter(e => e.checkVisibility()).map(e => e.dataset.facet)"
    ) == ["wording"]
    assert text(page, ".current .standing legend") == (
        "Key and scoring: accepted by R. Moss, 2027-01-15"
    )
    page.run(AXE.read_text(encoding="utf-8") + "; 0")
    assert violations(page) == []
    page.run("document.querySelector('.current .all').click()")
    assert text(page, ".current .status") == "accepted"
    sized(page, 320)
    assert page.run("document.documentElement.scrollWidth") <= 320

    sized(page, 1100)
    turn_to(page, now[1].identifier)
    assert text(page, ".current .note") == "Accepted as it is: nothing is asked."
    enter_name(page, "C. Lund")
    path = saved(page, browser, tmp_path)
    Draft202012Validator(json.loads(SCHEMA.read_text())).validate(json.loads(path.read_text()))
    file = deciding.read_decisions(path)
    (decision,) = file.decisions
    assert (decision.verdict, list(decision.facets)) == ("accepted", ["wording"])
    sum_of_both = [accepted_by("R. Moss", items(release)[0]), decision.spoken("C. Lund", file.date)]
    assert accepted_items(carried(sum_of_both, now)) == {now[0].fingerprint}
    assert accepted_items(carried(sum_of_both[1:], now)) == frozenset()


def test_what_is_accepted_as_it_is_can_still_be_returned(
    mended: Page, browser: Chromium, release: Release, tmp_path: Path
):
    page, item = mended, items(release)[1]
    turn_to(page, item.identifier)
    page.run("document.querySelector('.current .quiet').click()")
    assert page.run("document.querySelector('.current .all')") is None
    page.run("document.querySelector('.current .standing summary').click()")
    choose(page, "key", "returned", "7 is missing")
    assert text(page, ".current .status") == "returned"
    enter_name(page, "C. Lund")

    # Begun before the name was given, so it is that of C. Lund.
    (decision,) = deciding.read_decisions(saved(page, browser, tmp_path)).decisions
    assert (decision.verdict, dict(decision.hashes)) == ("returned", {"key": item.facets["key"]})


# ------------------------------------------------------------ a package


def test_what_could_not_be_read_can_be_returned_and_never_accepted(
    browser: Chromium, release: Release, tmp_path: Path
):
    (package,) = making.written(release, tmp_path, ["qti21"]).packages
    broken = without_reading(tmp_path / package[0].file, tmp_path / "broken.zip")
    path = tmp_path / "package.html"
    path.write_bytes(packet_of_package(broken))
    page = browser.page(path.as_uri())
    page.run("localStorage.clear()")
    reload(page)

    assert f"{len(items(release))}, of which 1 could not be read" in text(page, "#overview .facts")
    name = page.run("document.querySelector('.first a').hash.slice(1)")
    turn_to(page, name)
    assert "could not be read: " in text(page, ".current .unread")
    assert page.run("document.querySelectorAll('.current [value=accepted]').length") == 0
    assert not page.run("document.querySelector('.current .all')")
    assert text(page, "#progress").startswith("0 of")
    choose(page, "key", "returned", "the platform must show it first")
    assert text(page, "#progress").startswith("1 of")
    page.run(AXE.read_text(encoding="utf-8") + "; 0")
    assert violations(page) == []
    page.call("Page.close")


def without_reading(package: Path, broken: Path) -> Path:
    """The package with one question of a kind that nothing here reads."""
    with zipfile.ZipFile(package) as old, zipfile.ZipFile(broken, "w") as new:
        done = False
        for name in old.namelist():
            data = old.read(name)
            if not done and b"<textEntryInteraction" in data:
                data, done = data.replace(b"textEntryInteraction", b"uploadInteraction"), True
            new.writestr(name, data)
    assert done
    return broken


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
    page.run("document.getElementById('print-evidence').click()")
    page.run("dispatchEvent(new Event('beforeprint'))")
    page.call("Emulation.setEmulatedMedia", media="print")
    assert page.run("document.querySelectorAll('article').length") == len(items(release))
    shown = page.run("[...document.querySelectorAll('.revealed')].every(e => e.checkVisibility())")
    assert shown
    assert not page.run("document.querySelector('header form').checkVisibility()")


def test_the_script_speaks_the_language_of_the_page(
    browser: Chromium, release: Release, tmp_path: Path
):
    path = tmp_path / "review-de.html"
    path.write_bytes(packet_of_release(release, language="de"))
    page = browser.page(path.as_uri())
    first = items(release)[0].identifier
    page.run("localStorage.clear()")
    reload(page)

    accept(page, first)
    assert text(page, ".current .outcome") == "Der Schlüssel wurde ohne Antwort gezeigt."
    assert text(page, ".current .status") == "angenommen"
    turn_to(page, "overview")
    assert "95,0 %" in text(page, "#sample-now")  # 1 - 0.05^(1/1)
    assert text(page, f"[data-status={first}]") == "angenommen"
    page.run(AXE.read_text(encoding="utf-8") + "; 0")
    assert violations(page) == []
    turn_to(page, first)
    assert violations(page) == []
    page.call("Page.close")
