"""Residues to tick, for every kind that asks for a set: from the family to audited packages."""

from dataclasses import replace
from pathlib import Path

import pytest

from exporters.formats import write_package
from exporters.release import Release
from itembank.audit import audit_package, claims
from itembank.audit.phrases import phrases_of
from itembank.kinds.table import SIGNATURES
from itembank.languages import Speaker
from itembank.pipeline import making
from itembank.spec import FamilyShelf, load_pool
from itembank.values.item import Item, SelectAll
from tests.shipped import FAMILIES, drawn

FAMILY = """\
id: all-of-them
version: 1
title: All of them
problem: {kind}
outcomes: [know-residues]
level: easy
parameters:
  m: {{integer: [6, 40]}}
where: ['solutions in {solutions}']
given: {{modulus: m}}
ask: all solutions
forms: [select all]
small: a test
"""
POOL = """\
id: quiz
title: Quiz
course: NT 210
seed: tests
items: [{family: all-of-them, variants: 3}]
"""
SETS = [
    ("units", "1..7"),
    ("zero_divisors", "1..7"),
    ("squares", "2..7"),
    ("quadratic_residues", "2..7"),
    ("primitive_roots", "1..7"),
    ("primitive_roots", "0..0"),
]


def released(kind: str, solutions: str, folder: Path) -> Release:
    family, pool = folder / "all-of-them.yaml", folder / "quiz.yaml"
    family.write_text(FAMILY.format(kind=kind, solutions=solutions), encoding="utf-8")
    pool.write_text(POOL, encoding="utf-8")
    return making.released(
        load_pool(pool, FamilyShelf({"all-of-them": family}, SIGNATURES)), "2027-spring"
    )


@pytest.mark.parametrize("format_", ["qti21", "qti30", "cc13", "html"])
@pytest.mark.parametrize(("kind", "solutions"), SETS)
def test_a_set_to_tick_leaves_with_its_option_that_there_is_none(
    kind: str, solutions: str, format_: str, tmp_path: Path
) -> None:
    package = tmp_path / "package.zip"
    write_package(format_, released(kind, solutions, tmp_path), package)

    report = audit_package(package)

    assert report.clean, report.as_text()
    assert report.count("agreed") == 3


def none_alone(item: Item) -> Item:
    """The item with "none" as its key."""
    response = item.response
    assert isinstance(response, SelectAll)
    options = tuple(replace(o, correct=o.none) for o in response.options)
    return replace(item, response=SelectAll(options=options), feedback=())


@pytest.mark.parametrize(("kind", "solutions"), SETS[:4])
def test_a_key_that_says_there_is_none_where_there_is_one_is_found_wrong(
    kind: str, solutions: str, tmp_path: Path
) -> None:
    release = released(kind, solutions, tmp_path)
    (group,) = release.groups
    wrong = replace(group, items=tuple(map(none_alone, group.items)))
    package = tmp_path / "package.zip"
    write_package("qti21", replace(release, groups=(wrong,)), package)

    assert audit_package(package).count("disagreed") == 3


ASKED = ("all solutions", "the value")
CHOSEN_FROM = [name for name, family in FAMILIES.items() if family.ask in ASKED]


@pytest.mark.parametrize("name", CHOSEN_FROM)
def test_the_audit_knows_how_each_kind_says_that_there_is_none(name: str) -> None:
    (variant,) = drawn(name)

    none = Speaker().text(variant.problem.phrases.none)
    assert claims.value(none, phrases_of("en").answer) is None
