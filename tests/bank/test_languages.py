"""A pool's language goes with its items into the bank, and with its releases out of it."""

import pytest

from itembank.bank import open_bank
from itembank.bank.releases import Contents, Part
from itembank.cli.arguments import workers
from itembank.terms import draw, export
from itembank.terms.export import only
from tests.catalogues import put

ENTRIES = "  - {family: linear-one-solution, variants: 3}\n"


@pytest.mark.parametrize("jobs", [1, 2])
def test_what_is_drawn_and_released_has_the_language_of_its_pool(jobs, pool_of, tmp_path):
    pool = pool_of(ENTRIES, language="en-GB")
    bank = open_bank(str(tmp_path / "b.db"), create=True)
    with workers(jobs) as executor:
        draw.draw(bank, pool, "2027-spring", executor=executor)
    made = export.export(bank, pool.id, "2027-spring", tmp_path, ("html",))

    assert made.release.language == "en-GB"
    assert [i.language for g in made.release.groups for i in g.items] == ["en-GB"] * 3


def test_the_title_of_what_is_new_is_in_the_language_of_the_pool(room):
    put("eo", {"{title}: what is new": "Novaĵoj de {title}"})
    part = Part(family="f", title="F", items=(1, 2), choose=1, points=1)

    assert only(Contents("Kvizo", "NT 210", "eo", (part,)), {2}).title == "Novaĵoj de Kvizo"
