"""Files of decisions loaded in a packet: merged, side by side, settled, refused with a reason."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from exporters.release import Release
from itembank.review import deciding, seen_lines
from itembank.review.decisions_file import packet_hash
from itembank.values.item import Item
from itembank.values.verdicts import FACETS
from tests.browser.chromium import Chromium, Page
from tests.browser.packets import (
    AXE,
    SCHEMA,
    accept,
    choose,
    enter_name,
    items,
    reload,
    saved,
    sized,
    stored,
    text,
    turn_to,
    violations,
    write,
)

pytestmark = pytest.mark.browser

Data = dict[str, Any]


def decision(item: Item, returned: str = "") -> Data:
    facets = {f: {"verdict": "accepted", "comment": ""} for f in FACETS}
    if returned:
        facets["wording"] = {"verdict": "returned", "comment": returned}
    return {
        "item": item.identifier,
        "fingerprint": item.fingerprint,
        "family": item.provenance.family,
        "index": item.provenance.index,
        "verdict": "returned" if returned else "accepted",
        "blind": "asked",
        "given": [],
        "agreed": None,
        "facets": facets,
        "hashes": dict(item.facets),
        "seen": list(seen_lines(item)),
    }


def file_of(release: Release, reviewer: str, *decisions: Data) -> Data:
    shown = [item.fingerprint for item in items(release)]
    return {
        "format": "itembank decisions 1",
        "pool": release.pool_id,
        "term": release.term,
        "packet": packet_hash(shown),
        "shown": shown,
        "reviewer": reviewer,
        "date": "2027-01-15",
        "settlements": [],
        "decisions": list(decisions),
    }


def load(page: Page, folder: Path, *files: object) -> None:
    turn_to(page, "overview")
    paths = []
    for n, file in enumerate(files):
        path = folder / f"loaded-{n}.json"
        path.write_text(file if isinstance(file, str) else json.dumps(file), encoding="utf-8")
        paths.append(str(path))
    page.call("DOM.enable")
    root = page.call("DOM.getDocument")["root"]["nodeId"]
    box = page.call("DOM.querySelector", nodeId=root, selector="#load")["nodeId"]
    page.run("document.getElementById('load').dataset.done = ''")
    page.call("DOM.setFileInputFiles", files=paths, nodeId=box)
    page.wait("document.getElementById('load').dataset.done")


# ------------------------------------------------------------ one's own


def test_ones_own_file_is_merged_and_where_it_says_another_thing_one_chooses(
    page: Page, release: Release, tmp_path: Path
):
    first, second, third = items(release)[:3]
    enter_name(page, "R. Moss")
    accept(page, first.identifier)
    accept(page, second.identifier)
    load(
        page,
        tmp_path,
        file_of(release, "r. moss", decision(first), decision(second, "unclear"), decision(third)),
    )
    assert text(page, "#said") == "Merged into your work: 1 of 3 decisions."
    assert text(page, "#progress").startswith("3 of")
    assert second.title in text(page, "#conflicts")
    assert first.title not in text(page, "#conflicts li")
    page.run(
        "[...document.querySelectorAll('#conflicts button')]"
        ".find(b => b.textContent === 'Take that of the file').click()"
    )
    assert text(page, "#conflicts") == ""
    turn_to(page, second.identifier)

    assert text(page, ".current .status") == "returned"
    assert (
        page.run("document.querySelector('.current [data-facet=wording] textarea').value")
        == "unclear"
    )


# ------------------------------------------------------------ others


def test_words_of_several_stand_side_by_side_and_a_third_person_settles_by_name(
    page: Page, browser: Chromium, release: Release, tmp_path: Path
):
    item = items(release)[0]
    moss = file_of(release, "R. Moss", decision(item))
    reed = file_of(release, "A. Reed", decision(item, "“Such as” is a hint."))
    enter_name(page, "C. Lund")
    load(page, tmp_path, moss, reed)
    assert text(page, "#progress").startswith("0 of")
    assert item.title in text(page, "#conflicts")
    assert "Wording" in text(page, "#conflicts")
    assert "hint" not in text(page, "#overview")
    reload(page)
    assert "R. Moss, 2027-01-15" in text(page, "#loaded")

    turn_to(page, item.identifier)
    page.run("document.querySelector('.current .quiet').click()")
    told = text(page, ".current .others")
    assert "R. Moss, 2027-01-15: Key and scoring: accepted" in told
    assert "A. Reed, 2027-01-15" in told
    assert "Wording: returned (“Such as” is a hint.)" in told
    page.run("document.querySelector('.current .settling [value=accepted]').click()")
    page.run("document.querySelector('.current .settling textarea').focus()")
    write(page, "It is the textbook's wording.")
    page.run(AXE.read_text(encoding="utf-8") + "; 0")
    assert violations(page) == []
    turn_to(page, "overview")
    assert text(page, "#conflicts") == ""
    assert violations(page) == []

    path = saved(page, browser, tmp_path)
    Draft202012Validator(json.loads(SCHEMA.read_text())).validate(json.loads(path.read_text()))
    (settlement,) = deciding.read_decisions(path).settlements
    assert (settlement.over, settlement.facet) == ("A. Reed", "wording")


@pytest.mark.parametrize("size", [(1280, 800), (390, 844)])
def test_the_decision_is_in_view_below_all_that_others_said(
    page: Page, release: Release, tmp_path: Path, size: tuple[int, int]
):
    item = items(release)[0]
    said = [decision(item), decision(item, "“Such as” is a hint. " * 12)]
    enter_name(page, "C. Lund")
    moss, reed = (file_of(release, n, w) for n, w in zip(("R. Moss", "A. Reed"), said, strict=True))
    load(page, tmp_path, moss, reed, {"format": "another"})
    sized(page, *size)
    turn_to(page, item.identifier)
    page.run("document.querySelector('.current .quiet').click()")
    page.run("document.querySelector('.current .unfold').click()")
    page.run("scrollTo(0, 0)")

    for part in (".status", ".all"):
        foot = f"document.querySelector('.current {part}').getBoundingClientRect().bottom"
        assert 0 < page.run(foot) <= size[1], part
    assert page.run("document.querySelector('.current .words').clientHeight") >= 80
    page.run(AXE.read_text(encoding="utf-8") + "; 0")
    assert violations(page) == []


def test_a_file_that_is_removed_leaves_nothing(page: Page, release: Release, tmp_path: Path):
    load(page, tmp_path, file_of(release, "A. Reed", decision(items(release)[0], "unclear")))
    page.run("document.querySelector('#loaded button').click()")
    reload(page)

    assert text(page, "#loaded") == ""


def test_a_reviewer_of_another_name_signs_nothing_that_was_loaded(
    page: Page, release: Release, tmp_path: Path
):
    enter_name(page, "C. Lund")
    load(page, tmp_path, file_of(release, "R. Moss", decision(items(release)[0])))

    assert text(page, "#progress").startswith("0 of")


# ------------------------------------------------------------ refused

Change = Callable[[Data], object]

FAULTS: dict[str, tuple[Change, str]] = {
    "blanks": (lambda f: f.update(reviewer="   "), "a name with letters"),
    "hidden": (lambda f: f.update(reviewer="R.\u200b Moss"), "a name with letters"),
    "day": (lambda f: f.update(date="9999-99-99"), "a day of the calendar"),
    "leap": (lambda f: f.update(date="2027-02-29"), "a day of the calendar"),
    "hash": (lambda f: f.update(packet="0" * 63), "a hash"),
    "mark": (lambda f: f["decisions"][0].update(fingerprint="x"), "a hash"),
    "twice": (lambda f: f["decisions"].append(f["decisions"][0]), "one word on each item"),
    "verdict": (lambda f: f["decisions"][0].update(verdict="returned"), "bear out"),
    "comment": (
        lambda f: f["decisions"][0]["facets"].update(
            key={"verdict": "returned", "comment": "\u2060"}
        ),
        "a comment that says why",
    ),
    "pool": (lambda f: f.update(pool="another"), "this pool and term, found another"),
    "format": (lambda f: f.update(format="decisions"), "a file of decisions"),
    "other": (
        lambda f: f["decisions"][0].update(fingerprint="0" * 64),
        "on items that were shown",
    ),
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_file_with_a_fault_is_refused_here_as_by_decide(
    page: Page, release: Release, tmp_path: Path, name: str
):
    change, why = FAULTS[name]
    file = file_of(release, "R. Moss", decision(items(release)[0]))
    change(file)
    load(page, tmp_path, file)

    told = text(page, "#notices")
    assert "loaded-0.json is not taken: expected " in told
    assert why in told
    assert text(page, "#loaded") == ""
    if name != "pool":
        with pytest.raises(deciding.DecisionError):
            deciding.read_decisions(tmp_path / "loaded-0.json")


@pytest.mark.parametrize("kept", ["{", "7", '["{}"]'])
def test_loaded_files_that_are_damaged_in_the_browser_are_told(
    page: Page, release: Release, kept: str
):
    stored(page, f"localStorage.setItem('itembank-' + packet + '-loaded', {json.dumps(kept)})")
    reload(page)

    assert "A file that was loaded before is damaged" in text(page, "#notices")
    turn_to(page, items(release)[0].identifier)
    page.run("document.querySelector('.current .quiet').click()")
    choose(page, "wording", "returned", "unclear")
    assert text(page, ".current .status") == "returned"
