"""Sample items as the parts of one question: every response form, in one item of QTI."""

import re
from dataclasses import replace
from fractions import Fraction
from string import ascii_lowercase

from exporters.census import Passed
from exporters.qti2_response import response_names
from exporters.release import Group, Release
from itembank.languages import say
from itembank.notation.prose import paragraph
from itembank.notation.tree import Blocks
from itembank.values.item import (
    LARGEST_MODULUS,
    Guided,
    IntegerEntry,
    Item,
    ListEntry,
    PutInOrder,
    Scoring,
    SelectOne,
    SetEntry,
    TrueFalse,
)
from tests.exporters import samples

SCENARIO = paragraph("Mira checks her clock arithmetic.")


def groups_of(*items: Item) -> tuple[Group, ...]:
    """A group a part, in which each part is this item."""
    return tuple(
        replace(samples.group(part, title="Clock"), points=part.scoring.points)
        for part in map(part_of, items, ascii_lowercase, [len(items)] * len(items))
    )


def part_of(item: Item, letter: str, n: int) -> Item:
    def told(stem: Blocks) -> Blocks:
        return (SCENARIO, paragraph(f"Part ({letter}) of {n}."), *stem) if stem else stem

    response = item.response
    if isinstance(response, IntegerEntry):
        response = replace(response, least_stem=told(response.least_stem))
    return replace(
        item,
        title=f"Clock (3) ({letter})",
        stem=told(item.stem),
        response=response,
        provenance=replace(item.provenance, family=f"clock.{letter}", seed="s", index=3),
    )


EVERY = (
    samples.SELECT_ALL,
    samples.SELECT_ONE,
    samples.INTEGER,
    samples.LIST,
    samples.TRUE_FALSE,
    samples.SET,
    samples.ORDER,
    samples.MATCH,
    samples.GUIDED,
)
"""An item in each form."""

HALVES = tuple(
    replace(samples.INTEGER, scoring=Scoring(points=points))
    for points in (Fraction(1, 2), 2, Fraction(3, 2))
)
"""Parts that count halves."""


def row_of(*items: Item) -> list[tuple[Group, Passed, Item]]:
    """The parts of one variant, as they come to a writer."""
    found = []
    for group in groups_of(*items):
        (item,) = group.items
        of, points = item.provenance, item.scoring.points
        passed = Passed(item.identifier, "here", say("part"), points, (), (of.seed, of.index))
        found.append((group, passed, item))
    return found


RELEASE: Release = samples.release(*groups_of(*EVERY))


def responses(item: Item, letter: str, given: tuple[str, ...]) -> dict[str, object]:
    """What a student gives to a part, by the variables of the item of all parts.

    Declared values stand as `grading` has them: integers, texts, lists.
    """
    names = response_names(item.response)
    match item.response:
        case SetEntry():
            return {f"{n}_{letter}": number(t) for n, t in zip(names, given, strict=False)}
        case Guided(stages=stages):
            texts = zip(names, stages, given, strict=False)
            return {
                f"{n}_{letter}": (f"{t}_{letter}" if isinstance(s.response, SelectOne) else t)
                for n, s, t in texts
                if t
            }
        case IntegerEntry(modulus=m) if m is not None and m <= LARGEST_MODULUS:
            value: object = number(given[0]) if given else None
        case IntegerEntry() | ListEntry():
            value = given[0] if given else None
        case SelectOne() | TrueFalse():
            value = f"{given[0]}_{letter}" if given else None
        case PutInOrder():
            value = [f"{name}_{letter}" for name in given] or None
        case _:
            pairs = (" ".join(f"{w}_{letter}" for w in name.split()) for name in given)
            value = sorted(pairs) or None
    return {f"RESPONSE_{letter}": value}


def number(text: str) -> int | None:
    return int(text) if re.fullmatch(r"\s*[+-]?[0-9]+\s*", text) else None
