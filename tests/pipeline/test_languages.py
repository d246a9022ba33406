"""A pool's language reaches every item, in whatever process it is composed."""

import pytest

from itembank.cli.arguments import workers
from itembank.pipeline import making, titles
from itembank.pipeline.canary import with_canaries
from itembank.spec import load_pool
from tests.catalogues import put
from tests.shipped import FAMILIES

ENTRIES = """
  - {family: linear-one-solution, variants: 2}
  - {family: zero-product-composite, variants: 2, form: select one}
"""


@pytest.fixture
def pool_in(tmp_path):
    """A pool whose file names a language."""

    def made(language):
        path = tmp_path / "practice.yaml"
        path.write_text(
            f"id: practice\ntitle: Practice\ncourse: NT 210\nlanguage: {language}\nseed: tests\n"
            f"items:{ENTRIES}",
            encoding="utf-8",
        )
        return load_pool(path, families())

    return made


def families():
    return FAMILIES


@pytest.mark.parametrize("jobs", [1, 2])
def test_items_have_the_language_of_their_pool_in_any_process(jobs, pool_in):
    with workers(jobs) as executor:
        release = making.released(pool_in("en-GB"), "2027-spring", executor=executor)

    items = [item for group in release.groups for item in group.items]
    assert release.language == "en-GB"
    assert [item.language for item in items] == ["en-GB"] * 4


def test_titles_instructions_and_canaries_come_in_the_language(room, pool_in):
    put(
        "eo",
        {
            "{title} ({n})": "{n}: {title}",
            "Check of the platform ({n})": "Provo {n}",
            "Check of the platform": "Provo",
        },
        mark="¶",
    )
    release = with_canaries(making.released(pool_in("eo"), "2027-spring"))

    canaries, first, _second = release.groups
    assert (canaries.title, [item.title for item in canaries.items]) == (
        "Provo", ["Provo 1", "Provo 2"],
    )  # fmt: skip
    code = titles.code_of(families()["linear-one-solution"])
    assert first.title == f"{code}: ¶A congruence"
    assert [item.title for item in first.items] == [
        f"{code} {item.provenance.index + 1}: ¶A congruence" for item in first.items
    ]
    for item in (*canaries.items, *first.items):
        assert item.language == "eo" and "¶" in item.spoken
    signs = canaries.items[0].stem[-2].content
    assert signs[0] == "¶Signs: equal "
