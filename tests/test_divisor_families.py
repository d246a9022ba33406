"""The families about divisors and multiples, from their files to audited packages."""

from itertools import islice
from pathlib import Path
from typing import Any

import pytest

from exporters.formats import write_package
from itembank.audit import audit_package
from itembank.pipeline import appraisal, making
from itembank.pipeline.sampling import ENOUGH
from itembank.pipeline.variants import Stream
from itembank.spec import load_pool
from tests.shipped import FAMILIES as SHIPPED
from tests.shipped import STAGES

FAMILIES = Path(__file__).parents[1] / "specs" / "families"
FILES = sorted((FAMILIES / "divisors").glob("*.yaml"))
VARIANTS = 4

POOL = """\
id: divisors
title: Divisors
course: NT 210 Elementary Number Theory, Alder Ford College
language: LANGUAGE
seed: alder-ford-divisors
rests: 2
items:
"""


def points(family: str, form: str) -> int:
    """2, and of a guided question one for each stage."""
    return STAGES[family] if form == "guided" else 2


@pytest.mark.parametrize("path", FILES, ids=[path.stem for path in FILES])
def test_a_family_has_no_fault_and_enough_variants(path: Path) -> None:
    report = appraisal.family_report(path)

    assert report.faults == ()
    assert report.capacity and report.capacity.variants >= ENOUGH


def test_each_kind_has_two_families() -> None:
    kinds = [SHIPPED[path.stem].kind for path in FILES]

    assert kinds.count("gcd") >= 2
    assert kinds.count("lcm") >= 2


def test_the_effort_of_a_variant_counts_the_digits_of_its_largest_number() -> None:
    """There is no modulus whose digits could be counted."""
    family = SHIPPED[FILES[0].stem]

    for variant in islice(Stream(family, "alder-ford", lambda _found: None), 20):
        problem: Any = variant.problem
        assert variant.effort.digits == len(str(max(problem.numbers)))


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("format_", ["qti21", "qti30", "qti12", "cc13"])
def test_every_family_in_every_form_is_released_and_its_package_audited(
    format_: str, language: str, tmp_path: Path
) -> None:
    families = [SHIPPED[path.stem] for path in FILES]
    for form in sorted({form for family in families for form in family.forms}):
        chosen = [family for family in families if form in family.forms]
        lines = [
            f"  - {{family: {family.id}, variants: {VARIANTS}, points: {points(family.id, form)}, "
            f"form: {form}}}\n"
            for family in chosen
        ]
        pool = tmp_path / f"divisors-{form.replace(' ', '-')}.yaml"
        text = POOL.replace("id: divisors", f"id: {pool.stem}").replace("LANGUAGE", language)
        pool.write_text(text + "".join(lines))

        release = making.released(load_pool(pool, SHIPPED), "2027-spring")
        package = tmp_path / f"{pool.stem}-{format_}.zip"
        write_package(format_, release, package)
        report = audit_package(package)

        assert report.clean, report.as_text()
        assert report.count("agreed") == VARIANTS * len(chosen)
