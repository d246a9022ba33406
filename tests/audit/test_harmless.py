"""A sample of changes of XML: what the audit agrees to has a reason, or a comparison tells it.

The whole run is `tests/bench/mutants.py`.
"""

import random
import re
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import islice
from pathlib import Path

import pytest

from exporters.formats import FORMATS, write_package
from exporters.release import Group, Release
from itembank.audit import audit_package
from itembank.audit.against import compared
from itembank.notation.prose import paragraph
from itembank.pipeline.selection import fits, item_of
from itembank.pipeline.variants import Stream
from itembank.spec import PoolEntry
from itembank.values.errors import PackageError
from tests.audit.harmless import REASONS, SAME, reason, reason_if_same
from tests.audit.mutation import Members, Mutant, described, mutant, places
from tests.exporters import samples
from tests.shipped import FAMILIES

TRIED = 24


@cache
def release() -> Release:
    family = FAMILIES["linear-several-solutions"]
    (variant,) = islice(Stream(family, "mutants", fits(family)), 1)
    entry = PoolEntry.model_construct(family=family, variants=1, choose=1, points=1, form="list")
    group = Group(
        family=family.id, title=family.title, items=(item_of(variant, entry),), choose=1, points=1
    )
    return Release(
        pool_id="one", title="One question", course="NT 210", term="2027-spring",
        language="en", groups=(group,),
    )  # fmt: skip


def agreed(path: Path) -> bool:
    try:
        return audit_package(path).clean
    except PackageError:
        return False


def write(path: Path, members: Members) -> Path:
    with zipfile.ZipFile(path, "w") as z:
        for name, data in members.items():
            z.writestr(name, data)
    return path


@pytest.mark.parametrize("name", [name for name in FORMATS if name != "latex"])
def test_what_passes_is_harmless_or_told_by_a_comparison(tmp_path, name):
    released = tmp_path / "released.zip"
    write_package(name, release(), released)
    assert agreed(released)
    with zipfile.ZipFile(released) as z:
        members = {n: z.read(n) for n in z.namelist()}
    for place in random.Random(name).sample(list(places(members, tuple(members))), TRIED):
        changed = mutant(members, place)
        path = write(tmp_path / "p.zip", changed.members)
        if agreed(path) and not reason(changed):
            told = not compared(path, released).clean
            assert told or reason_if_same(changed), (changed.what, changed.where)


def test_every_reason_is_said():
    assert all(entry[-1] for entry in (*REASONS, *SAME))


CARRIED = {
    "cc13": [*samples.ITEMS.values()],
    "qti21": [*samples.ITEMS.values(), *samples.BEYOND.values()],
    "qti30": [
        replace(samples.INTEGER, otherwise=(paragraph("Substitute it."),)),
        samples.SELECT_ONE,
        samples.GUIDED,
    ],
    "html": [samples.SELECT_ONE, samples.SET, samples.GUIDED],
}


def every_change(folder: Path) -> Iterator[Mutant]:
    """What can be changed in an item of each form, each kind of change once."""
    for name, items in CARRIED.items():
        write_package(name, samples.release(*map(samples.group, items)), folder / name)
        with zipfile.ZipFile(folder / name) as z:
            yield from described({n: z.read(n) for n in z.namelist()})


def test_no_entry_is_of_changes_that_nobody_makes(tmp_path):
    left = {(what, where, "", why) for what, where, why in REASONS} | {*SAME}
    for what, where, told in {(m.what, m.where, m.told) for m in every_change(tmp_path)}:
        left -= {
            entry
            for entry in left
            if re.search(entry[0], what)
            and re.search(entry[1], where)
            and re.search(entry[2], told)
        }

    assert left == set()


@pytest.mark.parametrize(
    ("what", "where", "told"),
    [
        ("element deleted", "item mrow/mrow/mo", "mo +"),
        ("element deleted", "item mrow/mrow/mn", "mn 5"),
        ("element moved", "item mrow/mrow/mn", "mn 5 past mo +"),
        ("element moved", "item mrow/mrow/mi", "mi x past mn 2"),
        ("element deleted", "item responseCondition/responseElse/setOutcomeValue",
         "setOutcomeValue FEEDBACK otherwise"),
        ("element deleted", "item responseCondition/responseElseIf/setOutcomeValue",
         "setOutcomeValue FEEDBACK slip-1"),
        ("element deleted", "item assessmentItem/outcomeDeclaration",
         "outcomeDeclaration FEEDBACK single identifier"),
        ("number in attribute", "item responseElseIf/patternMatch@pattern", "patternMatch ^0*5$"),
        ("number in text", "key html/body/p", "p A student gets 1 of 2 questions."),
        ("word in text", "questions html/body/p", "p Unless a question says otherwise"),
    ],
)  # fmt: skip
def test_what_is_seen_or_graded_is_no_entry(what, where, told):
    mutant = Mutant(what, where, {}, told)

    assert not reason(mutant)
    assert not reason_if_same(mutant)
