"""What a question on paper is, whatever it is set with: its key in letters, its room, its sheet.

A sheet has questions and no key, and no identifier.  A bank is one sheet of all questions; a quiz
is a sheet for each copy, with a short code, by which its row of the key, the table of points and
`results` know it.  Which questions a copy has is dealt here: of each group as many as a student
gets, of which two neighbours in the pile share as few as the group allows.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256

from exporters.keys import key
from exporters.qti1 import joined, shown
from exporters.release import Group, Release
from itembank.forms.guided import right_text
from itembank.languages import Speaker, say
from itembank.notation.tree import Inlines
from itembank.values.errors import ExportError
from itembank.values.item import (
    Guided,
    Item,
    ListEntry,
    MatchPairs,
    PutInOrder,
    SelectAll,
    SelectOne,
    SetEntry,
    SlipFeedback,
    Stage,
    TrueFalse,
)
from itembank.values.parts import is_first, letter_of, side_by_side
from itembank.values.worded import worded

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

# ------------------------------------------------------------ the key of a question


@dataclass(frozen=True)
class Part:
    """A part of a key: what it is of, if it is of something; its mark, a letter; what it says."""

    of: Inlines | None
    mark: str
    says: Inlines


def labels_of(item: Item) -> dict[str, Inlines]:
    """The options by identifier, in their order; none of an item with entries."""
    match item.response:
        case SelectAll(options=options) | SelectOne(options=options):
            return {o.identifier: o.label for o in options}
        case TrueFalse(yes=yes, no=no):
            return {"true": yes, "false": no}
        case PutInOrder(lines=lines):
            return {line.identifier: line.label for line in lines}
        case MatchPairs(targets=targets):
            return {target.identifier: target.label for target in targets}
        case _:
            return {}


def letters_of(item: Item) -> dict[str, str]:
    """The letter of each option, by identifier."""
    return dict(zip(labels_of(item), LETTERS, strict=False))


def key_parts(item: Item) -> Iterator[Part]:
    """The parts of the key, in their order."""
    labels, letters = labels_of(item), letters_of(item)
    match item.response:
        case MatchPairs(sources=sources, pairs=pairs):
            for source, pair in zip(sources, pairs, strict=True):
                target = pair.split()[1]
                yield Part(source.label, f": {letters[target]}. ", labels[target])
        case Guided(stages=stages):
            for n, stage in enumerate(stages, 1):
                yield Part(None, f"{n}: ", _stage_answer(stage, right_text(stage.response)))
        case ListEntry():
            yield Part(None, "", (right_text(item.response),))
        case _:
            for value in map(str, key(item.response)):
                if labels:
                    yield Part(None, f"{letters[value]}. ", labels[value])
                else:
                    yield Part(None, "", (value,))


def between_parts(item: Item) -> str:
    return " → " if isinstance(item.response, PutInOrder) else ", "


def _stage_answer(stage: Stage, text: str) -> Inlines:
    """What a text stands for in a stage: the words of an option, or itself."""
    if isinstance(stage.response, SelectOne):
        return next(o.label for o in stage.response.options if o.identifier == text)
    return (text,)


def short_key(item: Item) -> Inlines:
    """The key as a grader compares it at a glance: letters where there are any, else what it says.

    Letters of matches stand in the order of what is matched, answers of stages after semicolons.
    """
    letters = letters_of(item)
    match item.response:
        case MatchPairs(pairs=pairs):
            return (", ".join(letters[pair.split()[1]] for pair in pairs),)
        case Guided(stages=stages):
            answers = [_stage_answer(s, right_text(s.response)) for s in stages]
            return joined(answers, "; ")
        case ListEntry():
            return (right_text(item.response),)
        case _:
            told = [letters.get(value, value) for value in map(str, key(item.response))]
            return (", ".join(told),)


def wrong_answer(item: Item, found: SlipFeedback, speaker: Speaker) -> Inlines:
    """The answer of a slip as a grader meets it: letters, and what they say."""
    labels, letters = labels_of(item), letters_of(item)
    given = tuple(map(str, found.response))
    match item.response:
        case PutInOrder():
            return (", ".join(letters[i] for i in given),)
        case MatchPairs(sources=sources):
            return joined(
                (*source.label, " → ", *labels[pair.split()[1]])
                for source, pair in zip(sources, given, strict=True)
            )
        case Guided(stages=stages):
            (n,) = (i for i, text in enumerate(given) if text)
            answer = _stage_answer(stages[n], given[n])
            return speaker.inlines(say("{answer} in stage {n}", answer=answer, n=n + 1))
        case SetEntry():
            return joined((text,) for text in given)
        case SelectAll() | SelectOne() | TrueFalse():
            return joined((f"{letters[i]}. ", *labels[i]) for i in given)
        case _:
            return shown(item, found)


# ------------------------------------------------------------ room for the working

_LEAST_ROOM = 15
"""Millimetres for the working of the shortest question that has any."""

_MOST_ROOM = 100
"""Millimetres, so that a question with its room stays on one page."""

_ROOM_OF_A_STEP = 5
"""Millimetres for each step of the worked solution."""


def room(item: Item) -> int:
    """Millimetres for the working, in whole tens, by the effort that the question takes.

    The lines of a question in stages, and those of a solution that is read, are room enough.
    """
    if isinstance(item.response, Guided):
        return 0
    wanted = min(_MOST_ROOM, max(_LEAST_ROOM, _ROOM_OF_A_STEP * item.steps))
    return -(-wanted // 10) * 10


# ------------------------------------------------------------ copies

CODE = "ACDEFHJKLMNPRTUVWXY3479"
"""Characters of a code: none that is read for another, or that makes an option of 0 and 1."""

_CODE_LENGTH = 4

MOST_COPIES = 2000


@dataclass(frozen=True)
class Drawn:
    """A question of a copy: the group it is from, counted from 0, and the item."""

    group: int
    item: Item


class Numbering:
    """The numbers of questions, given one after the other: 1, 2, and of the parts of one 3 (a)."""

    def __init__(self) -> None:
        self.last = 0

    def next(self, item: Item) -> str:
        family = item.provenance.family
        letter = letter_of(family)
        self.last += is_first(family)
        return f"{self.last} ({letter})" if letter else str(self.last)


@dataclass(frozen=True)
class Copy:
    """A copy: its code, and its questions in their order."""

    code: str
    questions: tuple[Drawn, ...]

    @property
    def numbered(self) -> list[tuple[str, Drawn]]:
        """The questions, each with its number on the sheet."""
        numbering = Numbering()
        return [(numbering.next(drawn.item), drawn) for drawn in self.questions]


def codes(name: str, n: int) -> list[str]:
    """The codes of the first n copies of a release; asking for more changes none of them.

    >>> codes("quiz-2027-spring", 2) == codes("quiz-2027-spring", 3)[:2]
    True
    """
    found: dict[str, None] = {}
    turn = 0
    while len(found) < n:
        found.setdefault(_code_of(f"{name}/{turn}"))
        turn += 1
    return list(found)


def _code_of(text: str) -> str:
    n = int.from_bytes(sha256(text.encode()).digest(), "big")
    letters = ""
    for _ in range(_CODE_LENGTH):
        n, at = divmod(n, len(CODE))
        letters += CODE[at]
    return letters


def copies(release: Release) -> Iterator[Copy]:
    """The copies of a quiz, in the order in which they lie on the pile.

    Raises ExportError for a group with fewer items than a student gets.
    """
    groups = [(tuple(group.items), group.choose) for group in release.groups]
    for group, (items, choose) in zip(release.groups, groups, strict=True):
        if not 1 <= choose <= len(items):
            raise ExportError(
                worded(
                    "group {family}: expected at least as many items as are drawn, got {n} items "
                    "and a draw of {choose}",
                    family=group.family,
                    n=len(items),
                    choose=choose,
                )
            )
    return pile(release.name, groups, max(1, release.copies))


def pile(name: str, groups: Sequence[tuple[Sequence[Item], int]], n: int) -> Iterator[Copy]:
    """The first n copies of the release of a name: of each group its items, and how many of them.

    A copy depends on those before it, and on none after it.
    """
    used: list[Counter[str]] = [Counter() for _group in groups]
    before: frozenset[str] = frozenset()
    for code in codes(name, n):
        drawn = [
            Drawn(n, items[at])
            for i, each in _joined_groups(groups)
            for at in _places_dealt(*groups[i], before, used[i], f"{name}/{code}/{i}")
            for n, items in each
        ]
        for one in drawn:
            used[one.group][one.item.identifier] += 1
        before = frozenset(one.item.identifier for one in drawn)
        yield Copy(code, tuple(drawn))


_Indexed = tuple[int, Sequence[Item]]


def _joined_groups(
    groups: Sequence[tuple[Sequence[Item], int]],
) -> list[tuple[int, list[_Indexed]]]:
    """The place of each group that is dealt, with the groups that are dealt as it is.

    These hold the parts of a family in parts: a variant is dealt whole, its parts together.
    """
    indexed = [(i, items) for i, (items, _choose) in enumerate(groups)]
    each = side_by_side(indexed, lambda one: one[1][0].provenance.family if one[1] else "")
    return [(one[0][0], one) for one in each]


def _places_dealt(
    items: Sequence[Item], n: int, before: frozenset[str], used: Mapping[str, int], name: str
) -> list[int]:
    """Where the items stand that are dealt, as of `_dealt`."""
    chosen = {item.identifier for item in _dealt(items, n, before, used, name)}
    return [at for at, item in enumerate(items) if item.identifier in chosen]


def _dealt(
    items: Sequence[Item], n: int, before: frozenset[str], used: Mapping[str, int], name: str
) -> list[Item]:
    """n of the items, in their order: those that fewest copies had, in no order that can be told.

    What the copy before had comes again only where the others run out.
    """

    def turn(item: Item) -> tuple[bool, int, bytes]:
        which = item.identifier
        return which in before, used[which], sha256(f"{name}/{which}".encode()).digest()

    chosen = {item.identifier for item in sorted(items, key=turn)[:n]}
    return [item for item in items if item.identifier in chosen]


def handed_out(release: Release, copies: Sequence[Copy]) -> list[Group]:
    """The groups with the questions that some copy has, in the order in which the key has them."""
    found: list[dict[str, Item]] = [{} for _group in release.groups]
    for copy in copies:
        for drawn in copy.questions:
            found[drawn.group][drawn.item.identifier] = drawn.item
    return [
        replace(group, items=tuple(items.values()))
        for group, items in zip(release.groups, found, strict=True)
    ]


def numbered(copies: Sequence[Copy]) -> Mapping[str, int]:
    """The number under which the key has each question that any of the copies has.

    In the order of the groups, and within one in the order in which the copies bring them.
    """
    drawn = {(d.group, d.item.identifier): None for copy in copies for d in copy.questions}
    in_order = sorted(drawn, key=lambda found: found[0])
    return {identifier: n for n, (_group, identifier) in enumerate(in_order, 1)}
