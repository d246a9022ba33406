"""A release in another language: every word of its packages and pages comes from the catalogue."""

from dataclasses import replace

import pytest
from lxml import etree, html

from exporters.formats import FORMATS, write_package
from exporters.loadcard import load_card
from exporters.notices import Affected, Withdrawn, change_list, rescoring_note
from exporters.release import statement
from tests.catalogues import put
from tests.exporters import samples

MARK = "¶"
"""Stands before every text of a catalogue that has no translation of its own."""

XML = "{http://www.w3.org/XML/1998/namespace}"


def in_language(item, language="eo"):
    plain = in_language(item.plain, language) if item.plain else None
    return replace(item, language=language, plain=plain)


def release_of(*items):
    return replace(samples.release(*(samples.group(item) for item in items)), language="eo")


@pytest.fixture
def release():
    return release_of(*map(in_language, (*samples.ITEMS.values(), samples.SET)))


def texts(page: bytes, *tags: str) -> list[str]:
    return [e.text_content() for e in html.document_fromstring(page.decode()).iter(*tags)]


def test_the_load_card_says_nothing_that_is_not_in_the_catalogue(release, room, tmp_path):
    put(
        "eo",
        {
            "Attempts: one.": "Provoj: unu.",
            "Check that the quiz counts {points} points in all.": "{points} poentoj entute?",
            "multiple response": "pluraj respondoj",
        },
        MARK,
    )
    formats = [format for format in FORMATS if format != "html"]
    written = [write_package(f, release, tmp_path / f"{f}.zip") for f in formats]
    page = load_card(release, written)

    said = [*texts(page, "h1", "h2", "p", "li"), *texts(page, "th")]
    own = {"Provoj: unu.", f"{release.points} poentoj entute?", "SHA-256"}
    assert [text for text in said if text[:1] != MARK and text not in own] == []
    assert own <= {*said}
    package = html.document_fromstring(page.decode()).findall(".//tbody/tr")[1]
    assert [cell.text_content() for cell in package][:3] == [
        f"cc11.zip ({MARK}Common Cartridge 1.1, {MARK}question bank, {MARK}mathematics as html)",
        "13",
        f"pluraj respondoj: 2; {MARK}multiple choice: 1; {MARK}fill in the blank: 9; "
        f"{MARK}true/false: 1",
    ]
    assert html.document_fromstring(page.decode()).get("lang") == "eo"


def test_the_list_of_changes_and_the_note_for_rescoring_come_in_the_language(room):
    put(
        "eo",
        {
            "Changes: {title}": "{title}: ŝanĝoj",
            "Since the release {since}: {new} new, {retire} to retire, {kept} as they were.": (
                "{new} novaj, {retire} forigendaj, {kept} kiel en {since}."
            ),
            "{n} question withdrawn: {reason}": (
                "{reason}, tial {n} demando for.",
                "{reason}, tial {n} demandoj for.",
            ),
            "{choose} of {of}": "el {of} nur {choose}",
        },
        MARK,
    )
    changes = change_list(
        title="Kvizo", course="NT 210", term="2027-spring", language="eo", since="kvizo-1",
        new=[("item-a", "A")], retire=[], kept=3,
    )  # fmt: skip
    affected = Affected(
        release="r", course="NT 210", term="2027-spring", group="G", choose=1, of=8, files=("f",)
    )
    question = Withdrawn(
        identifier="item-a", title="A", statement="s", ask="a", released_key="1", right_key="2",
        why_none="", forms=(), affected=(affected,),
    )  # fmt: skip
    note = rescoring_note("eo", "misa", [question])

    assert texts(changes, "h1", "p") == [
        "Kvizo: ŝanĝoj", "¶NT 210, 2027-spring", "1 novaj, 0 forigendaj, 3 kiel en kvizo-1.",
        "¶None.",
    ]  # fmt: skip
    assert texts(note, "h1", "p")[:2] == ["¶Rescoring note", "misa, tial 1 demando for."]
    assert texts(note, "td") == ["¶NT 210, 2027-spring", "r", "G", "el 8 nur 1", "f"]
    assert [text for text in texts(note, "p")[1:] if text[:1] != MARK] == ["s; a"]


def test_true_and_false_have_their_words_in_a_cartridge(room, tmp_path, members):
    put(
        "eo",
        {
            "True": "Vera",
            "False": "Malvera",
            "True: {yes}. False: {no}.": "Malvera: {no}. Vera: {yes}.",
            "If you answered {answer}:": "Post la respondo {answer}:",
        },
    )
    path = tmp_path / "p.zip"
    release = release_of(in_language(samples.TRUE_FALSE))
    write_package("cc13", release, path)
    bank = members(path)[f"bank-{release.name}.xml"].decode()

    assert ">Vera</mattext>" in bank and ">Malvera</mattext>" in bank
    assert "Malvera: no residue modulo 21 solves it. Vera: it has a solution." in bank
    assert "Post la respondo Vera:" in bank
    assert "True" not in bank and "False" not in bank


@pytest.mark.parametrize("format", FORMATS)
def test_every_part_of_a_package_says_its_language(format, release, room, tmp_path, members):
    put("eo", mark=MARK)
    path = tmp_path / "p.zip"
    write_package(format, release, path)
    asked = {statement(item) for group in release.groups for item in group.items}

    found = []
    for name, data in members(path).items():
        root = etree.fromstring(data) if name.endswith(".xml") else html.fromstring(data.decode())
        for element in root.iter(etree.Element):
            found += [element.get(a) for a in (f"{XML}lang", "lang", "language") if element.get(a)]
            if element.get("language") == "en":
                assert element.text in {"course outcomes", *asked}
        assert not name.startswith("item-") or root.get(f"{XML}lang") == "eo"
    assert "eo" in found
    assert {*found} <= {"eo", "en"}


@pytest.mark.parametrize("format", ["qti21", "qti30"])
def test_a_formula_is_read_aloud_and_a_field_is_named_in_the_language_of_the_item(
    format, room, tmp_path, members
):
    put(
        "eo",
        {
            "{left} is congruent to {right}": "{left} kongruas al {right}",
            "{left}, which is congruent to {right}": "{left}, kio kongruas al {right}",
            "Answer (one integer):": "Respondo (unu entjero):",
            "Worked solution": "Solvo",
        },
        MARK,
    )
    path = tmp_path / "p.zip"
    item = in_language(samples.INTEGER)
    write_package(format, release_of(item), path, math="mathml")
    document = members(path)[f"{item.identifier}.xml"].decode()

    assert "kongruas al" in document and "congruent" not in document
    assert "Respondo (unu entjero): <" in document and 'title="Solvo"' in document


def test_an_item_in_another_language_than_its_page_says_so(room, tmp_path, members):
    put("eo", {"{choice} goes with (a letter): {line}": "Al {line} apartenas {choice}."}, MARK)
    path = tmp_path / "p.zip"
    write_package("html", release_of(samples.INTEGER, in_language(samples.MATCH)), path)
    name = next(name for name in members(path) if name.startswith("questions-"))
    page = html.document_fromstring(members(path)[name].decode())

    assert page.get("lang") == "eo"
    assert [div.get("lang") for div in page.find("body").findall("div")] == ["en"]
    assert [e.text_content().split()[0] for e in page.iter("h3")] == ["Question", "¶Question"]
    source = page.find_class("source")[0]
    assert source.text_content().startswith("Al \N{NO-BREAK SPACE} apartenas ")
