"""The families about units modulo m, from their files to audited packages."""

from pathlib import Path

import pytest

from exporters.formats import write_package
from itembank.audit import audit_package
from itembank.pipeline import making
from itembank.spec import load_pool
from tests.shipped import FAMILIES as SHIPPED
from tests.shipped import STAGES

FAMILIES = Path(__file__).parents[1] / "specs" / "families"
TOPICS = ("inverses", "powers", "factorials", "orders", "primitive-roots", "indices")
FILES = [path for topic in TOPICS for path in sorted((FAMILIES / topic).glob("*.yaml"))]
VARIANTS = 4

POOL = """\
id: units
title: Units
course: NT 210 Elementary Number Theory, Alder Ford College
language: en
seed: alder-ford-units
rests: 2
items:
"""


def points(family: str, form: str) -> int:
    """2, and of a guided question one for each stage."""
    return STAGES[family] if form == "guided" else 2


def test_there_are_families_for_every_topic() -> None:
    assert len(FILES) >= 14
    assert {path.parent.name for path in FILES} == set(TOPICS)


@pytest.mark.parametrize("format_", ["qti21", "cc13"])
def test_every_family_in_every_form_is_released_and_its_package_audited(
    format_: str, tmp_path: Path
) -> None:
    read = [SHIPPED[path.stem] for path in FILES]
    families = [family for family in read if not family.parts]  # forms and points of their own
    for form in sorted({form for family in families for form in family.forms}):
        chosen = [family for family in families if form in family.forms]
        lines = [
            f"  - {{family: {family.id}, variants: {VARIANTS}, points: {points(family.id, form)}, "
            f"form: {form}}}\n"
            for family in chosen
        ]
        pool = tmp_path / f"units-{form.replace(' ', '-')}.yaml"
        pool.write_text(POOL.replace("id: units", f"id: {pool.stem}") + "".join(lines))

        release = making.released(load_pool(pool, SHIPPED), "2027-spring")
        package = tmp_path / f"{pool.stem}-{format_}.zip"
        write_package(format_, release, package)
        report = audit_package(package)

        assert report.clean, report.as_text()
        assert report.count("agreed") == VARIANTS * len(chosen)
