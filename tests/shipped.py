"""All of the shipped library as one release."""

from collections.abc import Iterator
from functools import cache
from itertools import islice

from exporters.release import Group, Release
from itembank.kinds.table import SIGNATURES
from itembank.pipeline.selection import fits, item_of
from itembank.pipeline.variants import Stream, Variant
from itembank.spec import Family, FamilyShelf, PoolEntry, find_families, library

FAMILIES = FamilyShelf(find_families([library() / "families"]), SIGNATURES)
"""The shipped families, each read when a test first asks for it, and once for all tests."""


@cache
def begun(family: str, seed: str) -> tuple[list[Variant], Iterator[Variant]]:
    """What is drawn of a family so far, and the rest."""
    whole = FAMILIES[family]
    return [], iter(Stream(whole, seed, fits(whole)))


def drawn(family: str, n: int = 1, seed: str = "library") -> list[Variant]:
    """The first n variants of a shipped family, drawn once for all tests that look at some."""
    found, rest = begun(family, seed)
    found += islice(rest, max(0, n - len(found)))
    return found[:n]


def whole_library(language: str = "en") -> Release:
    """One item of each family, and of each part, in each form that it offers, in a language.

    A family with texts of its author in other languages alone is left out.
    """
    groups = []
    for variant in (
        part
        for name, whole in FAMILIES.items()
        if all(text.among(language) for _where, text in whole.texts)
        for first in drawn(name)
        for part in first.each
    ):
        family = variant.family
        for form in family.forms:
            points = STAGES[family.id] if form == "guided" else family.worth
            entry = PoolEntry.model_construct(
                family=family, variants=1, choose=1, points=points, form=form
            )
            items = (item_of(variant, entry, language),)
            groups.append(
                Group(family=family.id, title=family.title, items=items, choose=1, points=points)
            )
    return Release(
        pool_id="library", title="All of the library", course="NT 210", term="2027-spring",
        language=language, groups=tuple(groups),
    )  # fmt: skip


STAGES = {
    "stage-by-stage": 5,
    "singular-stage-by-stage": 4,
    "linear-stage-by-stage": 4,
    "gcd-stage-by-stage": 3,
    "order-stage-by-stage": 3,
    "power-stage-by-stage": 3,
    "system-stage-by-stage": 4,
    "wilson-stage-by-stage": 3,
    "inverse-stage-by-stage": 3,
    "root-stage-by-stage": 3,
}
"""The stages of guided questions, each of which counts a point."""


def offering(form: str, n: int) -> list[tuple[Family, str]]:
    """The first n shipped families that offer a form, each with it."""
    return [(family, form) for family in FAMILIES.values() if form in family.forms][:n]
