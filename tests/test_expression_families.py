"""The families of remainders of expressions, of one congruence in two unknowns, of equations over
the integers and of least exponents, from their files to audited packages."""

from pathlib import Path

import pytest

from exporters.formats import write_package
from itembank.audit import audit_package
from itembank.pipeline import appraisal, making
from itembank.pipeline.sampling import ENOUGH
from itembank.spec import load_pool
from tests.shipped import FAMILIES as SHIPPED

FAMILIES = Path(__file__).parents[1] / "specs" / "families"
KINDS = ("remainder", "linear_in_two", "diophantine", "natural_count", "least_exponent")
FILES = sorted(path for path in SHIPPED.paths.values() if SHIPPED[path.stem].kind in KINDS)
VARIANTS = 4

POOL = """\
id: expressions
title: Expressions
course: NT 210 Elementary Number Theory, Alder Ford College
language: LANGUAGE
seed: alder-ford-expressions
rests: 2
items:
"""


@pytest.mark.parametrize("path", FILES, ids=[path.stem for path in FILES])
def test_a_family_has_no_fault_and_enough_variants(path: Path) -> None:
    report = appraisal.family_report(path)

    assert report.faults == ()
    assert report.capacity and report.capacity.variants >= ENOUGH


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_has_two_families(kind: str) -> None:
    assert [SHIPPED[path.stem].kind for path in FILES].count(kind) >= 2


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("format_", ["qti21", "qti30", "qti12", "cc13"])
def test_every_family_in_every_form_is_released_and_its_package_audited(
    format_: str, language: str, tmp_path: Path
) -> None:
    families = [SHIPPED[path.stem] for path in FILES]
    for form in sorted({form for family in families for form in family.forms}):
        chosen = [family for family in families if form in family.forms]
        lines = [
            f"  - {{family: {family.id}, variants: {VARIANTS}, points: 2, form: {form}}}\n"
            for family in chosen
        ]
        pool = tmp_path / f"expressions-{form.replace(' ', '-')}.yaml"
        text = POOL.replace("id: expressions", f"id: {pool.stem}").replace("LANGUAGE", language)
        pool.write_text(text + "".join(lines))

        release = making.released(load_pool(pool, SHIPPED), "2027-spring")
        package = tmp_path / f"{pool.stem}-{format_}.zip"
        write_package(format_, release, package)
        report = audit_package(package)

        assert report.clean, report.as_text()
        assert report.count("agreed") == VARIANTS * len(chosen)
