"""What is released together, and what was written of it.

A release is a pool's items for one term, in groups: each group holds variants
of one family, from which the platform draws `choose` for each student.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal, Protocol, runtime_checkable

from itembank import __version__
from itembank.languages import Said, Speaker, say
from itembank.languages.catalogue import ENGLISH
from itembank.values.item import Item
from itembank.values.parts import letter_of, side_by_side, whole_of
from itembank.values.points import Points, points
from itembank.values.sharing import several

TOOL = "itembank"
TOOL_VERSION = __version__

Purpose = Literal["bank", "quiz"]
"""A bank to draw from, or a test that can be sat as it is."""

Profile = Literal["full", "plain"]
"""Every form that the format carries; or one choice or one entry an item, its answer complete."""


Paper = Literal["a4", "letter"]
"""The size of a sheet: ISO 216, or ANSI/ASME Y14.1 A."""


@dataclass(frozen=True)
class Target:
    """A format and how it is written; None for what is usual for the format."""

    format: str
    math: str | None = None
    purpose: Purpose | None = None
    profile: Profile = "full"
    canary: bool = False
    """Whether questions that show what the platform keeps stand before the others."""
    copies: int = 0
    """Of a quiz on paper: how many copies, each drawn anew; 0 for one sheet."""
    paper: Paper = "a4"
    pdf: bool = False
    """Whether the documents of a package in LaTeX are compiled beside it."""


def target(wanted: str | Target) -> Target:
    """A format by its name alone, as is usual for it."""
    return Target(wanted) if isinstance(wanted, str) else wanted


@dataclass(frozen=True, kw_only=True)
class Group:
    """Variants of one family; each drawn question counts `points`, 0 for what only shows.

    `items` is read once for each package written, in order, and never held: a tuple, or
    anything else that can be read again, such as a query.
    """

    family: str
    title: str
    items: Iterable[Item]
    choose: int
    points: Points

    @property
    def whole(self) -> str:
        """The id of the family, without the letter of a part."""
        return whole_of(self.family)

    @property
    def part(self) -> str:
        """Of a part of a family in parts its letter, else ""."""
        return letter_of(self.family)


@runtime_checkable
class _Dealt(Protocol):
    """Items that can be dealt out before they are made."""

    def lots(self, n: int) -> Iterator[Iterable[Item]]:
        """The items, n together, each lot for another process to read."""


def lots(items: Iterable[Item], n: int) -> Iterator[Iterable[Item]]:
    """The items, n together, in order; the last lot perhaps fewer."""
    return items.lots(n) if isinstance(items, _Dealt) else several(items, n)


@dataclass(frozen=True)
class Together:
    """Groups that are drawn as one: the parts of a family in parts, in their order, or one group.

    Their items stand in the same order of variants, and a student gets all parts of one.
    """

    groups: tuple[Group, ...]

    @property
    def choose(self) -> int:
        return self.groups[0].choose

    @property
    def title(self) -> str:
        """The title of the questions, without the letter of a part."""
        first = self.groups[0]
        return first.title.removesuffix(f" ({first.part})") if first.part else first.title


def together(groups: Iterable[Group]) -> tuple[Together, ...]:
    """The groups, those of the parts of one family together."""
    return tuple(Together(tuple(one)) for one in side_by_side(groups, lambda group: group.family))


def in_order(groups: Iterable[Group]) -> Iterator[Item]:
    """The items of groups as they are shown: the parts of a variant one after another."""
    for one in together(groups):
        for row in zip(*(group.items for group in one.groups), strict=True):
            yield from row


def whole_variants(groups: Iterable[Group]) -> tuple[Group, ...]:
    """The groups without the parts of variants of which another part is not there."""
    found: list[Group] = []
    for one in together(groups):
        held = [{drawn_as(item) for item in group.items} for group in one.groups]
        every = set.intersection(*held)
        found += (
            replace(group, items=tuple(i for i in group.items if drawn_as(i) in every))
            for group in one.groups
        )
    return tuple(found)


def drawn_as(item: Item) -> tuple[str, int]:
    """What is alike for the parts of one variant, and for no others of a group.

    Its own family counts too: one that stands in for another has the same seed.
    """
    origin = item.provenance
    return f"{whole_of(origin.family)}/{origin.seed}", origin.index


@dataclass(frozen=True, kw_only=True)
class Release:
    """`language` is a BCP 47 tag; `course` and `term` as people write them.

    `edition`: the language, where it is not the first of the pool; it ends the name then.
    `languages`: all in which the same questions are released, where there are several.
    `form`: of parallel forms, which one of `forms`.  `replaces`: the release in whose place this
    one stands.  `replaced_by`, `withdrawn`: the one that stands in its place, and the identifiers
    of its items that were taken out since.  `beside`: its packages that were written before.
    `stories`: the identifiers of items whose story a person has accepted in the question's place.
    `in_one`: whether the parts of a question are written as one item where the format can.
    `instructions`: what the course tells students on every sheet of paper; `copies`, `paper`: as of
    Target, for formats on paper.
    """

    pool_id: str
    title: str
    course: str
    term: str
    language: str
    groups: tuple[Group, ...]
    edition: str = ""
    languages: tuple[str, ...] = ()
    form: str = ""
    forms: tuple[str, ...] = ()
    replaces: str = ""
    replaced_by: str = ""
    withdrawn: tuple[str, ...] = ()
    beside: "tuple[Written, ...]" = ()
    stories: frozenset[str] = frozenset()
    instructions: str = ""
    copies: int = 0
    paper: Paper = "a4"
    in_one: bool = True

    @property
    def name(self) -> str:
        """The name of this release in identifiers and file names: pool, term, language.

        Next term's is another, so that no platform takes the one for the other.
        """
        return self.name_of(self.pool_id, self.term, self.edition)

    @staticmethod
    def name_of(pool_id: str, term: str, edition: str = "") -> str:
        """The name of the release of a pool for a term, in its first language or in another."""
        name = f"{pool_id}-{term}-{edition}" if edition else f"{pool_id}-{term}"
        return re.sub(r"[^A-Za-z0-9_-]+", "-", name)

    @property
    def points(self) -> Points:
        """What a student can score: the drawn questions' points together."""
        return points(sum((g.choose * g.points for g in self.groups), Fraction()))


@dataclass(frozen=True, kw_only=True)
class Count:
    """What was written of one group: its items, and how many of each of the format's types.

    A type is a message: who tells of it says it in the language of the page.
    """

    group: Group
    items: int
    types: dict[Said, int]


@dataclass(frozen=True, kw_only=True)
class Written:
    """A package as it lies on the disk; `sha256` in hexadecimal, over the whole file.

    math, purpose, profile: how it was written, the usual choices named too.
    """

    format: str
    file: str
    size: int
    sha256: str
    counts: tuple[Count, ...]
    math: str
    purpose: Purpose
    profile: Profile


def statement(item: Item) -> str:
    """What is asked, in plain notation, for authors: "x^2 + 9x + 5 = 0 mod 117; all solutions"."""
    return "; ".join((*item.statement, item.ask))


def caution(language: str = ENGLISH) -> str:
    return Speaker(language).text(
        say(
            "A person must review these questions and sign for them before students see them."
            " The assessment rules of the institution come first."
        )
    )


def rights(release: Release) -> str:
    return Speaker(release.language).text(
        say(
            "Assessment material with its answer keys, for the staff of {course} in {term};"
            " not to be passed on.",
            course=release.course,
            term=release.term,
        )
    )


def description(release: Release) -> str:
    return Speaker(release.language).text(
        say(
            "{title}: questions for {course}, {term}; {points} points in all.",
            title=release.title,
            course=release.course,
            term=release.term,
            points=release.points,
        )
    )


def course_and_term(course: str, term: str, language: str) -> str:
    return Speaker(language).text(say("{course}, {term}", course=course, term=term))
