"""The level that a family declares, against the work that its variants measure."""

from collections import Counter
from itertools import islice

import pytest

from itembank.kinds.table import SIGNATURES
from itembank.pipeline.appraisal import family_report
from itembank.pipeline.levels import STEPS, fitting, middle
from itembank.pipeline.selection import fits
from itembank.pipeline.variants import Stream
from itembank.spec import FamilyShelf, find_families, library
from itembank.values.vocabulary import LEVELS

FAMILIES = FamilyShelf(find_families([library() / "families"]), SIGNATURES)


def test_every_level_has_a_band_and_every_effort_a_level():
    assert tuple(STEPS) == LEVELS
    assert all(fitting(steps) for steps in range(300))


@pytest.mark.parametrize("name", list(FAMILIES))
def test_the_level_of_a_shipped_family_follows_from_its_effort(name):
    """An IBAN with a missing digit was "difficult" with 4 steps, all stages "medium" with 22."""
    family = FAMILIES[name]
    if family.ask == "the steps":
        return
    steps = Counter(v.effort.steps for v in islice(Stream(family, "levels", fits(family)), 40))

    assert family.level in fitting(middle(steps))


def test_a_level_that_the_effort_contradicts_is_a_fault_at_its_line(tmp_path):
    text = FAMILIES["linear-one-solution"].path.read_text(encoding="utf-8")
    path = tmp_path / "linear-one-solution.yaml"
    path.write_text(text.replace("level: easy", "level: very difficult"), encoding="utf-8")

    (fault,) = family_report(path).faults

    assert fault.startswith(f"{path}:")
    assert "found 'very difficult'" in fault
