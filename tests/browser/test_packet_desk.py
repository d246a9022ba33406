"""One screen an item, at a desk and on a phone, and a review by keys alone."""

from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest

from exporters.release import Release
from itembank.review import packet_of_release
from itembank.values.item import ListEntry
from tests.browser.chromium import Chromium, Page
from tests.browser.packets import (
    accept,
    enter_name,
    items,
    opened_anew,
    press,
    sized,
    text,
    turn_to,
    visible,
)

pytestmark = pytest.mark.browser

SHOW = "document.querySelector('.current .quiet').click()"

KEYED = """
(() => {
  window.keyed = 0;
  addEventListener('keydown', () => window.keyed += 1, true);
})()
"""


def letter(page: Page, key: str) -> None:
    page.write(key)


def inside(page: Page, part: str) -> bool:
    """Whether the whole of an element is within the window, wherever the page is scrolled to."""
    return bool(
        page.run(
            f"(r => r.top >= 0 && r.bottom <= innerHeight && r.left >= 0 && r.right <= innerWidth)"
            f"(document.querySelector('.current {part}').getBoundingClientRect())"
        )
    )


def focused(page: Page) -> str:
    return str(page.run("document.activeElement.className || document.activeElement.tagName"))


# ------------------------------------------------------------ one screen


@pytest.mark.parametrize("size", [(1280, 800), (390, 844)])
def test_the_decision_is_in_view_wherever_the_page_is_scrolled_to(
    page: Page, release: Release, size: tuple[int, int]
):
    sized(page, *size)
    for item in items(release)[:6]:
        turn_to(page, item.identifier)
        page.run(SHOW)
        for where in (0, 0.5, 1):
            page.run(f"scrollTo(0, {where} * document.body.scrollHeight)")
            assert inside(page, ".decision .all"), (item.title, where)
            assert inside(page, ".decision .status"), (item.title, where)


def test_question_and_key_stand_beside_the_decision_on_one_screen(page: Page, release: Release):
    sized(page, 1280, 800)
    item = next(i for i in items(release) if i.response.form == "solvable or not")
    turn_to(page, item.identifier)
    page.run(SHOW)

    for part in (".question", ".outcome", ".revealed > section", ".decision"):
        assert inside(page, part), part
    left, right = page.run(
        "['.question', '.decision'].map(p => document.querySelector('.current ' + p))"
        ".map(e => e.getBoundingClientRect()).map((r, i) => i ? r.left : r.right)"
    )
    assert left < right


def test_the_whole_key_of_every_form_is_on_the_screen_of_a_desk(page: Page, release: Release):
    sized(page, 1280, 800)
    for item in items(release):
        turn_to(page, item.identifier)
        page.run(SHOW)
        assert inside(page, ".revealed > section"), item.response.form


def test_steps_in_order_keep_their_numbers_on_a_phone(page: Page, release: Release):
    """A list item that scrolls by itself shows no number, which stands outside of it."""
    sized(page, 320, 700)
    item = next(i for i in items(release) if i.response.form == "order")
    turn_to(page, item.identifier)
    page.run(SHOW)
    assert page.run(
        "[...document.querySelectorAll('.current .revealed > section ol > li')]"
        ".map(e => getComputedStyle(e).overflowX)"
    ) == ["visible"] * len(item.response.order)


def test_on_a_phone_the_facets_unfold_from_the_bar(page: Page, release: Release):
    sized(page, 390, 844)
    turn_to(page, items(release)[0].identifier)
    page.run(SHOW)

    bar = page.run("document.querySelector('.current .decision').getBoundingClientRect().height")
    assert bar < 844 / 4
    assert not visible(page, ".facets")
    page.run("document.querySelector('.current .unfold').click()")
    assert visible(page, ".facets")
    assert page.run("document.querySelector('.current .unfold').ariaExpanded") == "true"


def test_evidence_lies_folded_with_what_it_comes_to(page: Page, release: Release):
    turn_to(page, items(release)[0].identifier)
    page.run(SHOW)

    told = page.run(
        "Object.fromEntries([...document.querySelectorAll('.current .evidence')].map(e =>"
        "[e.querySelector('h3').textContent,"
        " [e.open, (e.querySelector('.verdict') || {}).textContent]]))"
    )
    assert told["The second way"] == [False, "it agrees"]
    assert told["Evidence"][1].endswith("each holds")
    assert not any(opened for opened, _verdict in told.values())


def test_headings_are_an_outline(page: Page, release: Release):
    for name in ("overview", items(release)[0].identifier):
        turn_to(page, name)
        page.run("(document.querySelector('.current .quiet') || document.body).click()")
        levels = page.run(
            "[...document.querySelectorAll('h1, h2, h3, h4')]"
            ".filter(e => e.checkVisibility()).map(e => Number(e.tagName[1]))"
        )
        assert levels[:2] == [1, 2]
        assert all(b - a <= 1 for a, b in pairwise(levels))


# ------------------------------------------------------------ keys


def test_every_item_that_is_right_is_reviewed_with_three_keys_at_most(page: Page, release: Release):
    """By keyboard alone, the key asked for: show it, accept, and the next one is there."""
    count = len(items(release))
    letter(page, "n")
    page.wait("document.querySelector('.current').id !== 'overview'")
    page.run(KEYED)
    for _ in range(count):
        here = page.run("document.querySelector('.current').id")
        letter(page, "k")
        page.wait("document.activeElement.className.startsWith('outcome')")
        letter(page, "a")
        page.wait(f"document.querySelector('.current').id !== '{here}'")

    assert text(page, "#progress") == f"{count} of {count} decided"
    assert page.run("document.querySelector('.current').id") == "overview"
    assert page.run("window.keyed") <= 3 * count


def test_an_option_is_chosen_and_compared_by_its_number(page: Page, release: Release):
    item = next(i for i in items(release) if i.response.form == "solvable or not")
    turn_to(page, item.identifier)
    letter(page, "2" if item.response.truth is False else "1")
    press(page, "Enter")

    assert text(page, ".current .outcome") == "Your answer agrees with the key."


def test_a_digit_begins_the_answer_that_is_typed(page: Page, release: Release):
    item = next(i for i in items(release) if isinstance(i.response, ListEntry))
    turn_to(page, item.identifier)
    page.write(", ".join(map(str, item.response.values)))
    press(page, "Enter")

    assert text(page, ".current .outcome") == "Your answer agrees with the key."


def test_a_facet_is_returned_by_its_number_and_says_why(page: Page, release: Release):
    turn_to(page, items(release)[0].identifier)
    letter(page, "k")
    letter(page, "2")
    assert focused(page) == "TEXTAREA"
    page.write("a hint; n and a and u are typed here")
    page.run("0")
    assert text(page, ".current .status") == "returned"
    page.call("Input.dispatchKeyEvent", type="keyDown", key="Escape", windowsVirtualKeyCode=27)
    assert focused(page).startswith("outcome")
    letter(page, "u")

    assert text(page, ".current .status") != "returned"


def test_the_keys_are_shown_on_request_and_can_be_turned_off(page: Page, release: Release):
    letter(page, "?")
    assert page.run("document.getElementById('help').open")
    page.run("document.getElementById('keys-on').click()")
    page.run("document.getElementById('help-close').click()")
    letter(page, "n")

    assert page.run("document.querySelector('.current').id") == "overview"


def test_no_place_of_tab_is_lost_when_the_key_is_shown(page: Page, release: Release):
    turn_to(page, items(release)[0].identifier)
    page.run(SHOW)
    assert focused(page).startswith("outcome")
    press(page, "Tab")

    assert page.run(
        "Boolean(document.activeElement.closest('.current .revealed, .current .decision'))"
    )


def test_the_key_is_heard_when_it_is_shown(page: Page, release: Release):
    item = next(i for i in items(release) if isinstance(i.response, ListEntry))
    turn_to(page, item.identifier)
    letter(page, "k")
    heard = text(page, "#heard")

    assert all(str(value) in heard for value in item.response.values)
    assert heard.endswith("Nothing of the evidence failed")
    assert page.run("document.getElementById('heard').ariaLive") == "polite"


def test_every_formula_has_a_name(page: Page, release: Release):
    turn_to(page, items(release)[0].identifier)
    page.run(SHOW)
    page.run("for (const e of document.querySelectorAll('.current .evidence')) e.open = true")

    assert page.run("document.querySelectorAll('.current math').length") > 5
    assert page.run("document.querySelectorAll('.current math:not([alttext])').length") == 0


# ------------------------------------------------------------ undo, clear, differs


def test_what_was_decided_is_undone_step_by_step(page: Page, release: Release):
    first, second = items(release)[:2]
    accept(page, first.identifier)
    accept(page, second.identifier)
    turn_to(page, "overview")
    letter(page, "u")
    page.wait(f"document.querySelector('.current').id === '{second.identifier}'")
    assert text(page, ".current .status") == "open"
    letter(page, "u")
    page.wait(f"document.querySelector('.current').id === '{first.identifier}'")

    assert text(page, "#progress").startswith("0 of")
    letter(page, "u")
    assert text(page, "#said") == "There is nothing to undo."


def test_a_comment_is_undone_as_a_whole(page: Page, release: Release):
    turn_to(page, items(release)[0].identifier)
    letter(page, "k")
    letter(page, "c")
    page.write("seven characters")
    page.run("document.querySelector('.current .undo').click()")

    assert text(page, ".current .status") == "open"
    assert page.run("document.querySelector('.current textarea').value") == ""


def test_a_decision_is_cleared_and_the_clearing_undone(page: Page, release: Release):
    accept(page, items(release)[0].identifier)
    page.run("document.querySelector('.current .clear').click()")
    assert text(page, ".current .status") == "open"
    page.run("document.querySelector('.current .undo').click()")

    assert text(page, ".current .status") == "accepted"


def test_an_answer_that_differed_asks_for_a_comment_before_acceptance(page: Page, release: Release):
    item = next(i for i in items(release) if i.response.form == "solvable or not")
    turn_to(page, item.identifier)
    letter(page, "1" if item.response.truth is False else "2")
    press(page, "Enter")
    assert text(page, ".current .outcome").startswith("Your answer differs")
    letter(page, "a")
    assert text(page, ".current .status").startswith("Your answer differed")
    assert text(page, "#progress").startswith("0 of")
    assert focused(page) == "TEXTAREA"
    page.write("I overlooked that 0 counts.")

    assert text(page, ".current .status") == "accepted"
    assert text(page, "#progress").startswith("1 of")


# ------------------------------------------------------------ the whole by touch


@pytest.fixture
def touched(browser: Chromium, release: Release, tmp_path: Path) -> Iterator[Page]:
    page = opened_anew(browser, tmp_path / "touched.html", packet_of_release(release))
    page.call(
        "Emulation.setDeviceMetricsOverride",
        width=390, height=844, deviceScaleFactor=2, mobile=True,
    )  # fmt: skip
    page.call("Emulation.setTouchEmulationEnabled", enabled=True)
    yield page
    page.call("Page.close")


def tap(page: Page, part: str) -> None:
    x, y = page.run(
        "(e => { e.scrollIntoView({block: 'nearest'}); const r = e.getBoundingClientRect();"
        f" return [r.x + r.width / 2, r.y + r.height / 2]; }})(document.querySelector('{part}'))"
    )
    page.call("Input.dispatchTouchEvent", type="touchStart", touchPoints=[{"x": x, "y": y}])
    page.call("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])


def test_items_are_reviewed_by_touch_on_a_phone(touched: Page, release: Release):
    page = touched
    enter_name(page, "R. Moss")
    page.run("document.getElementById('next').click()")
    page.wait("document.querySelector('.current').id !== 'overview'")
    for n in range(1, 4):
        here = page.run("document.querySelector('.current').id")
        tap(page, ".current .quiet")
        page.wait("document.querySelector('.current').classList.contains('open')")
        tap(page, ".current .all")
        page.wait(f"document.getElementById('progress').textContent.startsWith('{n} of')")
        tap(page, ".current .onward")
        page.wait(f"document.querySelector('.current').id !== '{here}'")
