"""The packet of a pool in several languages: whoever reads one of them judges its words."""

import json
import re
import zipfile
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from lxml import html

from exporters.release import Release
from itembank.cli import main
from itembank.cli.arguments import pool_named
from itembank.notation.prose import display, paragraph
from itembank.pipeline import making
from itembank.review import packet_of_release
from itembank.terms.editions import edition_of
from tests.review.unpacked import tree

POOL = """\
id: in-three
title: Homework 6
course: NT 210
languages: [en, de, es]
seed: tests
items:
  - {family: linear-one-solution, variants: 1}
  - {family: quadratic-two-prime-powers, variants: 1, form: select all}
"""

ALIKE = """\
id: alike
title: Homework 7
course: NT 210
languages: [en, de]
seed: tests
items:
  - {family: linear-solvable-or-not, variants: 3}
"""

TERM = "2027-spring"


@pytest.fixture(scope="module")
def pool(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("pool") / "in-three.yaml"
    path.write_text(POOL, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def releases(pool: Path) -> tuple[Release, ...]:
    return making.editions(pool_named(str(pool), ()).editions(), TERM)


def run(*args: object):
    result = CliRunner().invoke(main, [str(a) for a in args])
    assert result.exit_code == 0, result.output
    return result


def articles(packet: bytes) -> list[html.HtmlElement]:
    return list(tree(packet).iter("article"))


def folds(article: html.HtmlElement, kind: str = "revealed") -> dict[str, html.HtmlElement]:
    """What is folded with an item, by its heading: below the key, or as it is answered."""
    place = article.find_class(kind)[0] if kind == "revealed" else article
    found = [e for e in place.iter("details") if ("also" in e.get("class")) == (kind == "also")]
    return {e.find(".//h3").text_content(): e for e in found}


def items(packet: bytes) -> list[dict[str, Any]]:
    """What the script is told of each item."""
    return json.loads(tree(packet).get_element_by_id("items").text)["items"]


def words(element: html.HtmlElement) -> str:
    return " ".join(element.text_content().split())


def sentences(package: Path) -> list[list[str]]:
    """The paragraphs without mathematics of each question in a package, titles first."""
    found = []
    with zipfile.ZipFile(package) as held:
        for name in sorted(n for n in held.namelist() if n.startswith("item-")):
            item = held.read(name).decode()
            body = item[item.index("<itemBody") : item.index("</itemBody>")]
            texts = re.findall(r"<p>([^<>]{12,})</p>", body)
            found.append(
                [*re.findall(r' title="([^"]+)"', item[: item.index("<itemBody")]), *texts]
            )
    return found


@pytest.mark.parametrize(("tag", "name"), [("de", "Deutsch (de)"), ("es", "español (es)")])
def test_every_question_stands_there_as_the_package_of_the_language_has_it(
    pool: Path, releases: tuple[Release, ...], tmp_path: Path, tag: str, name: str
):
    run("make", pool, "--term", TERM, "--language", tag, "--to", "qti21", "--out", tmp_path)
    (package,) = tmp_path.glob(f"*-{tag}-qti21.zip")
    shown = articles(packet_of_release(releases[0], others=releases[1:]))

    asked = sentences(package)
    assert len(asked) == len(shown) == 2
    for kind in ("also", "revealed"):
        told = [words(folds(article, kind)[name]) for article in shown]
        for lines in asked:
            assert sum(all(line in text for line in lines) for text in told) == 1, lines
    assert all(folds(article)[name].find_class("verdict")[0].text == "the audit agrees"
               for article in shown)  # fmt: skip


def test_below_the_key_stand_key_feedback_and_working_too(releases: tuple[Release, ...]):
    shown = articles(packet_of_release(releases[0], others=releases[1:]))[1]
    german, item = folds(shown)["Deutsch (de)"], next(iter(releases[1].groups[1].items))

    assert [e.text for e in german.iter("h4")] == [
        "Key", "Feedback", "Worked solution", "Spoken form"
    ]  # fmt: skip
    assert item.spoken in words(german)
    assert "Antwort." in words(german)
    assert german.find_class("key")[0].get("lang") == "de"


def test_as_it_is_answered_a_language_tells_no_key(releases: tuple[Release, ...]):
    for article in articles(packet_of_release(releases[0], others=releases[1:])):
        for shown in folds(article, "also").values():
            assert not shown.find_class("key")
            assert not shown.find_class("verdict")
            assert shown.get("open") is None


def test_the_reviewers_own_language_lies_open(releases: tuple[Release, ...]):
    packet = packet_of_release(releases[0], language="de", others=releases[1:])
    for article in articles(packet):
        for kind in ("also", "revealed"):
            open_ones = [n for n, e in folds(article, kind).items() if e.get("open") is not None]
            assert open_ones == ["Deutsch (de)"]
    listed = [e.text for e in tree(packet).find_class("languages")[0]]
    assert listed == ["English (en)", "Deutsch (de)", "español (es)"]


def test_a_language_that_asks_another_question_is_told_and_comes_first(
    releases: tuple[Release, ...],
):
    german = releases[1]
    first, second = german.groups
    item = next(iter(second.items))
    other = replace(item, stem=(item.stem[0], display("x^2 + x + 1 = 0 mod 9"), *item.stem[2:]))
    wrong = replace(german, groups=(first, replace(second, items=(other,))))
    packet = packet_of_release(releases[0], others=[wrong])
    told = folds(articles(packet)[1])["Deutsch (de)"]

    assert told.get("open") is not None
    assert told.find_class("failed")[0].text == "the audit says: disagreed"
    assert "not agreed in another language" in words(articles(packet)[1].find_class("risks")[0])
    assert "not agreed in another language" in words(tree(packet).find_class("first")[0][0])


def test_what_is_decided_on_is_the_same_with_them_and_without(releases: tuple[Release, ...]):
    alone = items(packet_of_release(releases[0]))
    together = items(packet_of_release(releases[0], others=releases[1:]))

    assert alone == [{k: v for k, v in item.items() if k != "also"} for item in together]


def test_variants_are_alike_if_they_are_in_every_language(tmp_path: Path):
    path = tmp_path / "alike.yaml"
    path.write_text(ALIKE, encoding="utf-8")
    english, german = making.editions(pool_named(str(path), ()).editions(), TERM)
    shown = items(packet_of_release(english, others=[german]))
    assert len({item["also"]["wording"] for item in shown}) == 1
    feedback = shown[0]["also"]["distractors and feedback"]

    (group,) = german.groups
    one, *rest = group.items
    other = replace(one, stem=(one.stem[0], paragraph("Ganz anders."), *one.stem[1:]))
    wrong = replace(german, groups=(replace(group, items=(other, *rest)),))
    odd, *even = items(packet_of_release(english, others=[wrong]))
    assert odd["also"]["wording"] not in {item["also"]["wording"] for item in even}
    assert odd["also"]["distractors and feedback"] == feedback


def test_what_a_bank_holds_is_composed_in_the_other_languages_too(
    pool: Path, releases: tuple[Release, ...]
):
    loaded = pool_named(str(pool), ())
    _first, *others = loaded.editions()
    again = [edition_of(releases[0], loaded, other) for other in others]

    assert packet_of_release(releases[0], others=again) == packet_of_release(
        releases[0], others=releases[1:]
    )
