"""The packet of what is on record: returns, what was mended since, what could not be read."""

import json
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from exporters.release import Release
from itembank.pipeline import making
from itembank.review import deciding, packet_of_package, packet_of_release
from itembank.values.verdicts import FACETS, OnFacet, Spoken, accepted_items, carried
from tests.browser.chromium import Chromium, Page
from tests.browser.packets import (
    AXE,
    SCHEMA,
    accepted_by,
    choose,
    enter_name,
    items,
    opened_anew,
    reload,
    saved,
    sized,
    text,
    turn_to,
    violations,
    visible,
    with_a_comma,
    write,
)

pytestmark = pytest.mark.browser

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
    packet = packet_of_release(release, words)
    opened = opened_anew(browser, tmp_path / "returned.html", packet)
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
    packet = packet_of_release(with_a_comma(release), words)
    opened = opened_anew(browser, tmp_path / "mended.html", packet)
    yield opened
    opened.call("Page.close")


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
