"""The families about squares, symbols, units, phi and check digits, from their files to audited
packages."""

from pathlib import Path

import pytest

from exporters.formats import FORMATS, write_package
from itembank.audit import audit_package
from itembank.pipeline import appraisal, making
from itembank.pipeline.sampling import ENOUGH
from itembank.spec import load_pool
from tests.shipped import FAMILIES as SHIPPED
from tests.shipped import STAGES

FAMILIES = Path(__file__).parents[1] / "specs" / "families"
TOPICS = ("residues", "symbols", "units", "totient", "check-digits")
FILES = [path for topic in TOPICS for path in sorted((FAMILIES / topic).glob("*.yaml"))]
VARIANTS = 4

POOL = """\
id: residues
title: Residues
course: NT 210 Elementary Number Theory, Alder Ford College
language: en
seed: alder-ford-residues
rests: 2
items:
"""


def points(family: str, form: str) -> int:
    """2, and of a guided question one for each stage."""
    return STAGES[family] if form == "guided" else 2


def test_there_are_families_for_every_topic() -> None:
    assert len(FILES) >= 12
    assert {path.parent.name for path in FILES} == set(TOPICS)


@pytest.mark.parametrize("path", FILES, ids=[path.stem for path in FILES])
def test_a_family_has_no_fault_and_says_why_it_is_small(path: Path) -> None:
    family = SHIPPED[path.stem]
    report = appraisal.family_report(path)

    assert report.faults == ()
    assert report.capacity and report.capacity.slips
    assert (report.capacity.variants < ENOUGH) == bool(family.small)


@pytest.fixture(scope="module")
def releases(tmp_path_factory: pytest.TempPathFactory):
    """A release for each response form, of all families that have it."""
    families = [SHIPPED[path.stem] for path in FILES]
    folder = tmp_path_factory.mktemp("pools")
    found = {}
    for form in sorted({form for family in families for form in family.forms}):
        chosen = [family for family in families if form in family.forms]
        lines = [
            f"  - {{family: {family.id}, variants: {VARIANTS}, points: {points(family.id, form)}, "
            f"form: {form}}}\n"
            for family in chosen
        ]
        pool = folder / f"residues-{form.replace(' ', '-')}.yaml"
        pool.write_text(POOL.replace("id: residues", f"id: {pool.stem}") + "".join(lines))
        found[form] = making.released(load_pool(pool, SHIPPED), "2027-spring")
    return found


@pytest.mark.parametrize(
    ("format_", "math"),
    [(name, math) for name, f in FORMATS.items() for math in f.abilities.mathematics],
)
def test_every_family_in_every_form_is_agreed_in_every_format_and_dialect(
    format_: str, math: str, releases, tmp_path: Path
) -> None:
    for form, release in releases.items():
        package = tmp_path / f"{form.replace(' ', '-')}.zip"
        write_package(format_, release, package, math)
        report = audit_package(package)

        assert report.clean, report.as_text()
        items = sum(len(tuple(group.items)) for group in release.groups)
        assert report.count("agreed") == items >= VARIANTS


def test_true_and_false_are_both_common_among_the_claims(releases) -> None:
    truths = [item.response.truth for g in releases["solvable or not"].groups for item in g.items]

    assert 0.25 < sum(truths) / len(truths) < 0.75
