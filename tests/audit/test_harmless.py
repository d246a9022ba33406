"""A sample of changes of XML: what the audit agrees to has a reason, or a comparison tells it.

The whole run is `tests/bench/mutants.py`.
"""

import random
import zipfile
from functools import cache
from itertools import islice
from pathlib import Path

import pytest

from exporters.formats import FORMATS, write_package
from exporters.release import Group, Release
from itembank.audit import audit_package
from itembank.audit.against import compared
from itembank.kinds.table import SIGNATURES
from itembank.pipeline.selection import fits, item_of
from itembank.pipeline.variants import Stream
from itembank.spec import PoolEntry, find_families, library, load_family
from itembank.values.errors import PackageError
from tests.audit.harmless import REASONS, reason, reason_if_same
from tests.audit.mutation import Members, mutant, places

TRIED = 24


@cache
def release() -> Release:
    family = load_family(
        find_families([library() / "families"])["linear-several-solutions"], SIGNATURES
    )
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
    assert all(why for _what, _where, why in REASONS)
