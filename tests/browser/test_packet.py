"""The packet in a browser: answer, reveal, accept, return, close, come back, save, decide."""

import base64
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from exporters.keys import key
from exporters.release import Release
from itembank.notation.prose import display
from itembank.review import deciding, packet_of_release
from tests.browser.chromium import Chromium, Page
from tests.browser.packets import (
    AXE,
    SCHEMA,
    accept,
    answer,
    items,
    opened_anew,
    press,
    reload,
    saved,
    sized,
    tab_to,
    text,
    turn_to,
    violations,
    visible,
    write,
)
from tests.pipeline.test_sets_of_ranges import ROOTS
from tests.wishes import family_of, released

pytestmark = pytest.mark.browser

BELOW_ZERO = ROOTS.replace("where: [", 'where: ["min(answer) < 0", ')

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


def test_negative_numbers_of_a_list_are_typed_with_either_sign(browser: Chromium, tmp_path: Path):
    release = released(tmp_path, family_of(tmp_path, BELOW_ZERO), variants=1)
    (item,) = items(release)
    for sign in ("-", "\N{MINUS SIGN}"):
        opened = opened_anew(browser, tmp_path / "p.html", packet_of_release(release))
        turn_to(opened, item.identifier)
        opened.run("document.querySelector('.current .question input').focus()")
        write(opened, ", ".join(map(str, key(item.response))).replace("-", sign))
        press(opened, "Enter")

        assert text(opened, ".current .outcome") == "Your answer agrees with the key."


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
        page.run("for (const e of document.querySelectorAll('.current .evidence')) e.open = true")
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


# ------------------------------------------------------------ two themes, paper


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_no_view_breaks_a_rule_of_accessibility_in_either_theme(
    page: Page, release: Release, theme: str
):
    """With every part of the evidence unfolded, and with the keys shown."""
    feature = {"name": "prefers-color-scheme", "value": theme}
    page.call("Emulation.setEmulatedMedia", features=[feature])
    page.run(AXE.read_text(encoding="utf-8") + "; 0")
    for group in release.groups:
        item = next(iter(group.items))
        turn_to(page, item.identifier)
        page.run("document.querySelector('.current .quiet').click()")
        page.run("for (const e of document.querySelectorAll('.current .evidence')) e.open = true")
        page.run("new Promise(done => setTimeout(done, 50))")
        assert violations(page) == [], item.title
    page.run("document.getElementById('keys').click()")
    assert violations(page) == []


def test_the_two_themes_differ(page: Page):
    shade = "getComputedStyle(document.documentElement).backgroundColor"
    assert page.run(shade) == "rgb(255, 255, 255)"
    feature = {"name": "prefers-color-scheme", "value": "dark"}
    page.call("Emulation.setEmulatedMedia", features=[feature])

    assert page.run(shade) != "rgb(255, 255, 255)"


def test_digits_are_alike_in_prose_and_in_formulas(page: Page, release: Release):
    turn_to(page, items(release)[0].identifier)
    families = "['.question p', '.question mn'].map(p => document.querySelector('.current ' + p))"
    prose, formula = page.run(f"{families}.map(e => getComputedStyle(e).fontFamily)")
    assert prose == formula
    letters = page.run("getComputedStyle(document.querySelector('.current mi')).fontFamily")

    assert letters.split(",")[0].strip('"').endswith("Math")


@pytest.mark.parametrize("evidence", [False, True])
def test_on_paper_an_item_is_not_torn_and_evidence_is_printed_by_choice(
    page: Page, release: Release, evidence: bool
):
    count = len(items(release))
    page.run(f"document.getElementById('print-evidence').checked = {str(evidence).lower()}")
    size = {"paperWidth": 8.27, "paperHeight": 11.69}
    before = page.run("document.querySelectorAll('article').length")
    pdf = base64.b64decode(page.call("Page.printToPDF", **size)["data"])
    pages = len(re.findall(rb"/Type\s*/Page\b", pdf))

    first = 6  # of the first page of the packet
    if evidence:
        assert pages > count
    else:
        assert count / 2 <= pages <= first + count * 60 / 70
    assert page.run("document.querySelectorAll('article').length") == before


def test_a_sign_of_congruence_is_no_sign_of_equality_in_prose_either(page: Page, release: Release):
    """In prose it is drawn as in formulas, wherever one of their fonts is installed."""
    item = next(i for i in items(release) if i.response.form == "order")
    turn_to(page, item.identifier)
    page.run("document.fonts.load('16px Congruent', '≡')")
    drawn = "[...document.fonts].find(f => f.family === 'Congruent')"

    assert page.run(f"{drawn}.unicodeRange") == "U+2261-2262"
    assert page.run("getComputedStyle(document.body).fontFamily").startswith("Congruent")


def test_a_prime_is_as_large_as_its_letter(page: Page, release: Release):
    item = next(i for i in items(release) if i.provenance.family == "singular-root")
    turn_to(page, item.identifier)
    page.run("document.querySelector('.current .quiet').click()")
    page.run("for (const e of document.querySelectorAll('.current .evidence')) e.open = true")
    letter, prime = page.run(
        "[...[...document.querySelectorAll('.current msup')]"
        ".find(e => e.textContent.endsWith('′')).children]"
        ".map(e => parseFloat(getComputedStyle(e).fontSize))"
    )

    assert prime >= letter


@pytest.mark.parametrize("width", [390, 768, 992, 1024, 1216, 1280])
def test_no_view_scrolls_sideways_in_the_language_with_the_longest_words(
    browser: Chromium, release: Release, tmp_path: Path, width: int
):
    packet = packet_of_release(release, language="de")
    page = opened_anew(browser, tmp_path / "review-de.html", packet)
    sized(page, width)
    for name in ("overview", items(release)[0].identifier):
        turn_to(page, name)
        page.run("(document.querySelector('.current .quiet') || document.body).click()")
        assert page.run("document.documentElement.scrollWidth") <= width, name
    page.call("Page.close")
