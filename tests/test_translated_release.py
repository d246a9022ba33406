"""A shipped pool in every language, in one run and in every format.

The audit reads each package by its own knowledge of the language, and proves every key again; a
package that it does not agree with is not written.
"""

import re
from pathlib import Path

import pytest
from lxml import html

from exporters.formats import FORMATS
from itembank.cli.arguments import pool_named
from itembank.languages.catalogue import languages
from itembank.pipeline import making
from itembank.pipeline.making import Made
from itembank.spec import Pool
from itembank.values.item import Item

NAME, TERM = "lifting-homework", "2027-spring"

WORDS = {
    "en": re.compile(r"\b(the|of|and|or|is|are|with|for|each|which|all|none)\b", re.I),
    "de": re.compile(r"\b(der|die|und|oder|ist|sind|mit|für|jede|welche|alle|keine)\b", re.I),
    "es": re.compile(r"\b(el|los|las|de|del|con|para|cada|qué|todas|ninguna)\b", re.I),
}
"""Words that each of its sentences is likely to have, and none of another language."""


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
    return making.make_editions(pool.editions(languages()), TERM, folder, tuple(FORMATS))


def test_every_format_is_written_and_agreed_in_every_language(made, folder):
    english, *others = made
    files = {
        f"{NAME}-{TERM}{edition}-{rest}"
        for edition in ("", *(f"-{language}" for language in languages()[1:]))
        for rest in (*(f"{format}.zip" for format in FORMATS), "load-card.html")
    }

    assert {path.name for path in folder.iterdir()} == files
    for edition in others:
        language = edition.release.language
        for one, other in zip(english.packages, edition.packages, strict=True):
            assert one[1].clean and other[1].clean
            assert [i.identifier for i in other[1].items] == [
                f"{i.identifier}-{language}" for i in one[1].items
            ]


@pytest.mark.parametrize("format", ["qti21", "cc13"])
def test_packages_of_every_language_are_valid_by_the_published_schemas(
    format, made, folder, findings
):
    for edition in made[1:]:
        assert findings(folder / f"{edition.release.name}-{format}.zip") == []


def test_the_questions_are_the_same_and_the_words_are_not(made):
    english, *others = made
    for edition in others:
        for ours, theirs in zip(items(english), items(edition), strict=True):
            assert ours.question == theirs.question
    for edition in made:
        for item in items(edition):
            spoken_in = {tag for tag, words in WORDS.items() if words.search(item.spoken)}
            assert spoken_in == {edition.release.language}, item.spoken


def items(edition: Made) -> list[Item]:
    return [item for group in edition.release.groups for item in group.items]


def test_each_load_card_says_for_whom_its_packages_are(made, folder):
    for one, told in zip(
        made,
        (
            "Language of these packages: English (en).",
            "Sprache dieser Pakete: Deutsch (de).",
            "Idioma de estos paquetes: español (es).",
        ),
        strict=True,
    ):
        card = html.parse(folder / one.card.name)
        (said,) = card.xpath("//p[@class='language']")
        assert said.text.startswith(told)
        for package, _report in one.packages:
            assert package.file in card.xpath("string(//table)")


def test_a_package_of_one_language_alone_is_the_one_of_the_run_in_all(pool, made, folder, tmp_path):
    (german,) = making.make_editions(pool.editions(["de"]), TERM, tmp_path, ("qti21",))
    (package, _report) = german.packages[0]

    assert (tmp_path / package.file).read_bytes() == (folder / package.file).read_bytes()
