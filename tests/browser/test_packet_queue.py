"""The queue of a packet: order, filters, search, a random sample, families judged once."""

from pathlib import Path

import pytest

from exporters.release import Release
from itembank.cli.arguments import pool_named
from itembank.pipeline import making
from itembank.review import packet_of_release
from tests.browser.chromium import Chromium, Page
from tests.browser.packets import (
    AXE,
    accept,
    accepted_by,
    choose,
    items,
    opened_anew,
    sized,
    text,
    turn_to,
    violations,
    visible,
)

pytestmark = pytest.mark.browser


def set_queue(page: Page, name: str, value: str) -> None:
    page.run(
        f"(() => {{ const box = document.getElementById('queue-{name}'); box.value = '{value}';"
        " box.dispatchEvent(new Event('input', {bubbles: true})) })()"
    )


def listed(page: Page) -> list[str]:
    """The names of the items in the queue, as its table shows them."""
    found = page.run(
        "[...document.querySelectorAll('.items tbody tr:not([hidden]) [data-status]')]"
        ".map(cell => cell.dataset.status)"
    )
    assert isinstance(found, list)
    return found


def here(page: Page) -> str:
    return str(page.run("document.querySelector('.current').id"))


def step(page: Page, button: str) -> str:
    was = here(page)
    page.run(f"document.getElementById('{button}').click()")
    page.wait(f"document.querySelector('.current').id !== '{was}'")
    return here(page)


def test_the_riskiest_come_first_and_next_follows_the_queue(page: Page, release: Release):
    order = listed(page)
    assert sorted(order) == sorted(item.identifier for item in items(release))
    risks = page.run(
        "(() => { const all = JSON.parse(document.getElementById('items').textContent);"
        " return all.riskiest.map(i => all.items[i].item) })()"
    )
    assert order == risks
    assert [step(page, "next") for _ in order[:3]] == order[:3]
    assert step(page, "previous") == order[1]

    turn_to(page, "overview")
    set_queue(page, "order", "packet")
    assert listed(page) == [item.identifier for item in items(release)]


def test_the_queue_holds_what_is_asked_for(page: Page, release: Release):
    all_items = items(release)
    set_queue(page, "family", "singular-root")
    family = {i.identifier for i in all_items if i.provenance.family == "singular-root"}
    assert set(listed(page)) == family
    assert text(page, "#queue-length").startswith(f"{len(family)} of {len(all_items)} ")
    assert {step(page, "next"), step(page, "next")} == family
    assert page.run("document.getElementById('next').disabled")

    turn_to(page, "overview")
    set_queue(page, "family", "")
    set_queue(page, "form", "select all")
    assert set(listed(page)) == {i.identifier for i in all_items if i.response.form == "select all"}
    set_queue(page, "form", "")
    accept(page, all_items[0].identifier)
    turn_to(page, all_items[1].identifier)
    page.run("document.querySelector('.current .quiet').click()")
    choose(page, "wording", "returned", "unclear")
    turn_to(page, "overview")
    set_queue(page, "state", "undecided")
    assert set(listed(page)) == {i.identifier for i in all_items[2:]}
    set_queue(page, "state", "returned")
    assert listed(page) == [all_items[1].identifier]


def test_an_answer_that_differs_is_found_again(page: Page, release: Release):
    item = next(i for i in items(release) if i.response.form == "solvable or not")
    turn_to(page, item.identifier)
    page.write("1" if item.response.truth is False else "2")
    page.run("document.querySelector('.current .question [type=submit]').click()")
    turn_to(page, "overview")
    set_queue(page, "state", "differs")

    assert listed(page) == [item.identifier]


def test_what_changed_since_last_time_is_found(
    browser: Chromium, release: Release, tmp_path_factory: pytest.TempPathFactory
):
    from tests.browser.packets import with_a_comma

    words = [accepted_by("R. Moss", item) for item in items(release)[:2]]
    path = tmp_path_factory.mktemp("changed") / "review.html"
    page = opened_anew(browser, path, packet_of_release(with_a_comma(release), words))
    set_queue(page, "state", "changed")

    assert listed(page) == [items(release)[0].identifier]
    page.call("Page.close")


def test_a_search_finds_numbers_and_words_of_the_question(page: Page, release: Release):
    item = items(release)[0]
    set_queue(page, "text", item.identifier)
    assert listed(page) == [item.identifier]
    set_queue(page, "text", "no such words anywhere")
    assert listed(page) == []
    set_queue(page, "text", item.spoken[:40])
    assert item.identifier in listed(page)


# ------------------------------------------------------------ a sample


def test_a_sample_drawn_at_random_is_told_as_decisions_come(page: Page, release: Release):
    """0 faults in 2: 1 - 0.05^(1/2) = 77.64 %; in 59: 5.0 %; 1 fault in 2: 1 - p^2 = 0.05."""
    assert text(page, "#sample-plan").startswith("In the order at random, 59 accepted items")
    set_queue(page, "order", "random")
    order = listed(page)
    marks = {item.identifier: item.fingerprint for item in items(release)}
    assert order == sorted(order, key=lambda name: marks[name])
    for name in order[:2]:
        accept(page, name)
    accept(page, order[3])  # not the next of the sample
    turn_to(page, "overview")
    told = text(page, "#sample-plan")
    assert "the first 2 are decided, 0 of them returned: at most 77.7 %" in told
    assert "accept 57 more" in told

    turn_to(page, order[0])
    choose(page, "key", "returned", "7 is missing")
    turn_to(page, "overview")
    p = 0.95**0.5  # one or none of two faulty: 1 - p^2 = 0.05
    assert f"1 of them returned: at most {p * 100 + 0.05:.1f} %" in text(page, "#sample-plan")


PARTS = """
id: parts-at-random
title: Homework 7 - in parts
course: NT 210 Elementary Number Theory, Alder Ford College
seed: alder-ford-parts
items:
  - {family: linear-in-parts, variants: 4}
  - {family: linear-one-solution, variants: 2}
"""


def test_parts_stay_together_at_random_and_a_sample_counts_their_question_once(
    browser: Chromium, tmp_path_factory: pytest.TempPathFactory
):
    folder = tmp_path_factory.mktemp("parts")
    (folder / "parts-at-random.yaml").write_text(PARTS, encoding="utf-8")
    release = making.released(pool_named(str(folder / "parts-at-random.yaml"), ()), "2027-spring")
    page = opened_anew(browser, folder / "packet.html", packet_of_release(release))

    set_queue(page, "order", "random")
    places = {i.identifier: i.provenance for i in items(release)}
    order = [places[name] for name in listed(page)]

    size = len({p.family for p in order if p.family.startswith("linear-in-parts.")})
    for n, place in enumerate(order):
        if place.family.endswith(".a"):
            of = order[n : n + size]
            assert [(p.family[-1], p.index) for p in of] == [
                ("abcdefghi"[i], place.index) for i in range(size)
            ]
    assert [p.index for p in order if p.family.endswith(".a")] != [0, 1, 2, 3]

    first = next(n for n, place in enumerate(order) if place.family.endswith(".a"))
    names = listed(page)
    for name in names[: first + size - 1]:
        accept(page, name)
    turn_to(page, "overview")
    assert f"the first {first} are decided" in text(page, "#sample-plan") or not first
    accept(page, names[first + size - 1])
    turn_to(page, "overview")
    assert f"the first {first + 1} are decided" in text(page, "#sample-plan")
    page.call("Page.close")


# ------------------------------------------------------------ families

FAMILY = """
id: one-family
title: Homework 6 - linear congruences
course: NT 210 Elementary Number Theory, Alder Ford College
seed: alder-ford-family
items:
  - {family: linear-solvable-or-not, variants: 6}
  - {family: order-modulo-prime, variants: 1}
"""


def test_what_was_said_of_one_variant_is_said_of_those_that_differ_in_numbers_alone(
    browser: Chromium, tmp_path_factory: pytest.TempPathFactory
):
    folder = tmp_path_factory.mktemp("family")
    (folder / "one-family.yaml").write_text(FAMILY, encoding="utf-8")
    release = making.released(pool_named(str(folder / "one-family.yaml"), ()), "2027-spring")
    page = opened_anew(browser, folder / "review.html", packet_of_release(release))
    first, *rest = [i for i in items(release) if i.provenance.family == "linear-solvable-or-not"]
    turn_to(page, first.identifier)
    page.run("document.querySelector('.current .quiet').click()")
    assert page.run("document.querySelector('.current .family')") is None
    choose(page, "wording", "accepted")
    button = "document.querySelector('.current [data-facet=wording] .family button')"
    assert page.run(f"{button}.textContent").startswith(f"Say the same of {len(rest)} more")
    page.run(f"{button}.click()")

    turn_to(page, rest[0].identifier)
    page.run("document.querySelector('.current .quiet').click()")
    assert page.run(
        "[...document.querySelectorAll('.current [data-facet] input:checked')]"
        ".map(e => e.closest('fieldset').dataset.facet)"
    ) == ["wording"]
    told = text(page, ".current [data-facet=wording] .family")
    assert first.title in told
    assert "question: " in told
    page.run("document.querySelector('.current .undo').click()")
    assert text(page, ".current .status") == "open"
    page.call("Page.close")


# ------------------------------------------------------------ several languages

TONGUES = """
id: tongues
title: Homework 6 - steps
course: NT 210 Elementary Number Theory, Alder Ford College
languages: [en, de]
seed: alder-ford-tongues
items:
  - {family: steps-in-order, variants: 1}
"""


def test_another_language_is_read_before_the_key_and_below_it(browser: Chromium, tmp_path: Path):
    (tmp_path / "tongues.yaml").write_text(TONGUES, encoding="utf-8")
    pool = pool_named(str(tmp_path / "tongues.yaml"), ())
    release, *others = making.editions(pool.editions(), "2027-spring")
    packet = packet_of_release(release, others=others)
    page = opened_anew(browser, tmp_path / "review.html", packet)
    page.run(AXE.read_text(encoding="utf-8") + "; 0")
    turn_to(page, items(release)[0].identifier)
    page.run("document.querySelector('.current .also').open = true")
    assert visible(page, ".also select")
    assert page.run("document.querySelector('.current .also select').matches(':disabled')")
    label = "getComputedStyle(document.querySelector('.current .also label')).display"
    assert page.run(label) == "block", "a power within it is no part of a row"
    assert violations(page) == []

    page.run("document.querySelector('.current .quiet').click()")
    page.run("for (const e of document.querySelectorAll('.current .evidence')) e.open = true")
    assert not visible(page, ".also")
    assert visible(page, ".revealed [lang=de] select")
    assert violations(page) == []
    sized(page, 320)
    assert page.run("document.documentElement.scrollWidth") <= 320
    page.call("Page.close")


# ------------------------------------------------------------ a large pool


def test_one_item_is_in_the_page_at_a_time(page: Page, release: Release):
    for item in items(release):
        turn_to(page, item.identifier)
        assert page.run("[...document.querySelectorAll('article')].map(e => e.id)") == [
            item.identifier
        ]
