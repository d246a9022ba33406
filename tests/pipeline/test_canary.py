"""Canaries: first in every package, worth nothing, true, and showing every sign."""

from dataclasses import replace

import pytest

from exporters.formats import FORMATS, write_package
from exporters.release import Group, Release
from itembank.audit import audit_package
from itembank.languages import Speaker
from itembank.notation import plain
from itembank.notation.tree import Formula
from itembank.pipeline.canary import ASKED, canary, symbols, with_canaries
from itembank.values.vocabulary import FORMS
from tests.exporters import samples

RELEASE = Release(
    pool_id="check", title="Check", course="NT 210", term="2027-spring", language="en",
    groups=tuple(
        Group(family=form, title=form, items=(canary(form, 1, "en"),), choose=1, points=1)
        for form in FORMS
    ),
)  # fmt: skip


def test_there_is_one_for_each_form_of_the_vocabulary():
    first, *others = with_canaries(RELEASE).groups

    assert tuple(ASKED) == tuple(item.response.form for item in first.items) or set(ASKED) == set(
        FORMS
    )
    assert (first.points, first.choose, len(first.items)) == (0, len(FORMS), len(FORMS))
    assert tuple(others) == RELEASE.groups


def test_lines_of_which_some_are_spare_have_one_that_is_matched_too():
    """Both browser readers put all lines in order or none."""
    item = replace(canary("order", 1, "en"), response=samples.AMONG_OTHERS.response)
    group = Group(family="order", title="order", items=(item,), choose=1, points=1)
    first, *_others = with_canaries(replace(RELEASE, groups=(group,))).groups

    assert [item.response.form for item in first.items] == ["order", "match"]


def test_every_sign_of_relations_and_every_shape_is_shown():
    shown = "".join(
        plain.math(part.math)
        for block in symbols(Speaker())
        for part in block.content
        if isinstance(part, Formula)
    )

    for sign in "=≠≡≢<≤>≥∣∤∈±−·∅φ!′₁…":
        assert sign in shown, sign


@pytest.mark.parametrize("format", FORMATS)
def test_they_come_first_are_agreed_and_valid_in_every_format(tmp_path, findings, format):
    alone = replace(RELEASE, groups=with_canaries(RELEASE).groups[:1])
    for math in FORMATS[format].abilities.mathematics:
        path = tmp_path / f"{math}.zip"
        written = write_package(format, alone, path, math)
        report = audit_package(path)

        assert findings(path) == []
        assert (report.findings, report.count("agreed")) == ((), len(FORMS))
        assert [c.group.points for c in written.counts] == [0]


def test_they_weigh_nothing_where_a_weight_can_be_written(tmp_path, members):
    alone = replace(RELEASE, groups=with_canaries(RELEASE).groups[:1])
    for format, sign in (
        ("qti21", b'<weight identifier="POINTS" value="0"/>'),
        ("qti30", b'<qti-weight identifier="POINTS" value="0"/>'),
        ("qti12", b"<fieldlabel>points_possible</fieldlabel><fieldentry>0</fieldentry>"),
    ):
        write_package(format, alone, tmp_path / f"{format}.zip")
        written = b"".join(members(tmp_path / f"{format}.zip").values())

        assert written.count(sign) == len(FORMS), format
