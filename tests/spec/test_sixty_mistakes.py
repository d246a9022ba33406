"""Mistakes of authors, every message whole: the place, the cause, the remedy, the near miss.

Each is one change of a family, or of a pool, that is right; all that is told of it stands in
`mistakes.json`.
"""

import json
from pathlib import Path

import pytest

from itembank.kinds.table import SIGNATURES
from itembank.spec import load_family
from itembank.spec.pool import load_pool
from itembank.spec.shelf import shelf_beside
from itembank.values.errors import SpecError
from tests.spec.test_mistakes import FAMILY

POOL = """\
id: mine
title: Mine
course: NT 1
language: en
seed: mine
items:
  - {family: fam, variants: 4, choose: 2, points: 2, form: list}
"""

RECORDED = json.loads((Path(__file__).parent / "mistakes.json").read_text(encoding="utf-8"))
OF_FAMILIES, OF_POOLS = RECORDED["families"], RECORDED["pools"]


def told(path: Path, error: SpecError) -> list[str]:
    return [str(fault).removeprefix(f"{path}:") for fault in error.faults]


def test_there_are_enough():
    assert len(OF_FAMILIES) + len(OF_POOLS) >= 60


@pytest.mark.parametrize(("right", "wrong", "faults"), OF_FAMILIES, ids=lambda x: str(x)[:30])
def test_a_mistake_in_a_family(right: str, wrong: str, faults: list[str], tmp_path: Path):
    path = tmp_path / "fam.yaml"
    path.write_text(FAMILY.replace(right, wrong, 1), encoding="utf-8")

    with pytest.raises(SpecError) as raised:
        load_family(path, SIGNATURES)

    assert told(path, raised.value) == faults


@pytest.mark.parametrize(("right", "wrong", "faults"), OF_POOLS, ids=lambda x: str(x)[:30])
def test_a_mistake_in_a_pool(right: str, wrong: str, faults: list[str], tmp_path: Path):
    family, path = tmp_path / "fam.yaml", tmp_path / "mine.yaml"
    family.write_text(FAMILY, encoding="utf-8")
    path.write_text(POOL.replace(right, wrong, 1), encoding="utf-8")
    shelf = shelf_beside(path, {"fam": family}, SIGNATURES)

    with pytest.raises(SpecError) as raised:
        load_pool(path, shelf)

    assert told(path, raised.value) == faults
