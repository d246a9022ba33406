"""A shipped pool in English and in German, in one run and in every format.

The audit reads each package by its own knowledge of the language, and proves every key again; a
package that it does not agree with is not written.
"""

import re
from pathlib import Path

import pytest
from lxml import html
from shipped import whole_library

from exporters.formats import FORMATS, write_package
from itembank.audit import audit_package
from itembank.cli.arguments import pool_named
from itembank.pipeline import making
from itembank.pipeline.making import Made
from itembank.spec import Pool

NAME, TERM = "lifting-homework", "2027-spring"

ENGLISH_WORDS = re.compile(r"\b(the|of|and|or|is|are|with|for|each|which|all|none)\b", re.I)
"""Words that no German sentence has."""


@pytest.fixture(scope="module")
def pool() -> Pool:
    """The pool with as many variants of each family as a student gets."""
    whole = pool_named(NAME, ())
    entries = tuple(e.model_copy(update={"variants": e.choose}) for e in whole.entries)
    return whole.model_copy(update={"entries": entries})


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("packages")


@pytest.fixture(scope="module")
def made(pool, folder) -> tuple[Made, ...]:
    return making.make_editions(pool.editions(["en", "de"]), TERM, folder, tuple(FORMATS))


def test_every_format_is_written_and_agreed_in_both_languages(made, folder):
    english, german = made
    files = {
        f"{NAME}-{TERM}{edition}-{rest}"
        for edition in ("", "-de")
        for rest in (*(f"{format}.zip" for format in FORMATS), "load-card.html")
    }

    assert {path.name for path in folder.iterdir()} == files
    for one, other in zip(english.packages, german.packages, strict=True):
        assert one[1].clean and other[1].clean
        assert [i.identifier for i in other[1].items] == [
            f"{i.identifier}-de" for i in one[1].items
        ]


@pytest.mark.parametrize("format", ["qti21", "cc13"])
def test_german_packages_are_valid_by_the_published_schemas(format, made, folder, findings):
    assert findings(folder / f"{made[1].release.name}-{format}.zip") == []


def test_the_questions_are_the_same_and_the_words_are_not(made):
    english, german = ([i for g in one.release.groups for i in g.items] for one in made)

    for ours, theirs in zip(english, german, strict=True):
        assert ours.question == theirs.question
        assert not ENGLISH_WORDS.search(theirs.spoken)
        assert ENGLISH_WORDS.search(ours.spoken)


def test_each_load_card_says_for_whom_its_packages_are(made, folder):
    for one, told in zip(
        made, ("Language of these packages: English (en).", "Sprache dieser Pakete: Deutsch (de)."),
        strict=True,
    ):  # fmt: skip
        card = html.parse(folder / one.card.name)
        (said,) = card.xpath("//p[@class='language']")
        assert said.text.startswith(told)
        for package, _report in one.packages:
            assert package.file in card.xpath("string(//table)")


def test_a_german_package_alone_is_the_one_of_the_run_in_both(pool, made, folder, tmp_path):
    (german,) = making.make_editions(pool.editions(["de"]), TERM, tmp_path, ("qti21",))
    (package, _report) = german.packages[0]

    assert (tmp_path / package.file).read_bytes() == (folder / package.file).read_bytes()


@pytest.mark.parametrize("format", ["qti21", "cc13"])
def test_every_shipped_family_is_agreed_in_german_in_each_of_its_forms(format, tmp_path):
    path = tmp_path / "p.zip"
    write_package(format, whole_library("de"), path)
    report = audit_package(path)

    assert report.findings == ()
    assert report.items and report.clean
