"""The shipped library is answered by its mathematics: every family holds the bounds on guessing."""

import pytest

from itembank.guessing import telling
from itembank.pipeline.guesses import figures_of
from tests.shipped import FAMILIES

HELD = sorted(name for name, family in FAMILIES.items() if not family.guessing)

EACH = [(name, part) for name in HELD for part in range(len(FAMILIES[name].each))]


@pytest.mark.parametrize(("name", "part"), EACH)
def test_no_shipped_family_is_beyond_the_bounds(name: str, part: int):
    family = FAMILIES[name]
    figures = figures_of(family, part=family.each[part] if family.parts else None)
    found = {form: [*telling.shortfalls(f)] for form, f in figures.items()}

    assert not any(found.values()), found


def test_few_families_want_it_otherwise():
    """Pairs and tables, which are chosen and cannot be typed."""
    assert sorted(FAMILIES.keys() - set(HELD)) == ["pair-several-solutions", "table-of-inverses"]
