"""Packages by hand: what the audit says of a package as a whole."""

import pytest

from itembank.audit import audit_package
from tests.audit.handmade import (
    ENTRY,
    MULTIPLE_RESPONSE,
    QTI,
    bank,
    cartridge_manifest,
    package,
    qti_item,
    qti_manifest,
    report_on,
)


def test_items_are_reported_in_the_order_of_the_manifest_with_their_counts(tmp_path):
    report = report_on(
        tmp_path,
        qti_item(identifier="a"),
        qti_item(identifier="b", key=("r7",)),
        qti_item(identifier="c", interaction=ENTRY),
    )

    assert [(i.identifier, i.status) for i in report.items] == [
        ("a", "agreed"), ("b", "disagreed"), ("c", "unchecked"),
    ]  # fmt: skip
    assert report.as_text().splitlines() == [
        "a.zip: 3 items: 1 agreed, 1 unchecked, 1 disagreed",
        "b: key: expected 7, 20, 88, 101, got 7",
        "c: unchecked: textEntryInteraction of a multiple identifier",
    ]


def test_an_identifier_that_stands_twice_is_found(tmp_path):
    line = "item-1: expected each identifier once, got it twice"

    assert findings_of_two(tmp_path, qti_item(), qti_item()) == (line,)
    assert findings_of_two(tmp_path, MULTIPLE_RESPONSE, MULTIPLE_RESPONSE) == (line,)


def findings_of_two(tmp_path, one, two):
    return report_on(tmp_path, one, two).findings


ITEM = {"item-0.xml": qti_item()}
TEST = f'<assessmentTest xmlns="{QTI}"><testPart>{{}}</testPart></assessmentTest>'.format
SECTION = '<assessmentSection identifier="s1">{}</assessmentSection>'.format
REF = '<assessmentItemRef identifier="i" href="{}"/>'.format


def manifest_with_test():
    test = '<resource identifier="t" type="imsqti_test_xmlv2p1" href="test.xml">'
    return qti_manifest("item-0.xml").replace(
        "<resources>", f'<resources>{test}<file href="test.xml"/></resource>'
    )


@pytest.mark.parametrize(
    ("members", "lines"),
    [
        (
            {"imsmanifest.xml": qti_manifest("item-0.xml", "item-1.xml"), **ITEM},
            ["imsmanifest.xml: expected the file item-1.xml, it is not there"],
        ),
        (
            {"imsmanifest.xml": qti_manifest("item-0.xml"), **ITEM, "left.xml": qti_item()},
            ["left.xml: expected every file in the manifest, this one is not"],
        ),
        (
            {"imsmanifest.xml": qti_manifest("item-0.xml"), "item-0.xml": TEST("")},
            [
                "item-0.xml: expected an assessmentItem, got assessmentTest",
                "a.zip: expected items, got none",
            ],
        ),
        (
            {
                "imsmanifest.xml": qti_manifest("item-0.xml", kind="imsqti_item_xmlv9p0"),
                **ITEM,
            },
            [
                "imsmanifest.xml: resource res-0: the type imsqti_item_xmlv9p0 is not read",
                "a.zip: expected items, got none",
            ],
        ),
        (
            {
                "imsmanifest.xml": manifest_with_test(),
                **ITEM,
                "test.xml": TEST(SECTION(REF("item-0.xml") + REF("item-7.xml"))),
            },
            ["test.xml: expected the item item-7.xml in the package, it is not there"],
        ),
        (
            {
                "imsmanifest.xml": manifest_with_test(),
                **ITEM,
                "test.xml": TEST(SECTION('<selection select="2"/>' + REF("item-0.xml"))),
            },
            ["test.xml: section s1: expected to select at most 1, got 2"],
        ),
        ({"imsmanifest.xml": qti_manifest()}, ["a.zip: expected items, got none"]),
        (
            {"imsmanifest.xml": cartridge_manifest(), "bank.xml": bank()},
            ["a.zip: expected items, got none"],
        ),
    ],
)
def test_what_is_wrong_with_the_package_itself_is_found(tmp_path, members, lines):
    report = audit_package(package(tmp_path / "a.zip", members))

    assert set(lines) <= set(report.findings), "beside what else such a bare package lacks"
    assert not report.clean
