"""QTI 3.0 packages: valid, complete, and graded as the item says.

tests/browser opens the same items in real readers.
"""

from fractions import Fraction

import pytest
from lxml import etree

from exporters.formats import write_package
from exporters.qti30 import qti_assessment_item
from exporters.qti30_response import NAMESPACE
from exporters.setting import Setting
from exporters.xml import serialised
from itembank.audit import qti3
from itembank.values.item import ListEntry
from tests.exporters import samples
from tests.exporters.attempts import answers

Q = {"q": NAMESPACE}

ITEMS = {**samples.ITEMS, **samples.BEYOND, **samples.NUMBERS}

RELEASE = samples.release(
    *samples.GROUPS, *(samples.group(item) for item in samples.BEYOND.values())
)

CASES = [
    pytest.param(item, answer, id=f"{name}: {answer.name}")
    for name, item in ITEMS.items()
    for answer in answers(item)
]


def parsed(item, math="mathml"):
    return etree.fromstring(
        serialised(qti_assessment_item(item, Setting(math, NAMESPACE, "en")), "here")
    )


@pytest.mark.parametrize("purpose", ["quiz", "bank"])
@pytest.mark.parametrize("math", ["mathml", "html", "tex", "text"])
def test_packages_are_valid_by_the_published_schemas(tmp_path, findings, purpose, math):
    write_package("qti30", RELEASE, tmp_path / "p.zip", math, purpose)

    assert findings(tmp_path / "p.zip") == []


def test_a_bank_has_no_test(tmp_path, members):
    write_package("qti30", samples.RELEASE, tmp_path / "p.zip", purpose="bank")

    names = members(tmp_path / "p.zip")
    assert sorted(names) == sorted(
        [*(f"{item.identifier}.xml" for item in samples.ITEMS.values()), "imsmanifest.xml"]
    )
    assert b"<schema>QTI Item Bank</schema>" in names["imsmanifest.xml"]


def test_a_section_draws_from_its_group_and_weighs_its_items(tmp_path, members):
    drawn = samples.group(samples.LIST, samples.LIST_EMPTY, samples.LIST_ZERO, choose=2)
    write_package("qti30", samples.release(drawn), tmp_path / "p.zip")
    test = etree.fromstring(members(tmp_path / "p.zip")["test-nt210-quiz-3-2027-spring.xml"])

    (section,) = test.findall(".//q:qti-assessment-section", Q)
    assert section.find("q:qti-selection", Q).get("select") == "2"
    assert section.find("q:qti-ordering", Q).get("shuffle") == "true"
    refs = section.findall("q:qti-assessment-item-ref", Q)
    assert [r.get("href") for r in refs] == [f"{item.identifier}.xml" for item in drawn.items]
    assert [r.find("q:qti-weight", Q).get("value") for r in refs] == ["1", "1", "1"]


def test_students_see_neither_feedback_nor_caution_during_the_test(tmp_path, members):
    write_package("qti30", samples.RELEASE, tmp_path / "p.zip")
    test = etree.fromstring(members(tmp_path / "p.zip")["test-nt210-quiz-3-2027-spring.xml"])

    control = dict(test.find(".//q:qti-item-session-control", Q).attrib)
    assert control == {"max-attempts": "1", "show-feedback": "false", "show-solution": "false"}
    (rubric,) = test.findall(".//q:qti-rubric-block", Q)
    assert "candidate" not in rubric.get("view").split()
    assert "sign for them" in "".join(rubric.itertext())


@pytest.mark.parametrize("name", ITEMS)
def test_the_correct_response_is_the_whole_key(name):
    item = ITEMS[name]
    declared = [v.text for v in parsed(item).findall(".//q:qti-correct-response/q:qti-value", Q)]
    key = answers(item)[0]

    assert tuple(declared) == key.given
    assert len(declared) == 1 or not isinstance(item.response, ListEntry)


@pytest.mark.parametrize("math", ["mathml", "text"])
@pytest.mark.parametrize(("item", "answer"), CASES)
def test_the_audit_scores_an_answer_as_the_item_says(item, answer, math):
    grade = qti3.seen_item(parsed(item, math)).grade(answer.given)

    shown = {"SOLUTION=worked"} | ({f"FEEDBACK=slip-{answer.slip}"} if answer.slip else set())
    assert (grade.score, grade.shown, grade.otherwise) == (Fraction(answer.score), shown, ())


def test_every_entry_field_is_labelled():
    for item in (samples.INTEGER, samples.COUNT, samples.LIST, samples.SET):
        fields = parsed(item).findall(".//q:qti-text-entry-interaction", Q)
        labels = [field.get("aria-label") for field in fields]

        assert all(labels) and len(set(labels)) == len(labels)
        assert [f.getparent().text.strip().rstrip(":") for f in fields] == labels
