"""The load card tells all that must be set by hand, on one page, and needs no network."""

import re
import shutil
import subprocess
from dataclasses import replace

import pytest
from lxml import html

from exporters.formats import write_package
from exporters.loadcard import load_card
from itembank.values.errors import ExportError
from tests.exporters import samples

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


@pytest.fixture
def written(tmp_path):
    return [
        write_package(format, samples.RELEASE, tmp_path / f"nt210-quiz-3-{format}.zip")
        for format in ("qti21", "cc13")
    ]


@pytest.fixture
def card(written):
    return html.document_fromstring(load_card(samples.RELEASE, written).decode())


def rows(card, n):
    """The rows of the n-th table, as lists of texts."""
    table = card.findall(".//table")[n]
    return [[cell.text_content() for cell in row] for row in table.iter("tr")]


def test_packages_are_named_with_their_hashes_and_counts(card, written):
    head, *packages = rows(card, 0)

    assert head == ["Package", "Items", "By type", "SHA-256"]
    assert packages == [
        [
            "nt210-quiz-3-cc13.zip (Common Cartridge 1.3, question bank, mathematics as html)",
            "12",
            "multiple response: 2; multiple choice: 1; fill in the blank: 8; true/false: 1",
            written[1].sha256,
        ],
        [
            "nt210-quiz-3-qti21.zip (QTI 2.1 package, quiz, mathematics as mathml)",
            "12",
            "choice of several: 2; choice of one: 2; text entry: 8",
            written[0].sha256,
        ],
    ]


def test_each_group_says_what_to_draw_and_what_it_counts(card):
    _head, *groups, total = rows(card, 1)

    assert groups[0] == ["Quadratic congruence: quadratic", "2", "1", "1", "1"]
    assert groups[1] == ["Quadratic congruence as sets: quadratic-sets", "1", "1", "2", "2"]
    assert groups[6] == [
        "Linear congruence with several solutions: linear-several",
        "3",
        "2",
        "1",
        "2",
    ]
    assert len(groups) == len(samples.GROUPS)
    assert total == ["Sum", "12", "10", "", "11"]


def test_the_caution_and_the_settings_are_told(card):
    told = card.text_content()

    for words in (
        "A person must review these questions and sign for them before students see them.",
        "The assessment rules of the institution come first.",
        "Check that the quiz counts 11 points in all.",
        "Attempts: one.",
        "Order of options: not shuffled.",
        "hidden until the quiz has closed for everyone",
        "Multiple response: check that every right option is marked",
    ):
        assert words in told


def test_the_receipt_has_a_place_for_each_thing_to_record(card):
    fields = [cell for row in rows(card, 2) for cell in row]

    assert len(fields) == 8
    assert {"Date", "Deviations", "Loaded by"} <= set(fields)


def test_the_page_needs_nothing_else(written):
    page = load_card(samples.RELEASE, written).decode()

    assert not re.search(r"https?:|<script|<link|<img|src=|@import|url\(", page)


def test_a_card_without_multiple_response_does_not_speak_of_it(tmp_path):
    release = samples.release(samples.group(samples.LIST))
    written = write_package("cc13", release, tmp_path / "p.zip")

    assert "Multiple response" not in load_card(release, [written]).decode()


def test_packages_of_different_releases_are_refused(tmp_path, written):
    other = samples.release(samples.group(samples.LIST))
    stray = write_package("cc13", other, tmp_path / "other.zip")

    with pytest.raises(ExportError) as refused:
        load_card(samples.RELEASE, [written[0], stray])
    assert str(refused.value) == (
        "load card: expected packages of one release, got other.zip with [1] items by"
        " group and nt210-quiz-3-qti21.zip with [2, 1, 1, 1, 1, 1, 3, 1, 1]"
    )


@pytest.mark.browser
@pytest.mark.skipif(CHROMIUM is None, reason="Chromium is not installed")
def test_sixteen_groups_fit_on_one_printed_page(tmp_path, written):
    more = [
        samples.group(
            replace(samples.LIST, provenance=replace(samples.LIST.provenance, index=100 + n)),
            title=f"Family {n} of many",
        )
        for n in range(16 - len(samples.GROUPS))
    ]
    release = replace(
        samples.release(*samples.GROUPS, *more),
        form="B", forms=("A", "B", "C"), replaces="quiz-2027-spring-B",
        replaced_by="quiz-2027-spring-B-3", withdrawn=("item-0123456789abcdef",),
    )  # fmt: skip
    packages = [
        write_package(format, release, tmp_path / f"nt210-quiz-3-2027-spring-B-{format}.zip")
        for format in ("cc13", "qti21", "qti30")
    ]
    page, pdf = tmp_path / "card.html", tmp_path / "card.pdf"
    page.write_bytes(load_card(release, packages))

    subprocess.run(
        [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
         f"--print-to-pdf={pdf}", page.as_uri()],
        check=True, capture_output=True, timeout=60,
    )  # fmt: skip
    assert re.findall(rb"/Type /Pages\b[^>]*?/Count (\d+)", pdf.read_bytes()) == [b"1"]


def test_what_was_chosen_for_a_package_is_told(tmp_path):
    release = samples.release(samples.group(samples.LIST))
    package = write_package("qti30", release, tmp_path / "p.zip", "tex", "bank", "plain")
    told = html.document_fromstring(load_card(release, [package]).decode())

    assert rows(told, 0)[1][0] == (
        "p.zip (QTI 3.0 package, question bank, mathematics as tex, plain profile)"
    )


def test_a_group_that_counts_nothing_is_opened_first_and_left_out(written):
    first, *others = written[0].counts
    group = replace(first.group, title="Check of the platform", points=0)
    counted = [replace(written[0], counts=(replace(first, group=group), *others))]
    told = html.document_fromstring(load_card(samples.RELEASE, counted).decode()).text_content()

    assert "Open “Check of the platform” first" in told
    assert "written with --canary" not in told
    without = load_card(samples.RELEASE, written).decode()
    assert "Load a package written with --canary first." in without
    assert "Open “" not in without


@pytest.mark.parametrize(("form", "told"), [("order", True), ("match", True), ("guided", False)])
def test_what_is_moved_is_to_be_tried_by_keyboard(tmp_path, form, told):
    release = samples.release(samples.group(samples.BEYOND[form]))
    card = load_card(release, [write_package("qti30", release, tmp_path / "p.zip")]).decode()
    plain = write_package("qti30", release, tmp_path / "plain.zip", profile="plain")

    assert ("with the keyboard alone" in card) is told
    assert "with the keyboard alone" not in load_card(release, [plain]).decode()
