"""The families of applications (ciphers, calendars, primes in factorials, ...), from their files
to audited packages in both default formats."""

import re
from itertools import islice
from pathlib import Path
from typing import Any

import pytest

from exporters.formats import write_package
from exporters.release import Release
from itembank.audit import audit_package
from itembank.pipeline import appraisal, making
from itembank.pipeline.sampling import ENOUGH
from itembank.pipeline.selection import fits
from itembank.pipeline.variants import Stream
from itembank.spec import library, load_pool
from itembank.values.vocabulary import USUAL_FORMATS
from tests.shipped import FAMILIES as SHIPPED

FAMILIES = Path(__file__).parents[1] / "specs" / "families"
TOPICS = ("ciphers", "decimals", "digits", "primes", "calendar")
FILES = sorted(path for topic in TOPICS for path in (FAMILIES / topic).glob("*.yaml"))
VARIANTS = 3


POOL = """\
id: applications
title: Applications
course: NT 210 Elementary Number Theory, Alder Ford College
language: LANGUAGE
seed: alder-ford-applications
rests: 2
items:
"""


@pytest.mark.parametrize("path", FILES, ids=[path.stem for path in FILES])
def test_a_family_has_no_fault_and_enough_variants(path: Path) -> None:
    report = appraisal.family_report(path)

    assert report.faults == ()
    assert report.capacity and (report.capacity.variants >= ENOUGH or SHIPPED[path.stem].small)


def test_each_kind_has_two_families() -> None:
    families = [SHIPPED[path.stem] for path in FILES]
    kinds = [family.kind for family in families if not family.parts]
    beyond_examples = {f.kind for f in families if not f.parts and f.ask != "an example"}

    assert [kind for kind in sorted(beyond_examples) if kinds.count(kind) < 2] == []


BLOCKS = [path for path in FILES if "block-" in path.stem or "encrypted" in path.stem]
EXCHANGES = [path for path in FILES if path.stem.startswith("shared-key")]


@pytest.mark.parametrize("path", BLOCKS + EXCHANGES, ids=[p.stem for p in BLOCKS + EXCHANGES])
def test_no_number_of_the_question_is_the_key_if_it_is_copied(path: Path) -> None:
    family = SHIPPED[path.stem]

    for variant in islice(Stream(family, "copied", fits(family, family.forms[0])), 25):
        copied = re.split(r" with | base | mod |crypt ", variant.problem.statement[0])[1]
        assert str(variant.answer) not in re.findall(r"\d+", copied)


def test_the_largest_class_of_primes_is_not_known_beforehand() -> None:
    """Modulo p = -1 (mod 4a) the symbol (a/p) is 1 for every a > 0: no question is left."""
    (path,) = FAMILIES.glob("*/residue-primes-largest.yaml")
    family = SHIPPED[path.stem]

    for variant in islice(Stream(family, "largest", fits(family, "integer")), 20):
        problem: Any = variant.problem
        assert problem.number < 0


@pytest.mark.parametrize("topic", TOPICS)
@pytest.mark.parametrize(("format_", "language"), [("qti21", "en"), ("cc13", "de")])
def test_every_family_in_every_form_is_released_and_its_package_audited(
    format_: str, language: str, topic: str, tmp_path: Path
) -> None:
    read = [SHIPPED[path.stem] for path in FILES if path.parent.name == topic]
    families = [family for family in read if not family.parts]  # forms and points of their own
    for form in sorted({form for family in families for form in family.forms}):
        chosen = [family for family in families if form in family.forms]
        lines = [
            f"  - {{family: {family.id}, variants: {VARIANTS}, points: 2, form: {form}}}\n"
            for family in chosen
        ]
        pool = tmp_path / f"{topic}-{form.replace(' ', '-')}.yaml"
        text = POOL.replace("id: applications", f"id: {pool.stem}").replace("LANGUAGE", language)
        pool.write_text(text + "".join(lines))

        release = making.released(load_pool(pool, SHIPPED), "2027-spring")
        package = tmp_path / f"{pool.stem}-{format_}.zip"
        write_package(format_, release, package)
        report = audit_package(package)

        assert report.clean, report.as_text()
        assert report.count("agreed") == VARIANTS * len(chosen)


COURSE = ("ciphers-homework", "keys-quiz", "cryptography-final")
"""The pools of a course on cryptography for beginners."""


@pytest.fixture(scope="module", params=COURSE)
def release(request: pytest.FixtureRequest) -> Release:
    pool = load_pool(library() / "pools" / f"{request.param}.yaml", SHIPPED)
    return making.released(pool, "2027-spring")


@pytest.mark.parametrize("format_", USUAL_FORMATS)
def test_a_course_on_ciphers_is_made_and_audited_in_both_default_formats(
    format_: str, release: Release, tmp_path: Path
) -> None:
    package = tmp_path / f"{release.pool_id}-{format_}.zip"
    write_package(format_, release, package)
    report = audit_package(package)

    assert report.clean, report.as_text()
    assert report.count("agreed") == sum(len(tuple(group.items)) for group in release.groups)
    assert release.course.startswith("CR 110 Cryptography for Beginners")


def test_the_titles_that_students_see_name_no_method(release: Release) -> None:
    seen = {item.title.split(" (")[0] for group in release.groups for item in group.items}

    assert seen <= {
        "A cipher",
        "A key",
        "A check digit",
        "Check digits",
        "A weekday",
        "A test for primes",
    }
