"""What a packet keeps in the browser: two tabs, two names, damaged work, unsaved work."""

import json
from pathlib import Path

import pytest

from exporters.release import Release
from itembank.values.verdicts import FACETS
from tests.browser.chromium import Chromium, Page
from tests.browser.packets import (
    accept,
    choose,
    enter_name,
    items,
    press,
    reload,
    saved,
    sized,
    stored,
    text,
    turn_to,
    visible,
)

pytestmark = pytest.mark.browser

# ------------------------------------------------------------ kept in the browser


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


def test_a_tab_that_is_open_puts_its_work_in_the_place_of_what_is_damaged(
    page: Page, other: Page, release: Release
):
    accept(page, items(release)[0].identifier)
    other.wait("document.getElementById('progress').textContent.startsWith('1 of')")
    stored(page, "localStorage.setItem('itembank-' + packet, '{')")
    other.wait("document.getElementById('notices').textContent.includes('damaged')")

    reload(page)
    assert text(page, "#progress").startswith("1 of")
    assert stored(page, "localStorage.getItem('itembank-' + packet + '-damaged-1')") == "{"


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


def test_a_tab_that_reads_late_takes_no_word_back(page: Page, other: Page, release: Release):
    """As where what one tab keeps reaches the other only after its next word."""
    name = items(release)[0].identifier
    for tab in (page, other):
        turn_to(tab, name)
    page.run("document.querySelector('.current .quiet').click()")
    other.wait("document.querySelector('.current').classList.contains('open')")
    other.run(
        "(() => { const old = localStorage.getItem.bind(localStorage), then = {};"
        " for (const key of Object.keys(localStorage)) then[key] = old(key);"
        " Storage.prototype.getItem = key => then[key] ?? null })()"
    )
    choose(page, "key", "returned", "7 is missing")
    choose(other, "wording", "accepted")
    page.wait("document.querySelector('.current [data-facet=wording] [value=accepted]').checked")

    assert page.run("document.querySelector('.current textarea').value") == "7 is missing"
    choose(page, "accessibility", "accepted")
    reload(page)
    assert page.run(
        "[...document.querySelectorAll('.current [data-facet] input:checked')]"
        ".map(e => e.closest('fieldset').dataset.facet + ' ' + e.value)"
    ) == ["key returned", "wording accepted", "accessibility accepted"]
