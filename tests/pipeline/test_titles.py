"""What a student sees before answering tells no count, no solvability, no method and no key."""

import re

import pytest

from itembank.kinds.table import KINDS, SIGNATURES
from itembank.pipeline import titles
from itembank.pipeline.making import released
from itembank.pipeline.selection import item_of
from itembank.spec import PoolEntry, library, load_family, load_pool
from tests.shipped import FAMILIES, drawn

TELLING = re.compile(
    r"several|one solution|two|three|how many|number of|all|solvable|or not|\bis\b|lift|singular|"
    r"stage|euclid|euler's theorem|fermat|wilson|squaring|reciprocity|criterion|coprime|prime\b|"
    r"product|composite|least|chosen|valid",
    re.IGNORECASE,
)
"""Words of the titles that staff read: "Linear congruence with several solutions"."""


def test_every_kind_has_a_neutral_title():
    for kind in KINDS.values():
        assert not TELLING.search(kind.title.template), kind.name


@pytest.mark.parametrize("name", list(FAMILIES))
def test_the_title_of_an_item_tells_nothing(name):
    family = FAMILIES[name]
    entry = PoolEntry.model_construct(
        family=family, variants=1, choose=1, points=1, form=family.forms[0]
    )
    if family.forms[0] == "guided":
        return
    (variant,) = drawn(name)
    item = item_of(variant, entry)

    assert not TELLING.search(item.title), item.title
    assert not any(word in item.identifier for word in name.split("-") if len(word) > 3)


def test_families_are_told_apart_by_codes():
    codes = {titles.code_of(FAMILIES[name]) for name in FAMILIES}

    assert len(codes) == len(list(FAMILIES))


def test_a_family_may_say_what_is_shown(tmp_path):
    text = FAMILIES["system-two-coprime"].path.read_text(encoding="utf-8")
    path = tmp_path / "system-two-coprime.yaml"
    path.write_text(text.replace("problem:", "shown as: Eggs in boxes\nproblem:", 1), "utf-8")
    family = load_family(path, SIGNATURES)

    assert titles.of_item(family, 6) == f"Eggs in boxes ({titles.code_of(family)} 7)"


def test_the_groups_of_a_release_have_neutral_titles():
    release = released(load_pool(library() / "pools" / "congruences-quiz.yaml", FAMILIES), "t")

    shown = [group.title for group in release.groups]
    assert len(set(shown)) == len(shown)
    assert not any(TELLING.search(title) for title in shown)
