"""Stories before the formal question: told in each language, released in every format, audited."""

import pytest

from exporters.formats import FORMATS
from itembank.audit.phrases import phrases_of
from itembank.audit.story import without_story
from itembank.audit.unsupported import Unsupported
from itembank.kinds.table import SIGNATURES
from itembank.notation import plain
from itembank.pipeline.selection import fits, item_in_form
from itembank.pipeline.variants import Stream
from itembank.spec import load_family
from itembank.values.errors import SpecError
from tests.wishes import (
    EGGS,
    audits,
    family_of,
    faults_tried,
    leaves_in_every_format,
    pool_of,
    released,
    written,
)


def test_a_story_stands_before_the_formal_question_with_the_values_of_the_variant(tmp_path):
    family = family_of(tmp_path, EGGS)
    item = next(iter(released(tmp_path, family).groups[0].items))
    variant = next(
        v
        for v in Stream(family, f"{item.provenance.seed}", fits(family))
        if v.index == item.provenance.index
    )
    p, q, a, b = (variant.parameters[name] for name in "pqab")

    told = " ".join(plain.blocks(item.stem).split())

    assert f"in boxes of {p} and has {a} left over, in boxes of {q} and has {b} left over." in told
    assert [len(block.content) for block in item.stem[:2]] == [1, 1]
    assert f"up to a full {p * q}?" in told
    assert told.index("A farmer") < told.index("In symbols:") < told.index("≡")
    assert "A farmer" in item.spoken and "In symbols" in item.spoken


def test_ten_variants_of_a_story_leave_in_every_format(tmp_path):
    release = released(tmp_path, family_of(tmp_path, EGGS))

    found = leaves_in_every_format(release, tmp_path)

    assert len(found) == len(FORMATS)
    assert {report.count("agreed") for report in found.values()} == {10}


def test_a_story_that_is_told_in_german_leaves_in_german(tmp_path):
    family = family_of(tmp_path, EGGS)
    release = released(tmp_path, family, languages="language: de")
    told = plain.blocks(next(iter(release.groups[0].items)).stem)

    assert "Eine Bäuerin" in told
    assert "A farmer" not in told
    assert {r.count("agreed") for r in leaves_in_every_format(release, tmp_path).values()} == {10}


def test_a_language_that_a_story_lacks_is_a_fault_of_the_pool(tmp_path):
    english = EGGS[: EGGS.index("  de: >")] + "small: boxes are small\n"
    family = family_of(tmp_path, english)

    with pytest.raises(SpecError, match=r"has no text in 'de', found en; write \{de: \.\.\.\}"):
        pool_of(tmp_path, family, languages="language: de")


def test_a_story_written_once_is_not_told_in_two_languages(tmp_path):
    head = EGGS[: EGGS.index("story:")]
    family = family_of(tmp_path, head + "story: Boxes of {p} and {q}.\nsmall: few\n")

    with pytest.raises(SpecError, match=r"is one text, and the pool has 2 languages"):
        pool_of(tmp_path, family, languages="languages: [en, de]")
    assert pool_of(tmp_path, family, languages="language: de").language == "de"


@pytest.mark.parametrize(
    ("story", "fault"),
    [
        ("boxes of {pp}", "18:19: story: unknown name 'pp'; did you mean 'p'?"),
        ("boxes of {p", "18:18: story: this brace is never closed: write {a} for the value"),
        ("boxes of p}", "18:19: story: this brace is never opened: write {a} for the value"),
        ("boxes of {}", "18:19: story: expected an expression, found nothing"),
        ("boxes of {p +}", "18:21: story: expected a value after '+'"),
        ("boxes of {p/2}", "18:20: story: '/' is not part of an expression; write //"),
        ("boxes of {solutions}", "18:19: story: 'solutions' is a measure of the solution"),
    ],
)
def test_a_fault_in_a_story_has_its_character(tmp_path, story, fault):
    head = EGGS[: EGGS.index("story:")]
    path = written(tmp_path, head + f"story: {story!r}\nsmall: few\n")

    with pytest.raises(SpecError) as raised:
        load_family(path, SIGNATURES)

    assert f"{path}:{fault}" in str(raised.value)


def test_a_language_that_nobody_speaks_has_its_near_miss(tmp_path):
    path = written(tmp_path, EGGS.replace("  de: >", "  dee: >"))

    with pytest.raises(SpecError, match="found 'dee'; did you mean 'de'"):
        load_family(path, SIGNATURES)


def test_formal_needs_a_story(tmp_path):
    head = EGGS[: EGGS.index("story:")]
    path = written(tmp_path, head + "formal: shown\nsmall: few\n")

    with pytest.raises(SpecError, match="expected a `story` before the formal question"):
        load_family(path, SIGNATURES)


def test_a_parameter_may_be_computed_for_a_story_alone(tmp_path):
    text = EGGS.replace(
        "  b: {integer: [1, q - 1]}", "  b: {integer: [1, q - 1]}\n  n: {value: p*q}"
    )
    family = family_of(tmp_path, text.replace("{p*q}", "{n}"))

    assert faults_tried(family) == []


def test_a_story_told_in_german_alone_is_tried_in_german(tmp_path):
    german = EGGS.replace(EGGS[EGGS.index("  en: >") : EGGS.index("  de: >")], "")
    family = family_of(tmp_path, german)

    assert item_in_form(next(iter(Stream(family, "one", fits(family)))), "list").language == "de"


def stem(*lines):
    return tuple((line,) for line in lines)


def test_the_audit_reads_the_formal_question_and_refuses_directions_in_a_story():
    english = phrases_of("en")
    asked = stem("In symbols: Find all solutions of", "x ≡ 3 (mod 5)")

    assert without_story((*stem("How many eggs?", "x ≡ 1 (mod 7)"), *asked), english) == asked
    with pytest.raises(Unsupported, match="a story that says how to answer: 'in any order'"):
        without_story((*stem("Type them in any order."), *asked), english)
    with pytest.raises(Unsupported, match="two formal questions"):
        without_story((*asked, *asked), english)


def test_a_story_that_says_how_to_answer_does_not_leave(tmp_path):
    family = family_of(tmp_path, EGGS.replace("A farmer packs", "Answer in any order. She packs"))

    found = audits(released(tmp_path, family), tmp_path)

    assert not any(report.clean for report in found.values())
    assert "a story that says how to answer" in found["qti21"].as_text()
