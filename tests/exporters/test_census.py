"""What no format writes: each fault of an item or a group is one whole line."""

from dataclasses import replace

import pytest

from exporters.formats import FORMATS, write_package
from itembank.values.errors import ExportError
from itembank.values.item import Scoring, SelectAll, SelectOne
from tests.exporters import samples

OPTIONS = samples.SELECT_ALL.response.options
WRONG = tuple(o for o in OPTIONS if not o.correct)
TWO_RIGHT = SelectOne(options=OPTIONS[:4])


def with_slip(item, *response):
    return replace(item, feedback=(samples.slip("some-slip", response, "No."),))


@pytest.mark.parametrize("format", FORMATS)
@pytest.mark.parametrize(
    ("item", "fault"),
    [
        (
            replace(samples.SELECT_ALL, response=SelectAll(options=WRONG), feedback=()),
            "expected at least one right option, got none",
        ),
        (
            replace(samples.SELECT_ONE, response=TWO_RIGHT, feedback=()),
            "expected one right option, got 2",
        ),
        (
            replace(samples.INTEGER, scoring=Scoring(rule="plus minus", points=1)),
            "expected all or nothing for integer, got plus minus",
        ),
        (
            replace(samples.SELECT_ALL, scoring=Scoring(rule="plus minus", points=2)),
            "expected a point for each right option, got 2 points for 4 options",
        ),
        (
            replace(samples.SELECT_ALL, scoring=Scoring(points=0)),
            "expected points that can count 0 in its group, got 0 (all or nothing)",
        ),
        (
            with_slip(samples.SELECT_ALL, "r7", "r8"),
            "slip some-slip: expected options of the item, got ['r7', 'r8']",
        ),
        (
            with_slip(samples.SELECT_ALL),
            "slip some-slip: expected options of the item, got []",
        ),
        (
            with_slip(samples.TRUE_FALSE, "yes"),
            "slip some-slip: expected options of the item, got ['yes']",
        ),
        (
            with_slip(samples.SELECT_ONE, "a", "c"),
            "slip some-slip: expected one answer, got ['a', 'c']",
        ),
        (with_slip(samples.INTEGER, 7, 8), "slip some-slip: expected one answer, got [7, 8]"),
        (
            with_slip(samples.TRUE_FALSE, "false"),
            "slip some-slip: expected a wrong answer, got the key",
        ),
        (with_slip(samples.INTEGER, 19), "slip some-slip: expected a wrong answer, got the key"),
        (
            with_slip(samples.SELECT_ALL, "r101", "r88", "r20", "r7"),
            "slip some-slip: expected a wrong answer, got the key",
        ),
        (
            with_slip(samples.LIST_EMPTY),
            "slip some-slip: expected a wrong answer, got the key",
        ),
    ],
)
def test_an_item_that_contradicts_itself_is_refused(tmp_path, format, item, fault):
    with pytest.raises(ExportError) as refused:
        write_package(format, samples.release(samples.group(item)), tmp_path / "p.zip")
    origin = item.provenance
    assert str(refused.value) == (
        f"{format}: item {item.identifier} (family {origin.family}, variant {origin.index}):"
        f" {fault}"
    )
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("format", FORMATS)
def test_an_item_stands_once_in_a_release(tmp_path, format):
    groups = (samples.group(samples.LIST), samples.group(samples.LIST))
    with pytest.raises(ExportError) as refused:
        write_package(format, samples.release(*groups), tmp_path / "p.zip")
    assert str(refused.value) == (
        f"{format}: item {samples.LIST.identifier} (family linear-several, variant 2): expected"
        " each item once, got it twice"
    )


@pytest.mark.parametrize("format", FORMATS)
@pytest.mark.parametrize("choose", [0, 3])
def test_a_draw_is_from_the_items_there_are(tmp_path, format, choose):
    group = samples.group(samples.LIST, samples.LIST_EMPTY, choose=choose)
    with pytest.raises(ExportError) as refused:
        write_package(format, samples.release(group), tmp_path / "p.zip")
    assert str(refused.value) == (
        f"{format}: group linear-several: expected at least as many items as are drawn, got"
        f" 2 items and a draw of {choose}"
    )


@pytest.mark.parametrize("format", FORMATS)
def test_points_that_the_stem_states_are_those_of_the_group(tmp_path, format):
    group = replace(samples.group(samples.LIST), points=2)
    with pytest.raises(ExportError) as refused:
        write_package(format, samples.release(group), tmp_path / "p.zip")
    assert str(refused.value).endswith(
        "expected points that can count 2 in its group, got 1 (all or nothing)"
    )


@pytest.mark.parametrize("points", [1, 6])
def test_a_guided_question_counts_what_its_stages_count(tmp_path, points):
    group = replace(samples.group(samples.GUIDED), points=points)
    with pytest.raises(ExportError) as refused:
        write_package("qti30", samples.release(group), tmp_path / "p.zip")
    assert str(refused.value).endswith(
        f"expected points that can count {points} in its group, got 3 (by stage); say in the pool"
        " what its stages count"
    )
