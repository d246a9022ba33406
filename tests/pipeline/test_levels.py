"""The level that a family declares, against the work that its variants measure."""

import json
from collections import Counter
from pathlib import Path

import pytest

from itembank.pipeline.appraisal import family_report
from itembank.pipeline.levels import STEPS, fitting, middle
from itembank.values.vocabulary import DERIVED_FORMS, LEVELS
from tests.shipped import FAMILIES, drawn

DRAWS = Path(__file__).with_name("draws.json")


def test_every_level_has_a_band_and_every_effort_a_level():
    assert tuple(STEPS) == LEVELS
    assert all(fitting(steps) for steps in range(300))


@pytest.mark.parametrize("name", list(FAMILIES))
def test_the_level_of_a_shipped_family_follows_from_its_effort(name):
    """An IBAN with a missing digit was "difficult" with 4 steps, all stages "medium" with 22."""
    family = FAMILIES[name]
    variants = drawn(name, 40)
    for part in family.each:
        steps = Counter(variant.of_part(part).effort.steps for variant in variants)
        assert part.ask == "the steps" or part.level in fitting(middle(steps)), part.id


def asks_alike(kind: str) -> list[str]:
    """The families of a kind that ask the same; those that ask for the way aside."""
    return [
        name
        for name in FAMILIES
        if FAMILIES[name].kind == kind and FAMILIES[name].forms[0] not in DERIVED_FORMS
    ]


@pytest.mark.parametrize(("kind", "variants"), [("order", 60), ("isbn_test", 20), ("gcd", 40)])
def test_one_question_has_one_level(kind, variants):
    """The order of 10 modulo 23 was easy in one family and medium in another."""
    level: dict[tuple[str, ...], str] = {}
    for name in asks_alike(kind):
        family = FAMILIES[name]
        for variant in drawn(name, variants):
            asked = (family.ask, *variant.problem.statement)
            assert level.setdefault(asked, family.level) == family.level, asked


def test_no_question_that_is_pinned_has_two_levels():
    pinned = json.loads(DRAWS.read_text(encoding="utf-8"))
    level: dict[tuple[str, ...], str] = {}
    for name in FAMILIES:
        family = FAMILIES[name]
        for variant in pinned[name]["variants"] if family.ask != "the steps" else ():
            asked = (family.ask, family.forms[0], *variant["statement"])
            assert level.setdefault(asked, family.level) == family.level, asked


def test_a_level_that_the_effort_contradicts_is_a_fault_at_its_line(tmp_path):
    text = FAMILIES["linear-one-solution"].path.read_text(encoding="utf-8")
    path = tmp_path / "linear-one-solution.yaml"
    path.write_text(text.replace("level: easy", "level: very difficult"), encoding="utf-8")

    (fault,) = family_report(path).faults

    assert fault.startswith(f"{path}:")
    assert "found 'very difficult'" in fault
