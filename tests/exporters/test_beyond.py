"""Every form in QTI 2.1 and 2.2, also what some formats do not carry: graded as the item says.

A typed set in any order and by any representative, steps in order, pairs, stages; QTI 3.0 has
the same in test_qti30.py, and in real readers in tests/browser.
"""

from fractions import Fraction

import pytest
from lxml import etree

from exporters import qti21, qti22
from exporters.formats import write_package
from exporters.qti2 import assessment_item
from exporters.setting import Setting
from exporters.xml import serialised
from itembank.audit import qti2
from tests.exporters import samples
from tests.exporters.attempts import answers

VERSIONS = [qti21.VERSION, qti22.VERSION]


CASES = [
    pytest.param(item, answer, id=f"{name}: {answer.name}")
    for name, item in {**samples.ITEMS, **samples.BEYOND, **samples.NUMBERS}.items()
    for answer in answers(item)
]


def document(version, item=samples.SET):
    element = assessment_item(item, version, Setting("html", version.namespace, "en"))
    return etree.fromstring(serialised(element, "here"))


@pytest.mark.parametrize("version", VERSIONS, ids=lambda v: v.format)
@pytest.mark.parametrize(("item", "answer"), CASES)
def test_the_audit_scores_an_answer_as_the_item_says(version, item, answer):
    grade = qti2.seen_item(document(version, item)).grade(answer.given)

    shown = {"SOLUTION=worked"} | ({f"FEEDBACK=slip-{answer.slip}"} if answer.slip else set())
    assert (grade.score, grade.shown, grade.otherwise) == (Fraction(answer.score), shown, ())


@pytest.mark.parametrize("version", VERSIONS, ids=lambda v: v.format)
def test_each_entry_has_a_label_of_its_own_and_the_key_its_values(version):
    root = document(version)
    fields = list(root.iter("{*}textEntryInteraction"))
    labels = [field.getparent().text for field in fields]

    assert len(fields) == len(set(labels)) == samples.SET.response.entries
    values = [v.text for v in root.iter("{*}responseDeclaration") for v in v.iter("{*}value")]
    assert values == ["4", "9", "14"]


@pytest.mark.parametrize("format", ["qti21", "qti22"])
@pytest.mark.parametrize("math", ["mathml", "html", "tex", "text"])
def test_packages_are_valid_by_the_published_schemas(tmp_path, findings, format, math):
    release = samples.release(*(samples.group(item) for item in samples.BEYOND.values()))
    write_package(format, release, tmp_path / "p.zip", math, "quiz")

    assert findings(tmp_path / "p.zip") == []
