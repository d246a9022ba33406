"""The families of systems, pairs, lifting steps, roots, counts: from files to audited packages."""

from pathlib import Path

import pytest

from exporters.formats import write_package
from itembank.audit import audit_package
from itembank.pipeline import making
from itembank.spec import load_pool
from tests.shipped import FAMILIES as SHIPPED
from tests.shipped import STAGES

FAMILIES = Path(__file__).parents[1] / "specs" / "families"
KINDS = ("system", "linear_pair", "lifting_step", "power_root", "solution_count")
TOPICS = ("systems", "two-unknowns", "lifting", "roots", "counting")
FILES = [path for topic in TOPICS for path in sorted((FAMILIES / topic).glob("*.yaml"))]
LOADED = [family for path in FILES if (family := SHIPPED[path.stem]).kind in KINDS]
VARIANTS = 4

POOL = """\
id: {id}
title: Congruences
course: NT 210 Elementary Number Theory, Alder Ford College
language: en
seed: alder-ford-congruences
rests: 2
items:
"""


def points(family: str, form: str) -> int:
    """2, and of a guided question one for each stage."""
    return STAGES[family] if form == "guided" else 2


def test_every_kind_has_families() -> None:
    least = {"system": 4, "linear_pair": 2, "lifting_step": 2, "power_root": 4, "solution_count": 2}

    for kind, n in least.items():
        assert sum(family.kind == kind for family in LOADED) >= n, kind


@pytest.mark.parametrize("form", sorted({form for family in LOADED for form in family.forms}))
def test_every_family_in_every_form_is_released_and_its_packages_audited(
    form: str, tmp_path: Path
) -> None:
    chosen = [family for family in LOADED if form in family.forms]
    pool = tmp_path / f"congruences-{form.replace(' ', '-')}.yaml"
    lines = [
        f"  - {{family: {family.id}, variants: {VARIANTS}, points: {points(family.id, form)}, "
        f"form: {form}}}\n"
        for family in chosen
    ]
    pool.write_text(POOL.format(id=pool.stem) + "".join(lines))
    release = making.released(load_pool(pool, SHIPPED), "2027-spring")

    for format_ in ("qti21", "cc13"):
        package = tmp_path / f"{pool.stem}-{format_}.zip"
        write_package(format_, release, package)
        report = audit_package(package)
        assert report.clean, report.as_text()
        assert report.count("agreed") == VARIANTS * len(chosen)
