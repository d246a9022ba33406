"""What the words of several people on an item come to: which returns are open, what is accepted.

A word is said facet by facet, and is bound to the hash of the item that was shown, each facet to
the hash of what it is about.  Where an item has changed since, `carried` says what of a word is
still about it.  Of one person's words on a facet the newest counts: by date, then by the order of
the record, so that an old file that comes in late takes nothing back.  A return is open until the
person who returned takes it back, or a third person settles it by name; another's acceptance
never closes it.

Source: AERA, APA & NCME, Standards (2014), 4.0 (evidence of each step).
"""

import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from itembank.values.item import Item

Verdict = Literal["accepted", "returned"]

FACETS = ("key", "wording", "distractors and feedback", "accessibility")
"""What a reviewer accepts or returns, each by itself."""

_BLANK = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u2800\u3164\uffa0")
"""Characters that look like nothing though their category does not say so."""


@dataclass(frozen=True)
class OnFacet:
    """A verdict on one facet, what was said with it, and the hash of what it is about.

    hash: "" where none was recorded; the word is then on the item as a whole.
    """

    facet: str
    verdict: Verdict
    comment: str = ""
    hash: str = ""


@dataclass(frozen=True, kw_only=True)
class Spoken:
    """One person's word on an item, by its hash; the date is ISO 8601, "" where none is known.

    over: whose return a third person settles with it; "" for a word of one's own.
    name: the item's identifier, which outlives a change of its words; "" where none is known.
    seen: the lines that were shown, where the record keeps them.
    """

    item: str
    person: str
    date: str
    facets: tuple[OnFacet, ...]
    over: str = ""
    name: str = ""
    seen: tuple[str, ...] = field(default=(), compare=False)

    @property
    def objects(self) -> bool:
        """Whether it returns anything, or settles a return."""
        return bool(self.over) or any(f.verdict == "returned" for f in self.facets)


@dataclass(frozen=True, kw_only=True)
class Return:
    """An open return: of which item and facet, by whom, when and why."""

    item: str
    facet: str
    person: str
    date: str
    comment: str

    def __str__(self) -> str:
        when = f" on {self.date}" if self.date else ""
        return f"{self.facet} returned by {self.person}{when}: {self.comment}"


# ------------------------------------------------------------ names


def hidden_character(text: str) -> str:
    """The first character that nobody sees and that is no space, as U+200B; "" if there is none."""
    for c in text:
        if c in _BLANK or unicodedata.category(c) in ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"):
            return f"U+{ord(c):04X}"
    return ""


def can_be_read(text: str) -> bool:
    """Whether a reader sees a letter or a digit in it.

    >>> can_be_read("R. Moss"), can_be_read(" ."), can_be_read(chr(0x200B))
    (True, False, False)
    """
    return any(c.isalnum() and c not in _BLANK for c in text)


def folded(name: str) -> str:
    """A name as it is compared: case, spacing and compatibility forms aside.

    >>> folded(" a.  hart ") == folded("A. Hart")
    True
    """
    return " ".join(unicodedata.normalize("NFKC", name).split()).casefold()


# ------------------------------------------------------------ what outlives a change


def carried(words: Iterable[Spoken], items: Iterable[Item]) -> tuple[Spoken, ...]:
    """What of these words is about the items as they are now, in order, bound to their hashes.

    A word on an item as it is counts whole.  One on the same question in other words counts for
    the facets whose hash is unchanged, and for no other.
    """
    items = tuple(items)
    marks = {item.fingerprint for item in items}
    named = {item.identifier: item for item in items}
    return tuple(left for word in words for left in _carried_word(word, marks, named))


def _carried_word(
    word: Spoken, marks: Iterable[str], named: Mapping[str, Item]
) -> Iterator[Spoken]:
    if word.item in marks:
        yield word
    elif word.name in named:
        item = named[word.name]
        facets = tuple(f for f in word.facets if f.hash == item.facets.get(f.facet))
        if facets:
            yield replace(word, item=item.fingerprint, facets=facets)


# ------------------------------------------------------------ what they come to


def _last_words(words: Iterable[Spoken]) -> dict[tuple[str, str, str], tuple[Spoken, OnFacet]]:
    """By item, facet and person: the word that counts.

    A settlement that sets a return aside takes its place; one that upholds it is a return of the
    person who settles, beside the one that it upholds.
    """
    last: dict[tuple[str, str, str], tuple[Spoken, OnFacet]] = {}
    for word in sorted(words, key=lambda w: w.date):
        for said in word.facets:
            settled = word.over and said.verdict == "accepted"
            place = (word.item, said.facet, folded(word.over if settled else word.person))
            if settled and (place not in last or last[place][1].verdict != "returned"):
                continue
            last[place] = (word, said)
    return last


def open_returns(words: Iterable[Spoken]) -> tuple[Return, ...]:
    """The returns that nobody has taken back or settled, in the order of items and facets said."""
    return tuple(
        Return(
            item=item,
            facet=facet,
            person=word.person,
            date=word.date,
            comment=said.comment,
        )
        for (item, facet, _who), (word, said) in _last_words(words).items()
        if said.verdict == "returned"
    )


def accepted_items(words: Sequence[Spoken]) -> frozenset[str]:
    """The items of which every facet is accepted and no return is open."""
    return frozenset(i for i, f in accepted_facets(words).items() if f.keys() >= set(FACETS))


def accepted_facets(words: Sequence[Spoken]) -> dict[str, dict[str, Spoken]]:
    """By item and facet: the newest word that accepts it, where no return of it is open."""
    held = {(r.item, r.facet) for r in open_returns(words)}
    accepted: dict[str, dict[str, Spoken]] = {}
    for (item, facet, _who), (word, said) in _last_words(words).items():
        if said.verdict == "accepted" and (item, facet) not in held:
            before = accepted.setdefault(item, {}).get(facet)
            if before is None or before.date <= word.date:
                accepted[item][facet] = word
    return accepted


def is_repeated(word: Spoken, held: Sequence[Spoken]) -> bool:
    """Whether the same person said the same last, and nobody else objected or settled since.

    A settlement is never said twice: what is returned again after it needs a new one.
    """
    if word.over:
        return word in held
    same = (w for w in reversed(held) if w.item == word.item or (word.name and w.name == word.name))
    for earlier in same:
        own = folded(earlier.person) == folded(word.person)
        if own and not earlier.over:
            return earlier == word
        if not own and earlier.objects:
            return False
    return False
