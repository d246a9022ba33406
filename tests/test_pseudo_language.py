"""No English is left where a language is asked for: a catalogue in which every word is changed.

Every word of every template is written in another script (`catalogues.put_pseudo_language`), so
that a word in Latin letters never went through the catalogue. What may stay is stated here.
"""

import json
import re
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass, replace
from functools import cache, lru_cache
from pathlib import Path

import pytest
from lxml import etree, html

from exporters.formats import FORMATS, write_package
from exporters.loadcard import load_card
from exporters.notices import Affected, change_list, rescoring_note
from exporters.release import Release, Written, statement
from itembank.cli.arguments import pool_named
from itembank.notation.tree import Call, Letter
from itembank.pipeline import making
from itembank.pipeline.canary import FAMILY, with_canaries
from itembank.pipeline.titles import LETTERS
from itembank.review.document import packet_of_release
from itembank.spec import Pool, library
from itembank.terms import withdrawal
from itembank.values.item import Item
from tests.catalogues import PSEUDO, catalogues_in, put_pseudo_language
from tests.review.unpacked import tree
from tests.shipped import FAMILIES, whole_library

POOLS = sorted(path.stem for path in (library() / "pools").glob("*.yaml"))
TERM = "2027-spring"
VARIANTS = 2

# ------------------------------------------------------------ what may stay

FUNCTIONS = {"gcd", "lcm", "mod", "ord", "ind"}
"""Names of functions in formulas: notation, which no sentence translates."""

NAMES_OF_STANDARDS = {"SHA", "en", PSEUDO, "English"}
"""What pages print that is a name: of a hash, of a language."""

SLIP = r"[a-z0-9]+(-[a-z0-9]+)+"
OF_SPECS = re.compile(rf"{SLIP}(, {SLIP})*|[a-z_]+, [a-z ]+")
"""Slips; a kind and a form: named as specs name them, where reviewers find them."""

ELEMENTS = {
    # LOM: vocabularies, catalogues, outcome ids, the tool
    "catalog", "entity", "entry", "id", "language", "source", "value",
    # content packaging, question metadata: words of the standards
    "schema", "fieldlabel", "fieldentry", "composite", "feedbackType", "interactionType",
    "itemTemplate", "scoringMode", "solutionAvailable", "timeDependent", "toolName", "toolVendor",
    # response processing: identifiers, and the words that are typed (checked in the item)
    "varequal", "baseValue", "qti-base-value", "qti-value",
    # pages; letters of formulas
    "style", "script", "i",
}  # fmt: skip
"""Elements whose text no student or grader reads as a sentence."""

READ = {"title", "alt", "aria-label", "aria-description", "placeholder", "summary"}
"""Attributes whose text somebody reads; `label` holds the statement, for authors."""

WORD = re.compile(r"[A-Za-z]{2,}")
IDENTIFIER = re.compile(
    r"item-[0-9a-f]{16}(-ru)?|[0-9a-f]{64}|[\w.-]+\.(zip|html|xml)|\b[A-Z]{2}(?![A-Za-z])"
)
"""Of items, files, packages; the invented country at the head of an account number, and pairs of
letters that a cipher encrypts."""


SLOT = re.compile(r"\{\w+\}")
"""Of sentences that the script of the packet fills."""

CODE = re.compile(rf"(?<!\w)[{LETTERS}]{{4}}(?!\w)")
"""What tells the questions of one family from those of others: letters that are no word."""


def left(text: str, authored: frozenset[str]) -> list[str]:
    """The words in Latin letters, apart from what authors wrote, identifiers and notation."""
    if not WORD.search(text):  # and taking a part away makes none
        return []
    whole, single = longest_first(authored)
    for known in whole:
        text = text.replace(known, " ")
    text = IDENTIFIER.sub(" ", CODE.sub(" ", text))
    for known in single:
        text = text.replace(known, " ")
    words = WORD.findall(text)
    return [w for w in words if w not in FUNCTIONS | NAMES_OF_STANDARDS]


@lru_cache(maxsize=8)
def longest_first(authored: frozenset[str]) -> tuple[list[str], list[str]]:
    """Texts of several words, and single words."""
    known = sorted(authored, key=len, reverse=True)
    return [text for text in known if " " in text], [text for text in known if " " not in text]


def written_by_authors(release: Release) -> frozenset[str]:
    """Titles, course and term as a pool and its families have them; what is asked, for authors;
    names of slips, for graders."""
    items = [item for group in release.groups for item in group.items]
    titles = {name for g in release.groups if g.family != FAMILY for name in (g.title, g.family)}
    outcomes = {outcome for item in items for outcome in item.outcomes}
    asked = {statement(item) for item in items}
    named = {release.title, release.course, release.term, release.name, "course outcomes"}
    slips = {name for item in items for slip in item.feedback for name in slip.slips}
    return frozenset(named | titles | outcomes | asked | slips)


# ------------------------------------------------------------ releases in the language


@pytest.fixture(scope="module", autouse=True)
def pseudo(tmp_path_factory) -> Iterator[None]:
    list(FAMILIES.values())  # read while the languages of their stories have catalogues
    with catalogues_in(tmp_path_factory.mktemp("locale")):
        put_pseudo_language()
        yield


def small(name: str, variants: int = VARIANTS) -> Pool:
    """A shipped pool with a few variants of each family, in the language."""
    pool = pool_named(name, ())
    entries = tuple(
        e.model_copy(update={"variants": min(e.variants, variants), "choose": 1})
        for e in pool.entries
    )
    return pool.model_copy(update={"entries": entries}).editions([PSEUDO])[0]


IN_ENGLISH = [
    name
    for name in POOLS
    if "\nlanguages:" not in (library() / "pools" / f"{name}.yaml").read_text(encoding="utf-8")
]
"""Pools without stories in languages that the catalogue of the tests stands in the place of."""


@pytest.fixture(scope="module", params=[*IN_ENGLISH, "all of the library"])
def release(request) -> Release:
    """A pool with a canary for each of its forms; or each family in each form that it offers."""
    if request.param not in POOLS:
        return whole_library(PSEUDO)
    return with_canaries(making.released(small(request.param), TERM))


@pytest.fixture(scope="module")
def packaged(release, tmp_path_factory) -> Callable[[str], tuple[Path, Written]]:
    """The release in a format, written once for all that read it."""
    folder = tmp_path_factory.mktemp("packages")

    @cache
    def packaged(format: str) -> tuple[Path, Written]:
        path = folder / f"{format}.zip"
        return path, write_package(format, release, path)

    return packaged


def items_of(release: Release) -> Iterator[Item]:
    for group in release.groups:
        for item in group.items:
            yield item
            if item.plain:
                yield item.plain


# ------------------------------------------------------------ items


def said(node: object) -> Iterator[str]:
    """The texts in trees of notation, names of functions and letters apart."""
    if isinstance(node, str):
        yield node
    elif isinstance(node, tuple):
        for part in node:
            yield from said(part)
    elif is_dataclass(node) and not isinstance(node, type):
        for field in fields(node):
            part = getattr(node, field.name)
            if not (isinstance(node, Letter | Call) and isinstance(part, str)):
                yield from said(part)


def shown(item: Item) -> Iterator[tuple[str, object]]:
    """All of an item that is read, with what it is: the codec's names that are words of ours
    (identifiers, slips, asks) are not."""
    yield "stem", item.stem
    yield "spoken", item.spoken
    yield "worked solution", item.solution
    yield "feedback", tuple(slip.text for slip in item.feedback)
    yield "next step", item.otherwise
    yield "praise", item.right
    yield from of_response(item.response)


def of_response(response: object) -> Iterator[tuple[str, object]]:
    for name in ("options", "lines", "sources", "targets"):
        yield name, tuple(choice.label for choice in getattr(response, name, ()))
    for name in ("least_stem", "none_word", "yes", "no"):
        yield name, getattr(response, name, ())
    for stage in getattr(response, "stages", ()):
        yield "stage", stage.prompt
        yield from of_response(stage.response)


def test_no_english_is_in_an_item(release):
    found = {
        (item.provenance.family, what, word, text)
        for item in items_of(release)
        for what, part in shown(item)
        for text in said(part)
        for word in left(text, frozenset())
    }

    assert not found
    assert all(re.search("[а-я]", item.spoken) for item in items_of(release))


def test_what_is_looked_at_is_all_that_an_item_says(release):
    """Nothing that is read hides in a field that `shown` passes over."""
    read = {"stem", "spoken", "solution", "feedback", "otherwise", "right", "response"}
    names = {
        "title", "statement", "kind", "ask", "outcomes", "level", "language", "provenance",
        "edition", "plain", "scoring", "steps", "formal",
    }  # fmt: skip
    assert {field.name for field in fields(Item)} == read | names


# ------------------------------------------------------------ packages and pages


def texts(root: etree._Element) -> Iterator[tuple[str, str]]:
    """The texts of a document that somebody reads, with where they stand."""
    for element in root.iter():
        if not isinstance(element.tag, str):
            continue
        tag = element.tag.rpartition("}")[2]
        for name, value in element.attrib.items():
            if name.rpartition("}")[2] in READ:
                yield f"{tag}/@{name}", value
        if tag not in ELEMENTS and element.text:
            if element.get("texttype") == "text/html":
                yield from texts(html.fragment_fromstring(element.text, create_parent="div"))
            else:
                yield tag, element.text
        if element.tail:
            yield f"after {tag}", element.tail


def documents(package: Path) -> Iterator[etree._Element]:
    with zipfile.ZipFile(package) as members:
        for name in members.namelist():
            data = members.read(name)
            yield (
                html.document_fromstring(data) if name.endswith("html") else etree.fromstring(data)
            )


IN_ANY_LETTERS = [format for format in FORMATS if format != "latex"]
"""The fonts with which LaTeX begins have no Cyrillic: such a package is refused, and tested in
German (`exporters/test_latex.py`)."""


@pytest.mark.parametrize("format", IN_ANY_LETTERS)
def test_no_english_is_in_a_package(format, release, packaged):
    path, _written = packaged(format)
    authored = written_by_authors(release)
    found = {
        (where, word, text)
        for root in documents(path)
        for where, text in texts(root)
        for word in left(text, authored)
    }

    assert not found


def test_what_stays_english_is_not_said_to_be_in_the_language(release, packaged):
    """What is asked, in plain notation, is told in the words of the program."""
    path, _written = packaged("qti21")
    asked = {statement(item) for item in items_of(release)}
    told = {
        string.get("language")
        for root in documents(path)
        for string in root.iter("{*}string")
        if string.text in asked
    }

    assert told == {"en"}


def test_no_english_is_on_the_load_card(release, packaged):
    authored = written_by_authors(release)
    for format in IN_ANY_LETTERS:
        package = replace(packaged(format)[1], file=f"{format}.zip", math="")
        card = load_card(replace(release, languages=("en", PSEUDO)), [package])
        for where, text in texts(html.document_fromstring(card.decode())):
            assert not left(text, authored), (where, text)


AFFECTED = Affected(release="r", course="c", term=TERM, group="g", choose=1, of=2, files=("p.zip",))


def test_no_english_is_in_the_note_for_rescoring(release):
    """A key is told as data: identifiers of options, "none", true."""
    authored = written_by_authors(release)
    for group in release.groups:
        (first, *_others) = group.items
        told = withdrawal.question(first, (), ("1",))
        keys = {told.released_key, *([told.right_key] if told.right_key else [])}
        questions = [
            told,
            replace(told, affected=(AFFECTED,)),
            replace(told, affected=(AFFECTED,), right_key="0"),
            replace(told, affected=(AFFECTED,), right_key=None, why_none="0"),
        ]
        note = rescoring_note(PSEUDO, "0", questions).decode()
        for where, text in texts(html.document_fromstring(note)):
            assert not left(text, authored | keys), (where, text)


def test_no_english_is_in_the_list_of_changes(release):
    names = [(item.identifier, item.title) for item in items_of(release)]
    authored = written_by_authors(release)
    for new, retire in ((names, []), ([], names)):
        changes = change_list(
            title=release.title, course=release.course, term=TERM, language=PSEUDO,
            since=release.name, new=new, retire=retire, kept=3,
        ).decode()  # fmt: skip
        for where, text in texts(html.document_fromstring(changes)):
            assert not left(text, authored), (where, text)


@pytest.mark.parametrize("release", ["lifting-homework", "all of the library"], indirect=True)
def test_no_english_is_in_the_review_packet(release):
    packet = packet_of_release(release)
    authored = written_by_authors(release) | {FAMILY}
    words = json.loads(html.document_fromstring(packet).get_element_by_id("items").text)["words"]
    said = [*texts(tree(packet)), *((name, SLOT.sub(" ", word)) for name, word in words.items())]
    found = {
        (where, word, text)
        for where, text in said
        if not OF_SPECS.fullmatch(text.strip())
        for word in left(text, authored)
    }

    assert not found
