"""The shipped library is answered by its mathematics: every family holds the bounds on guessing."""

import pytest

from itembank.guessing import telling
from itembank.pipeline import appraisal
from itembank.pipeline.guesses import figures_of
from tests.shipped import FAMILIES

TOLD_ALONE = pytest.mark.skip(reason="bounds on guessing are told, and no fault yet")

NAMES = (
    sorted(FAMILIES)
    if appraisal.BOUNDS_ARE_FAULTS
    else [pytest.param("every family", marks=TOLD_ALONE)]
)


@pytest.mark.parametrize("name", NAMES)
def test_no_shipped_family_is_beyond_the_bounds(name: str):
    family = FAMILIES[name]

    found = {form: [*telling.shortfalls(f)] for form, f in figures_of(family).items()}

    assert family.guessing or not any(found.values()), found
