"""Questions in parts as one item: valid, named apart, each part scored as it is alone."""

import re
import zipfile
from collections import Counter
from dataclasses import replace
from itertools import product

import pytest
from lxml import etree

from exporters.formats import write_package
from exporters.keys import key
from exporters.loadcard import load_card
from exporters.release import Release
from itembank.values.item import IntegerEntry, Item
from itembank.values.points import Points
from tests.exporters import samples
from tests.exporters.attempts import answers, given
from tests.exporters.composites import EVERY, HALVES, RELEASE, groups_of, responses
from tests.exporters.grading import NS, outcomes

VERSIONS = ("qti21", "qti22", "qti30")


def written(folder, release: Release, format="qti21", **how) -> dict[str, etree._Element]:
    """The members of a package of the release, parsed."""
    path = folder / f"{format}.zip"
    write_package(format, release, path, **how)
    with zipfile.ZipFile(path) as package:
        return {name: etree.fromstring(package.read(name)) for name in package.namelist()}


def only_item(members) -> etree._Element:
    (found,) = (root for name, root in members.items() if name.startswith("parts-"))
    return found


@pytest.fixture(scope="module")
def every(tmp_path_factory) -> etree._Element:
    """All forms as the parts of one item of QTI 2.1."""
    return only_item(written(tmp_path_factory.mktemp("every"), RELEASE))


@pytest.mark.parametrize("format", VERSIONS)
def test_one_item_of_every_form_is_valid_by_the_published_schemas(tmp_path, findings, format):
    members = written(tmp_path, RELEASE, format, purpose="quiz")

    assert findings(tmp_path / f"{format}.zip") == []
    assert [name[:5] for name in members] == ["parts", "test-", "imsma"]


def test_each_name_stands_once_in_the_item_and_is_portable(every):
    tags = ("responseDeclaration", "outcomeDeclaration", "simpleChoice", "inlineChoice",
            "simpleAssociableChoice")  # fmt: skip
    found = [e.get("identifier") for tag in tags for e in every.iter(f"{{{NS['q']}}}{tag}")]
    found += [e.get("id") for e in every.findall("q:itemBody/q:div", NS)]

    assert [name for name, n in Counter(found).items() if n > 1] == []
    assert all(name.replace("_", "").replace("-", "").isalnum() for name in found)
    assert [e.get("id") for e in every.findall("q:itemBody/q:div", NS)] == [
        item.identifier for group in RELEASE.groups for item in group.items
    ]


def test_what_all_parts_share_is_read_once_and_above_them(every):
    texts = ["".join(e.itertext()) for e in every.find("q:itemBody", NS)]
    assert texts[0] == "Mira checks her clock arithmetic."
    assert "Mira" not in "".join(texts[1:])
    assert [text[:13] for text in texts[1:]] == [f"Part ({c}) of 9" for c in "abcdefghi"]


PARTS = [
    pytest.param(letter, item, id=f"({letter}) {item.response.form}")
    for letter, item in zip("abcdefghi", EVERY, strict=True)
]


@pytest.mark.parametrize(("letter", "item"), PARTS)
@pytest.mark.parametrize("others", ["blank", "key"])
def test_a_part_is_scored_as_it_is_alone_whatever_is_answered_to_the_others(
    every, letter: str, item: Item, others: str
):
    beside: dict[str, object] = {}
    worth: Points = 0
    for other, one in zip("abcdefghi", EVERY, strict=True):
        if other != letter and others == "key":
            beside |= responses(one, other, right(one))
            worth += one.scoring.points
    for answer in answers(item):
        found = outcomes(every, beside | responses(item, letter, answer.given))
        scores = found[f"SCORE_{letter}"], found["SCORE"]
        assert scores == (answer.score, worth + answer.score), answer.name
        shown = {name[-1]: told for name, told in found.items() if name[:9] == "FEEDBACK_"}
        if answer.slip is not None:
            assert shown[letter] == f"slip-{answer.slip}"
        assert {told for part, told in shown.items() if part != letter} <= {"none", None}


def right(item: Item) -> tuple[str, ...]:
    keyed = key(item.response)
    return given(item, keyed[:1] if isinstance(item.response, IntegerEntry) else keyed)


@pytest.mark.parametrize("rights", list(product([False, True], repeat=3)))
def test_halves_are_looked_up_and_never_added(tmp_path_factory, rights):
    item = only_item(
        written(tmp_path_factory.mktemp("halves"), samples.release(*groups_of(*HALVES)))
    )
    assert not list(item.iter(f"{{{NS['q']}}}sum")) or not item.findall(
        "q:responseProcessing/q:setOutcomeValue[@identifier='SCORE']", NS
    )
    response: dict[str, object] = {}
    for letter, part, is_right in zip("abc", HALVES, rights, strict=True):
        text = str(part.response.value if is_right else part.response.value + 1)
        response |= responses(part, letter, (text,))

    worth = sum(p.scoring.points for p, is_right in zip(HALVES, rights, strict=True) if is_right)

    assert outcomes(item, response)["SCORE"] == worth
    assert item.find("q:outcomeDeclaration[@identifier='MAXSCORE']//q:value", NS).text == "4"


def test_the_plain_profile_has_an_item_a_part_and_so_has_what_is_no_number_of_points(tmp_path):
    three = samples.release(*groups_of(samples.SELECT_ONE, samples.INTEGER, samples.TRUE_FALSE))
    for release, how, parts in (
        (three, {"profile": "plain"}, 3),
        (samples.release(*groups_of(*[HALVES[0]] * 7)), {}, 7),
    ):
        members = written(tmp_path, release, purpose="quiz", **how)
        assert [name[:5] for name in members] == [*["item-"] * parts, "test-", "imsma"]


def test_a_test_refers_to_the_one_item_once_with_the_weight_one(tmp_path):
    for format in VERSIONS:
        members = written(tmp_path, RELEASE, format, purpose="quiz")
        (test,) = (root for name, root in members.items() if name.startswith("test-"))
        name = only_item(members).get("identifier")
        refs = [
            (
                e.get("identifier"),
                e.getparent().getparent().tag == e.getparent().tag,
                e[0].get("value"),
            )
            for e in test.iter("{*}assessmentItemRef", "{*}qti-assessment-item-ref")
        ]
        assert refs == [(name, False, "1")]


def test_the_name_of_the_item_is_that_of_its_parts_and_ends_with_the_language(tmp_path):
    def named(release):
        return only_item(written(tmp_path, release)).get("identifier")

    a, b = samples.SELECT_ONE, samples.INTEGER
    assert named(samples.release(*groups_of(a, b))) != named(samples.release(*groups_of(b, a)))
    english = named(samples.release(*groups_of(a, b)))
    german = [replace(item, edition="de") for item in (a, b)]
    assert named(samples.release(*groups_of(*german))) == f"{english}-de"


def test_the_load_card_counts_one_item_and_says_what_to_do_with_it(tmp_path):
    card = load_card(RELEASE, [write_package("qti21", RELEASE, tmp_path / "p.zip")]).decode()
    assert re.search(r">1</td><td[^>]*>question in parts: 1<", card)
    assert "“Clock” is one item with its parts, (a), (b), (c)," in card
    worth = sum(item.scoring.points for item in EVERY)
    assert f"draw it as one question, which counts {worth} points in all" in card
    assert "stay together" not in card

    two = samples.release(*groups_of(samples.SELECT_ONE, samples.INTEGER))
    both = [
        write_package(format, two, tmp_path / f"{format}.zip", purpose="bank", profile=profile)
        for format, profile in (("qti21", "full"), ("qti30", "plain"))
    ]
    assert all(told in load_card(two, both).decode() for told in ("one item", "stay together"))
