"""No formula is read from text on the way from a family to its packages."""

from itertools import islice

import pytest

from itembank.pipeline import compose, selection
from itembank.values.item import Provenance
from tests.bench.parser_calls import (
    Calls,
    calls_of_export,
    counted_items,
    lifting_homework,
    release_of,
)
from tests.shipped import FAMILIES

BUILT = [name for name in FAMILIES if FAMILIES[name].kind != "claim"]
"""A claim is read from its own words, once a variant: it has no other form."""


@pytest.mark.parametrize("name", BUILT)
def test_items_of_every_family_are_built_from_numbers(name):
    family = FAMILIES[name]
    before = Calls.so_far()
    for variant in islice(selection.Stream(family, "calls", selection.fits(family)), 2):
        at = Provenance(family=name, version=family.version, seed="calls", index=variant.index)
        for form in family.forms:
            said = selection.in_its_range(selection.wording(family, form, 1, at), variant)
            compose.compose(variant.problem, variant.solution, variant.slips, said)

    assert Calls.so_far().since(before).texts == 0


@pytest.fixture(scope="module")
def homework():
    """The release of the lifting homework, and the calls of each item by family."""
    pool = lifting_homework()
    found = {e.family.id: list(counted_items(e, pool, "calls")) for e in pool.entries}
    items = {name: [item for item, _calls in pairs] for name, pairs in found.items()}
    calls = {name: [c for _item, c in pairs] for name, pairs in found.items()}
    return release_of(pool, items), calls


def test_drawing_proving_and_composing_read_no_text(homework):
    _release, calls = homework

    assert {name: sum(c.texts for c in found) for name, found in calls.items()} == dict.fromkeys(
        calls, 0
    )


def test_a_sentence_is_read_once_and_not_for_each_item(homework):
    """Templates belong to the first items; another term of the pool reads hardly any."""
    pool = lifting_homework()
    again = [c for e in pool.entries for _item, c in counted_items(e, pool, "another term")]

    assert sum(c.templates for c in again) < len(again) / 4


@pytest.mark.parametrize("format", ["qti21", "cc13"])
def test_writing_a_package_with_worked_solutions_reads_no_text(homework, format, tmp_path):
    release, _calls = homework
    assert all(item.solution for group in release.groups for item in group.items)

    assert calls_of_export(release, format, tmp_path).texts == 0
    assert (tmp_path / f"{format}.zip").stat().st_size > 0
    assert calls_of_export(release, format, tmp_path) == Calls(texts=0, templates=0)
