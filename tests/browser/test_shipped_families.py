"""A shipped family of every kind, ask and form, as QTI 3.0, in both readers.

Answered right, as each slip would, and not at all; a typed set in other places and by other
representatives is in test_items_in_readers.py.
"""

from concurrent.futures import ThreadPoolExecutor
from functools import cache

import pytest

from exporters.fitting import placed
from itembank.pipeline.selection import fits, item_of
from itembank.pipeline.variants import Stream, Variant
from itembank.spec import PoolEntry
from itembank.values.item import Item
from tests.browser.readers import Reader
from tests.browser.test_items_in_readers import document, give, modal_texts
from tests.exporters.attempts import answers
from tests.shipped import FAMILIES

pytestmark = pytest.mark.browser

LINES = ("polynomial", "linear", "system")
"""The kinds whose lines are put in order: what is dragged is alike in others, and takes long."""

AMONG_OTHERS = ("polynomial",)
"""The kind whose lines are dragged to their places, or to none."""

OFFERED = {
    (family.kind, family.ask, form, bool(family.spare)): (name, form)
    for name, family in FAMILIES.items()
    for form in family.forms
    if form != "order" or family.kind in (AMONG_OTHERS if family.spare else LINES)
    if form == "order" or not family.spare
}
"""The last family of each; the file of an item, and how it is graded, is made alike in others."""


@cache
def first_variant(name: str) -> Variant:
    family = FAMILIES[name]
    return next(iter(Stream(family, "browser", fits(family))))


def item_in(name: str, form: str) -> Item:
    entry = PoolEntry.model_construct(
        family=FAMILIES[name], variants=1, choose=1, points=1, form=form
    )
    return placed(item_of(first_variant(name), entry))


@pytest.mark.parametrize(("name", "form"), OFFERED.values())
def test_a_family_is_graded_in_the_readers_as_its_items_say(
    readers: dict[str, Reader], name: str, form: str
):
    item = item_in(name, form)
    data = document(item)
    texts = modal_texts(data)
    tried = [a for a in answers(item) if a.name in ("key", "blank") or a.slip is not None]

    def graded(reader: Reader) -> None:
        for answer in tried:
            reader.load(data)
            give(reader, item, answer.given)
            outcomes = reader.attempt()

            where = f"{reader.name}, {answer.name}"
            assert float(outcomes["SCORE"]) == answer.score, where
            told = {texts["worked"]}
            if answer.slip is not None:
                told.add(texts[f"slip-{answer.slip}"])
            heard = set(reader.feedback())
            if answer.name == "blank" and form == "order":
                heard.discard(texts.get("otherwise", ""))  # an arrangement that nobody touched
            assert heard == told, where

    with ThreadPoolExecutor(len(readers)) as at_once:  # most of their time is waiting
        list(at_once.map(graded, readers.values()))
