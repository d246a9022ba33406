"""The packet in the reviewer's language, which need not be that of the students."""

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from exporters.release import Group, Release
from itembank.cli import main
from itembank.review import packet_of_package, packet_of_release, vocabulary
from itembank.review.script_words import SCRIPT_WORDS
from itembank.values.verdicts import FACETS, OnFacet, Spoken, Verdict
from itembank.values.vocabulary import FORMS, LEVELS
from tests.catalogues import put
from tests.exporters import samples
from tests.review.unpacked import tree as tree_of

MARK = "ŭ "

SCRIPTS = sorted(Path(vocabulary.__file__).parent.glob("*.js"))

ITEMS = (*samples.ITEMS.values(), *samples.BEYOND.values())


def word(item, verdict: Verdict, facets) -> Spoken:
    said = tuple(OnFacet(facet, verdict, "unclear", item.facets[facet]) for facet in facets)
    return Spoken(
        item=item.fingerprint, person="R. Moss", date="2027-01-15", facets=said,
        name=item.identifier,
    )  # fmt: skip


def release_of(*items) -> Release:
    group = Group(family="f", title="F", items=items, choose=1, points=1)
    return Release(
        pool_id="p", title="A pool", course="NT 210", term="2027-spring",
        language=items[0].language, groups=(group,),
    )  # fmt: skip


def on_record() -> list[Spoken]:
    a, b, c, d, *_ = ITEMS
    before: dict[str, Any] = {"item": "0" * 64, "date": "", "seen": ("title: Another title",)}
    return [
        word(a, "accepted", FACETS),
        word(b, "returned", FACETS[:1]),
        word(c, "accepted", FACETS[:2]),
        replace(word(d, "accepted", FACETS[:2]), **before),
    ]


@pytest.fixture
def esperanto(room) -> str:
    """A language in which every sentence is marked."""
    put("eo", mark=MARK)
    return "eo"


def texts(element, language: str = "") -> Iterator[tuple[str, str]]:
    """What is read of each element itself, with the language that it is marked with."""
    language = element.get("lang") or language
    yield language, element.get("aria-label") or ""
    if element.tag not in ("script", "style", "math", "svg"):
        yield language, "".join([element.text or "", *(child.tail or "" for child in element)])
        for child in element:
            yield from texts(child, language)


def unsaid(page: bytes, language: str) -> set[str]:
    """Texts in the language of the page, with words, which no message of it has said."""
    return {
        text.strip()
        for tag, text in texts(tree_of(page))
        if tag == language and MARK.strip() not in text and re.search(r"[a-zA-Z]{3}", text)
    }


NAMES = re.compile(r"item-[0-9a-f]+|[0-9a-f]{64}|MAXSCORE|normalMaximum|[a-z-]+, \d+, \d+")
"""Identifiers, hashes, what a package calls its points, and where a variant comes from."""


def without_names(found: set[str], *names: str) -> set[str]:
    return {text for text in found if not NAMES.fullmatch(text)} - set(names)


def test_a_page_says_nothing_that_is_not_in_the_catalogue(esperanto):
    page = packet_of_release(release_of(*ITEMS), on_record(), language=esperanto)

    outcomes = {name for item in ITEMS for name in (*item.outcomes, ", ".join(item.outcomes))}
    families = {item.provenance.family for item in ITEMS}
    assert without_names(unsaid(page, esperanto), *outcomes, *families) == set()


def test_what_students_see_stays_in_its_language_and_says_which(esperanto):
    page = tree_of(packet_of_release(release_of(*ITEMS), language=esperanto))

    assert page.get("lang") == "eo"
    for article, item in zip(page.iter("article"), ITEMS, strict=True):
        title = article.find(".//h2")
        assert (title.text, title.get("lang")) == (item.title, "en")
        (question,) = (e for e in article.iter("form") if e.get("class") == "question")
        assert question[0].get("lang") == "en"
        assert MARK not in question[0].text_content()
        assert all(MARK not in m.get("alttext") for m in question.iter("math"))
        assert MARK in question[-1].text_content()


def test_the_language_of_the_release_is_that_of_the_page_if_no_other_is_asked_for(esperanto):
    items = [replace(item, language=esperanto) for item in ITEMS]
    page = tree_of(packet_of_release(release_of(*items)))

    assert page.get("lang") == "eo"
    assert [e.tag for e in page.iter() if e.get("lang") == "eo"] == ["html"]


def test_what_is_decided_on_is_the_same_in_every_language(esperanto):
    def items(language: str) -> list[dict]:
        page = packet_of_release(release_of(*ITEMS), on_record(), language=language).decode()
        return json.loads(re.search(r'id="items">(.*?)</script>', page, re.S)[1])["items"]

    assert items("en") == items(esperanto)


def test_every_sentence_of_the_script_comes_from_the_page(esperanto):
    page = packet_of_release(release_of(*ITEMS), language=esperanto).decode()
    words = json.loads(re.search(r'id="items">(.*?)</script>', page, re.S)[1])["words"]
    script = "".join(path.read_text(encoding="utf-8") for path in SCRIPTS)
    asked = set(re.findall(r"words\.(\w+)", script)) | set(
        re.findall(r'words\["([^"]+)"\]', script)
    )

    assert asked <= set(words) == set(SCRIPT_WORDS)
    assert all(text.startswith(MARK) for text in words.values())
    assert words["progress"] == MARK + "{done} of {all} decided"


def test_every_word_of_the_vocabulary_is_said():
    assert set(vocabulary.LEVELS) == set(LEVELS)
    assert set(vocabulary.FORMS) >= set(FORMS)
    assert set(vocabulary.FACETS) == set(FACETS)


# ------------------------------------------------------------ from the command line

POOL = """
id: review-me
title: Homework 6 - polynomial congruences
course: NT 210 Elementary Number Theory, Alder Ford College
seed: alder-ford-review
items:
  - {family: singular-root, variants: 2, points: 3, form: list}
  - {family: linear-one-solution, variants: 1}
"""


def run(*args: object):
    return CliRunner().invoke(main, [str(a) for a in args])


@pytest.fixture
def pool(tmp_path: Path) -> Path:
    path = tmp_path / "review-me.yaml"
    path.write_text(POOL, encoding="utf-8")
    return path


def test_a_reviewer_reads_german(pool):
    out = pool.with_name("review.html")
    result = run("packet", pool, "--term", "2027-spring", "--language", "de", "--out", out)

    assert result.exit_code == 0, result.output
    page = tree_of(out.read_bytes())
    assert page.get("lang") == "de"
    assert page.find(".//h1").get("lang") == "en"
    assert "5,0 %" in page.text_content()  # 1 - 0.05^(1/59) = 0.0495
    assert '"decimal":","' in page.text_content()
    assert "Musterlösung" in page.text_content()


def test_a_package_too(pool, tmp_path, esperanto):
    made = run("make", pool, "--term", "2027-spring", "--out", tmp_path, "--to", "qti21")
    assert made.exit_code == 0, made.output
    package = next(tmp_path.glob("*.zip"))
    page = packet_of_package(package, esperanto)

    found = {text for text in unsaid(page, esperanto) if not text.startswith("A congruence")}
    assert without_names(found, package.name) == set(), "titles are the words of the package"


@pytest.mark.parametrize("tag", ["tlh", "de_AT", "de-<b>", ""])
def test_a_language_that_nobody_speaks_is_one_clear_line(pool, tag):
    out = pool.with_name("review.html")
    result = run("packet", pool, "--term", "2027-spring", "--language", tag, "--out", out)

    assert result.exit_code == 2
    assert f"expected a language with a catalogue: en, de, es; got {tag!r}" in result.output
    assert not out.exists()
