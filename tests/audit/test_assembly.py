"""What stands around the items, changed in a made package: each change is a finding."""

import re
import zipfile
from functools import cache
from pathlib import Path

import pytest

from exporters.formats import write_package
from itembank.audit import audit_package
from itembank.cli.arguments import pool_named
from itembank.pipeline import making


@pytest.fixture(scope="module")
def parts(tmp_path_factory):
    """The members of the quiz of a shipped pool, by format."""
    release = making.released(pool_named("congruences-quiz", ()), "2027-spring")
    folder = tmp_path_factory.mktemp("quiz")

    @cache
    def of(format: str) -> dict[str, str]:
        write_package(format, release, folder / "p.zip", purpose="quiz")
        with zipfile.ZipFile(folder / "p.zip") as z:
            return {name: z.read(name).decode() for name in z.namelist()}

    return of


def findings(members: dict[str, str], path: Path) -> tuple[str, ...]:
    with zipfile.ZipFile(path, "w") as z:
        for name, text in members.items():
            z.writestr(name, text)
    return audit_package(path).package_findings


def changed(members: dict[str, str], name: str, pattern: str, new: str) -> dict[str, str]:
    file = next(n for n in members if n.startswith(name))
    text = re.sub(pattern, new, members[file], count=1, flags=re.S)
    assert text != members[file]
    return {**members, file: text}


REF = r"(<assessmentItemRef.*?</assessmentItemRef>)"
TEST = {
    "every weight 0": (r'value="1"', 'value="0"'),
    "weight 5": (r'value="1"', 'value="5"'),
    "no weight": (r"<weight [^>]*/>", ""),
    "the solution shown": (r'showSolution="false"', 'showSolution="true"'),
    "feedback shown": (r'showFeedback="false"', 'showFeedback="true"'),
    "select 0": (r'select="\d+"', 'select="0"'),
    "select too many": (r'select="\d+"', 'select="99"'),
    "no selection": (r"<selection [^>]*/>", ""),
    "with replacement": (r"<selection ", '<selection withReplacement="true" '),
    "not shuffled": (r'<ordering shuffle="true"', '<ordering shuffle="false"'),
    "a reference removed": (REF, ""),
    "a reference doubled": (REF, r"\1\1"),
    "a reference redirected": (r'href="item-', 'href="item-0'),
    "a reference moved": (rf"{REF}(.*?)(?=</testPart>)", r"\2\1"),
    "a time limit": (r"<itemSessionControl", '<timeLimits maxTime="1"/><itemSessionControl'),
    "unlimited attempts": (r'maxAttempts="1"', 'maxAttempts="0"'),
    "an impossible precondition": (
        r"<weight ",
        '<preCondition><baseValue baseType="boolean">false</baseValue></preCondition><weight ',
    ),
    "a branch": (r"<weight ", '<branchRule target="EXIT_TEST"/><weight '),
    "sections of one name": (r'"section-2"', '"section-1"'),
    "not visible": (r'visible="true"', 'visible="false"'),
    "seen by candidates": (r'view="author', 'view="candidate author'),
    "other outcomes": (r"<outcomeProcessing>.*</outcomeProcessing>", ""),
    "linear": (r'navigationMode="nonlinear"', 'navigationMode="linear"'),
}  # fmt: skip


@pytest.mark.parametrize("name", TEST)
def test_a_changed_test_is_found(parts, tmp_path, name):
    assert findings(changed(parts("qti21"), "test-", *TEST[name]), tmp_path / "p.zip")


def in_names_of_3(pattern: str) -> str:
    """Names and attributes of 2.x in the style of 3.0."""
    names = re.sub(
        r"(</?)([a-zA-Z]+)", lambda m: f"{m[1]}qti-{hyphened(m[2])}", pattern.replace("/>", "/>")
    )
    return re.sub(r"\b(?!baseType\b)([a-z]+[A-Z]\w*)(?==)", lambda m: hyphened(m[1]), names)


def hyphened(name: str) -> str:
    return re.sub("[A-Z]", lambda m: "-" + m[0].lower(), name)


@pytest.mark.parametrize("name", TEST)
def test_a_changed_test_of_3_is_found(parts, tmp_path, name):
    pattern, new = map(in_names_of_3, TEST[name])

    assert findings(changed(parts("qti30"), "test-", pattern, new), tmp_path / "p.zip")


MANIFEST = {
    "a resource doubled": (
        r'(<resource identifier="item.*?<file href="[^"]+"/></resource>)',
        r"\1\1",
    ),
    "an unknown resource": (r'type="imsqti_item_xmlv2p1"', 'type="imsqti_item_xmlv9"'),
    "a file without name": (r'<file href="[^"]+"/>', "<file/>"),
    "another page": (r"<organizations/>", "<organizations/><sequencingCollection/>"),
    "a comment": (r"<organizations/>", "<!-- 7, 20 --><organizations/>"),
    "a dependency of nothing": (r'identifierref="[^"]+"', 'identifierref="nothing"'),
}


@pytest.mark.parametrize("name", MANIFEST)
def test_a_changed_manifest_is_found(parts, tmp_path, name):
    assert findings(changed(parts("qti21"), "imsmanifest", *MANIFEST[name]), tmp_path / "p.zip")


WORDS = r'(.*<string language="en">)'
METADATA = {
    "a character that nobody sees": (WORDS, "\\1\u200b"),
    "no words": (rf"{WORDS}[^<]+", r"\1"),
    "blanks for words": (rf"{WORDS}[^<]+", "\\1 \u00a0 "),
    "a name of other content": (WORDS, r"\1<b>x</b>"),
    "words of a language of no name": (r'(.*<string language=")en', r"\g<1>1"),
    "an identifier within": (r"(.*<entry>)", r"\1<id>x</id>"),
    "two words for one": (r"(.*<id>)", r"\1two "),
}


@pytest.mark.parametrize("name", METADATA)
def test_changed_metadata_are_found_after_others_that_differ_in_words_alone(parts, tmp_path, name):
    """It is the last resource that is changed."""
    assert findings(changed(parts("qti21"), "imsmanifest", *METADATA[name]), tmp_path / "p.zip")


QUIZ = {
    "select 0": (r"<selection_number>\d+", "<selection_number>0"),
    "select too many": (r"<selection_number>\d+", "<selection_number>99"),
    "no selection": (r"<selection>.*?</selection>", ""),
    "unlimited attempts": (r"(cc_maxattempts</fieldlabel><fieldentry>)1", r"\1unlimited"),
    "attempts not said": (
        r"<qtimetadatafield><fieldlabel>cc_maxattempts.*?</qtimetadatafield>",
        "",
    ),
    "a time limit": (r"<section ", "<duration>PT1S</duration><section "),
    "in order": (r'order_type="Random"', 'order_type="Sequential"'),
    "sections of one name": (r'"section-2"', '"section-1"'),
}


@pytest.mark.parametrize("name", QUIZ)
def test_a_changed_quiz_of_1_2_is_found(parts, tmp_path, name):
    assert findings(changed(parts("qti12"), "quiz-", *QUIZ[name]), tmp_path / "p.zip")


@pytest.mark.parametrize("format", ["qti12", "qti21", "qti30"])
def test_an_unchanged_quiz_has_none(parts, tmp_path, format):
    assert findings(parts(format), tmp_path / "p.zip") == ()
