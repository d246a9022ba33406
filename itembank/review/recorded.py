"""What is on record of an item, as its entry in the packet shows it.

A facet that is accepted as it is, with no return open, is not asked again: the entry says who
accepted it.  Where the item has changed since, it shows the lines that were and those that are.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from itertools import groupby

from itembank.languages import Said, say
from itembank.notation.elements import Child, Element
from itembank.review import vocabulary
from itembank.review.entry import Data, Entry, section
from itembank.review.seen import UNSEEN, seen_lines, what_changed
from itembank.review.writer import Writer, h
from itembank.values.item import Item
from itembank.values.verdicts import (
    FACETS,
    Return,
    Spoken,
    accepted_facets,
    carried,
    open_returns,
)

# ------------------------------------------------------------ what is on record


@dataclass(frozen=True, kw_only=True)
class OnItem:
    """What is on record of an item as it is.

    accepted: the newest word that accepts each facet.  before: the newest word on what it was
    before, with the lines that were shown, that spoke of a facet which is asked now.
    """

    returns: tuple[Return, ...]
    persons: tuple[str, ...]
    accepted: Mapping[str, Spoken]
    before: Spoken | None

    @property
    def asked(self) -> tuple[str, ...]:
        return tuple(facet for facet in FACETS if facet not in self.accepted)


@dataclass(frozen=True)
class OnItems:
    """All that is on record of some items.

    said: the words as they were said, by identifier.  heard: what of them is about the items as
    they are, by hash; counting: those of them whose acceptance counts.
    """

    said: Mapping[str, Sequence[Spoken]]
    heard: Mapping[str, Sequence[Spoken]]
    counting: Mapping[str, Sequence[Spoken]]

    @classmethod
    def of(
        cls, items: Sequence[Item], words: Iterable[Spoken], beside: Iterable[Spoken]
    ) -> "OnItems":
        words, beside = tuple(words), tuple(beside)
        return cls(
            _by((*beside, *words), lambda word: word.name),
            _by(carried((*beside, *words), items), lambda word: word.item),
            _by(carried(words, items), lambda word: word.item),
        )

    def on(self, item: Item) -> OnItem:
        mark = item.fingerprint
        words = self.heard.get(mark, ())
        returns = open_returns(words)
        held = {one.facet for one in returns}
        found = accepted_facets(self.counting.get(mark, ())).get(mark, {})
        accepted = {facet: word for facet, word in found.items() if facet not in held}
        return OnItem(
            returns=returns,
            persons=tuple(dict.fromkeys(w.person for w in words if not w.over)),
            accepted=accepted,
            before=_last_before(item, self.said.get(item.identifier, ()), accepted),
        )


def _by(words: Iterable[Spoken], name: Callable[[Spoken], str]) -> dict[str, list[Spoken]]:
    found: dict[str, list[Spoken]] = {}
    for word in words:
        found.setdefault(name(word), []).append(word)
    return found


def _last_before(item: Item, words: Iterable[Spoken], accepted: Iterable[str]) -> Spoken | None:
    """The newest word, with its lines, on what the item was, of a facet that is asked now."""
    held = set(accepted)
    found = [
        word
        for word in words
        if word.item != item.fingerprint
        and word.seen
        and any(said.facet not in held for said in word.facets)
    ]
    return max(found, key=lambda word: word.date, default=None)


# ------------------------------------------------------------ shown


def with_record(page: Writer, entry: Entry, item: Item, found: OnItem) -> Entry:
    """The entry with what is on record of its item."""
    return replace(
        entry,
        note="" if found.returns else _note(page, found),
        revealed=(*_told(page, item, found), *entry.revealed),
        data={**entry.data, **_data(found)},
    )


def _note(page: Writer, found: OnItem) -> str:
    """What is asked, where it is not everything."""
    if not found.accepted:
        return ""
    if not found.asked:
        return page.text(say("Accepted as it is: nothing is asked."))
    facets = ", ".join(page.text(vocabulary.FACETS[facet]) for facet in found.asked)
    return page.text(say("Asked again: {facets}.", facets=facets))


def _data(found: OnItem) -> Data:
    """For the script: what is asked, who accepted the rest, what is returned, who has spoken."""
    made: Data = {}
    if found.accepted:
        made["asked"] = list(found.asked)
        made["accepted"] = {
            facet: {"by": word.person, "date": word.date} for facet, word in found.accepted.items()
        }
    if found.before:
        made["changed"] = True
    if found.returns:
        made["returns"] = [
            {"facet": r.facet, "by": r.person, "date": r.date, "comment": r.comment}
            for r in found.returns
        ]
        made["spoke"] = list(found.persons)
    return made


def _told(page: Writer, item: Item, found: OnItem) -> Iterator[Element]:
    if found.before:
        changed = _changes(page, item, found.before)
        yield from section(page, say("What has changed"), changed)
    lines = [
        h("li", page.text(_accepted_by(page.text(vocabulary.FACETS[facet]), found.accepted[facet])))
        for facet in FACETS
        if facet in found.accepted
    ]
    yield from section(page, say("Accepted before"), [h("ul", *lines)] if lines else [])


def _accepted_by(facet: str, word: Spoken) -> Said:
    if not word.date:
        return say("{facet}: accepted by {by}", facet=facet, by=word.person)
    return say("{facet}: accepted by {by}, {date}", facet=facet, by=word.person, date=word.date)


def _shown_to(word: Spoken) -> Said:
    if not word.date:
        return say("Since it was shown to {by}:", by=word.person)
    return say("Since it was shown to {by}, {date}:", by=word.person, date=word.date)


def _changes(page: Writer, item: Item, before: Spoken) -> list[Element]:
    """The lines that were and those that are, the words that differ marked."""
    lines = what_changed(before.seen, seen_lines(item)) or UNSEEN
    return [
        h("p", page.text(_shown_to(before))),
        h("ul", {"class": "changes"}, *_marked_lines(page, lines)),
    ]


def _marked_lines(page: Writer, lines: Sequence[str]) -> Iterator[Element]:
    runs = [(sign, [line[2:] for line in run]) for sign, run in groupby(lines, lambda x: x[0])]
    for at, (sign, run) in enumerate(runs):
        next_to = at + 1 if sign == "-" else at - 1
        other = runs[next_to][1] if 0 <= next_to < len(runs) else []
        other = other if len(other) == len(run) else run
        for line, against in zip(run, other, strict=True):
            yield _changed_line(page, sign, _marked(line, against))


def _changed_line(page: Writer, sign: str, content: Sequence[Child]) -> Element:
    word, tag = (say("was"), "del") if sign == "-" else (say("is now"), "ins")
    return h("li", h("span", {"class": "sign"}, page.text(word)), " ", h(tag, *content))


def _marked(line: str, against: str) -> list[Child]:
    """The line, with a mark on each word that the other does not have there."""
    words, others = re.findall(r"\s*\S+", line), re.findall(r"\s*\S+", against)
    content: list[Child] = []
    for how, a, b, _c, _d in SequenceMatcher(None, words, others, autojunk=False).get_opcodes():
        part = "".join(words[a:b])
        if part:
            content.append(part if how == "equal" else h("mark", part))
    return content
