"""Pools of a course: the same questions, with worked solutions in its notation and methods."""

from dataclasses import replace
from pathlib import Path

import pytest

from itembank.kinds.table import SIGNATURES
from itembank.notation import plain
from itembank.pipeline import making
from itembank.spec import find_families, library, load_pool, shelf_beside

ITEMS = """\
  - {family: quadratic-two-prime-powers, variants: 4, form: list}
  - {family: system-quadratic-and-linear, variants: 4, form: list}
  - {family: linear-several-solutions, variants: 4, form: list}
"""

NOTATIONS = (
    "notation: {residues: symmetric, mod: mod n}\nmethods: {combine: substitution, roots: trial}\n",
    "notation: {congruent: words}\nmethods: {lift: substitute, inverse: Euclid backwards}\n",
)


def pool(folder: Path, course: str):
    path = folder / "practice.yaml"
    path.write_text(
        f"id: practice\ntitle: Practice\ncourse: {course}\nseed: tests\nitems:\n{ITEMS}",
        encoding="utf-8",
    )
    shipped = find_families([library() / "families"])
    return load_pool(path, shelf_beside(path, shipped, SIGNATURES))


def taught_pool(folder: Path, says: str):
    (folder / "course.yaml").write_text(f"name: NT 210\n{says}", encoding="utf-8")
    return pool(folder, "course.yaml")


def items_of(pool):
    groups = making.released(pool, "2027-spring").groups
    return [item for group in groups for item in group.items]


@pytest.mark.parametrize("says", NOTATIONS)
def test_a_course_changes_the_working_and_its_effort_alone(tmp_path, says):
    usual = items_of(pool(tmp_path, "NT 210"))
    taught = items_of(taught_pool(tmp_path, says))

    assert [t.identifier for t in taught] == [u.identifier for u in usual]
    assert [replace(t, solution=(), steps=0) for t in taught] == [
        replace(u, solution=(), steps=0) for u in usual
    ]
    assert all(t.solution != u.solution for t, u in zip(taught, usual, strict=True))
    assert [t.steps for t in taught] != [u.steps for u in usual]


@pytest.mark.parametrize("says", NOTATIONS)
def test_the_audit_agrees_in_the_notation_of_a_course(tmp_path, says):
    (tmp_path / "out").mkdir()
    made = making.make(
        taught_pool(tmp_path, says), "2027-spring", tmp_path / "out", ("qti21", "cc13", "html")
    )

    assert all(report.clean and report.items for _written, report in made.packages)


def test_a_solution_names_the_residues_nearest_to_0(tmp_path):
    for item in items_of(taught_pool(tmp_path, NOTATIONS[0])):
        text = plain.blocks(item.solution)
        assert " mod " in text and "(mod" not in text.partition("Answer.")[2]
