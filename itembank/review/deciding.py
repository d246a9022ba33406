"""What reviewers decided, applied to the items as they are now.

A decision is bound to the hash of what the reviewer saw, facet by facet.  Where an item has changed
since, what was said of its other facets stands; those that the change touches are asked again,
and the lines that a student or a grader sees say what changed.  The record is a plain file beside
the pool; it only grows, and what the words on it come to is said in `values/verdicts.py`: no
acceptance outweighs another person's return.

Status words are those of IEEE 1484.12.1 (LOM) 2.2: draft, final, revised, unavailable.
Source: AERA, APA & NCME, Standards (2014), 4.0 (evidence of each step).
"""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import chain
from pathlib import Path
from typing import Any, Literal

from exporters.release import Group, Release, whole_variants
from itembank.review.decisions_file import (
    Decision,
    DecisionError,
    Decisions,
    Facet,
    Settlement,
    read_decisions,
    refuse_false_packet,
    schema,
)
from itembank.review.seen import UNSEEN, seen_lines, what_changed
from itembank.values.files import write_whole
from itembank.values.item import Item
from itembank.values.verdicts import (
    FACETS,
    Return,
    Spoken,
    accepted_facets,
    carried,
    folded,
    is_repeated,
    open_returns,
)
from itembank.values.worded import joined, laid_out, worded

__all__ = [
    "Applied",
    "Decision",
    "DecisionError",
    "Decisions",
    "Facet",
    "Missing",
    "Record",
    "Settlement",
    "Word",
    "accepted_only",
    "applied",
    "read_decisions",
    "record_beside",
    "refuse_false_packet",
    "refuse_false_settlements",
    "refuse_open_returns",
    "refuse_own_review",
    "refuse_returned",
    "returns_of",
    "schema",
    "spoken",
    "statuses",
    "words_of",
]

Status = Literal["draft", "final", "revised"]


# ------------------------------------------------------------ the record


@dataclass(frozen=True, kw_only=True)
class Word:
    """One decision or settlement on record, by whom and when."""

    reviewer: str
    date: str
    term: str
    decision: Decision | Settlement

    @property
    def spoken(self) -> Spoken:
        return self.decision.spoken(self.reviewer, self.date)

    def as_json(self) -> dict[str, object]:
        return {
            "reviewer": self.reviewer,
            "date": self.date,
            "term": self.term,
            **self.decision.model_dump(),
        }


def _word_from(stored: dict[str, Any]) -> Word:
    about = {name: stored.pop(name) for name in ("reviewer", "date", "term")}
    kind = Settlement if "over" in stored else Decision
    return Word(**about, decision=kind.model_validate(stored))


def spoken(words: Iterable[Word]) -> tuple[Spoken, ...]:
    return tuple(word.spoken for word in words)


@dataclass(frozen=True)
class Record:
    """All that was decided on a pool's items, in order, in a file beside the pool."""

    path: Path

    def words(self) -> tuple[Word, ...]:
        if not self.path.is_file():
            return ()
        try:
            return tuple(map(_word_from, json.loads(self.path.read_bytes())["decisions"]))
        except (ValueError, KeyError, TypeError, AttributeError) as e:
            raise DecisionError(
                worded(
                    "{path}: expected the decisions that were recorded here, found a damaged file; "
                    "restore it from a copy ({splitlines})",
                    path=self.path,
                    splitlines=str(e).splitlines()[0][:80],
                )
            ) from None

    def add(self, new: Sequence[Word]) -> int:
        """Record these words; how many.  The file is replaced as a whole.

        Only a word that its own reviewer said last, with no return by anyone since, is a repeat.
        """
        whole = list(self.words())
        on_item: dict[str, list[Word]] = {}
        for word in whole:
            on_item.setdefault(word.decision.item, []).append(word)
        before = len(whole)
        for word in new:
            held = on_item.setdefault(word.decision.item, [])
            if word not in held or not is_repeated(word.spoken, spoken(held)):
                held.append(word)
                whole.append(word)
        if len(whole) > before:
            text = json.dumps(
                {"decisions": [w.as_json() for w in whole]}, ensure_ascii=False, indent=1
            )
            write_whole(self.path, (text + "\n").encode())
        return len(whole) - before


def record_beside(pool: Path) -> Record:
    """The record of the pool of this file."""
    return Record(pool.with_name(f"{pool.stem}.decisions.json"))


# ------------------------------------------------------------ applying


Outcome = Literal["stands", "in part", "changed", "gone"]

_STANDING = ("stands", "in part")
"""The outcomes of what goes on record."""


@dataclass(frozen=True, kw_only=True)
class Applied:
    """A decision or settlement against the item as it is now.

    stands: all that was said is about the item as it is.  in part: it has changed, and what was
    said of `void` is so no longer.  changed: nothing that was said is.  gone: there is no such item
    any more.  `difference` says what changed; `fingerprint` is that of the item now, if any.
    """

    decision: Decision | Settlement
    outcome: Outcome
    title: str
    fingerprint: str = ""
    void: tuple[str, ...] = ()
    difference: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Items:
    """The items as they are now, by hash, name and place."""

    by_hash: dict[str, Item] = field(default_factory=dict)
    by_name: dict[str, Item] = field(default_factory=dict)
    by_place: dict[tuple[str, int], Item] = field(default_factory=dict)

    @classmethod
    def of(cls, items: Iterable[Item]) -> "_Items":
        found = cls()
        for item in items:
            found.by_hash[item.fingerprint] = item
            found.by_name[item.identifier] = item
            found.by_place[item.provenance.family, item.provenance.index] = item
        return found

    def meant(self, word: Decision | Settlement) -> Item | None:
        """The item that a decision or settlement is about, as it is now."""
        found = self.by_hash.get(word.fingerprint) or self.by_name.get(word.item)
        if found or isinstance(word, Settlement):
            return found
        return self.by_place.get((word.family, word.index))


def applied(decisions: Decisions, items: Iterable[Item]) -> Iterator[Applied]:
    """Each decision against the items; DecisionError where a file shows what no item showed."""
    held = _Items.of(items)
    for word in decisions.words:
        now = held.meant(word)
        if now is None:
            yield Applied(decision=word, outcome="gone", title=word.item)
        else:
            yield _applied_to(word, now)


def _applied_to(word: Decision | Settlement, now: Item) -> Applied:
    left = {f.facet for said in carried([word.spoken("", "")], [now]) for f in said.facets}
    said = word.facets if isinstance(word, Decision) else [word.facet]
    void = tuple(facet for facet in said if facet not in left)
    difference: tuple[str, ...] = ()
    if isinstance(word, Decision):
        difference = what_changed(word.seen, seen_lines(now))
        _refuse_false_lines(word, now, difference)
    outcome: Outcome = "in part" if left else "changed"
    return Applied(
        decision=word,
        outcome=outcome if void else "stands",
        title=now.title,
        fingerprint=now.fingerprint,
        void=void,
        difference=(difference or UNSEEN) if void else (),
    )


def _refuse_false_lines(word: Decision, now: Item, difference: Sequence[str]) -> None:
    """DecisionError where the lines, or the hashes of facets, are not those of the item's hash."""
    whole = word.fingerprint == now.fingerprint
    wrong = [facet for facet, mark in word.hashes.items() if mark != now.facets[facet]]
    if whole and wrong:
        raise DecisionError(
            worded(
                "{item}: expected the hash of {wrong} of the item with this hash, the file has "
                "another; review it in a packet made anew",
                item=word.item,
                wrong=wrong[0],
            )
        )
    same = whole or (len(word.hashes) == len(FACETS) and not wrong)
    if same and difference:
        raise DecisionError(
            worded(
                "{item}: expected the lines of the item with this hash, the file shows others: "
                "{difference}; review it in a packet made anew",
                item=word.item,
                difference=difference[0],
            )
        )


def refuse_own_review(decisions: Decisions, author: str, persons: int) -> None:
    """Where two persons must agree, nobody reviews what is his own."""
    if persons == 2 and folded(decisions.reviewer) == folded(author):
        raise DecisionError(
            worded(
                "reviewer {reviewer}: the pool asks for two persons, and this is its author; "
                "another person must review it",
                reviewer=decisions.reviewer,
            )
        )


def words_of(decisions: Decisions, outcomes: Iterable[Applied]) -> tuple[Word, ...]:
    """What goes on record: the decisions and settlements that stand, if only in part.

    They are recorded as they were said; `carried` tells what of them counts.
    """
    return tuple(
        Word(
            reviewer=decisions.reviewer,
            date=decisions.date,
            term=decisions.term,
            decision=outcome.decision,
        )
        for outcome in outcomes
        if outcome.outcome in _STANDING
    )


# ------------------------------------------------------------ settling


def refuse_false_settlements(
    decisions: Decisions,
    author: str,
    outcomes: Iterable[Applied],
    records: Sequence[Sequence[Spoken]],
) -> None:
    """DecisionError for a settlement of no open return, or by one who is a party to it.

    `records`: what is on record, beside the pool and in a bank, carried onto the items as they
    are.  A settlement that is there already is no fault.
    """
    said: dict[str, list[Spoken]] = {}
    for word in chain.from_iterable(records):
        said.setdefault(word.item, []).append(word)
    returns = returns_of(records)
    own = {d.item: d.facets for d in decisions.decisions}
    for outcome in outcomes:
        settlement = outcome.decision
        if not isinstance(settlement, Settlement) or outcome.outcome != "stands":
            continue
        item = outcome.fingerprint
        word = settlement.spoken(decisions.reviewer, decisions.date)
        if replace(word, item=item) in said.get(item, ()):
            continue
        fault = _party(decisions.reviewer, author, settlement, said.get(item, ()))
        fault = fault or _no_return(decisions.date, settlement, returns.get(item, ()))
        facet = own.get(settlement.item, {}).get(settlement.facet)
        if not fault and facet and facet.verdict != settlement.verdict:
            fault = worded(
                "expected one word on it, the file also says {verdict}; say which it is",
                verdict=facet.verdict,
            )
        if fault:
            raise DecisionError(
                worded(
                    "{item}: settlement of {facet}: {fault}",
                    item=settlement.item,
                    facet=settlement.facet,
                    fault=fault,
                )
            )


def _party(reviewer: str, author: str, settlement: Settlement, said: Iterable[Spoken]) -> str:
    """Why this reviewer is no third person; "" if it is one."""
    if folded(reviewer) == folded(settlement.over):
        return worded(
            "{person} returned it, and takes it back by accepting it; a third person must settle "
            "it otherwise",
            person=reviewer,
        )
    if author and folded(reviewer) == folded(author):
        return worded(
            "{person} is the author of the pool; a third person must settle it", person=reviewer
        )
    if any(folded(w.person) == folded(reviewer) and not w.over for w in said):
        return worded(
            "{person} has decided on the item before; a third person must settle it",
            person=reviewer,
        )
    return ""


def _no_return(date: str, settlement: Settlement, returns: Iterable[Return]) -> str:
    """Why there is no return to settle on this date; "" if there is one."""
    for found in returns:
        if found.facet == settlement.facet and folded(found.person) == folded(settlement.over):
            if date < found.date:
                return worded(
                    "dated {date}, before the return of {returned}; date it anew",
                    date=date,
                    returned=found.date,
                )
            return ""
    return worded("expected an open return by {over}, found none on record", over=settlement.over)


# ------------------------------------------------------------ what may leave


def statuses(items: Iterable[Item], words: Iterable[Word]) -> dict[str, Status]:
    """By fingerprint: final (accepted as it is), revised (changed since), draft (all others)."""
    items, words = tuple(items), tuple(words)
    accepted = accepted_facets(carried(spoken(words), items))
    said_of = {word.decision.fingerprint for word in words}
    known = {
        place
        for word in words
        if isinstance(word.decision, Decision) and word.decision.verdict == "accepted"
        for place in (word.decision.item, (word.decision.family, word.decision.index))
    }
    found: dict[str, Status] = {}
    for item in items:
        place = (item.provenance.family, item.provenance.index)
        if not lacking(accepted.get(item.fingerprint, ())):
            found[item.fingerprint] = "final"
        else:
            changed = item.fingerprint not in said_of and {item.identifier, place} & known
            found[item.fingerprint] = "revised" if changed else "draft"
    return found


def lacking(accepted: Iterable[str]) -> tuple[str, ...]:
    """The facets that are not among these."""
    held = set(accepted)
    return tuple(facet for facet in FACETS if facet not in held)


@dataclass(frozen=True)
class Missing:
    """An item that may not leave yet, its status, the returns that hold it, the facets it lacks."""

    identifier: str
    title: str
    status: Status
    returns: tuple[Return, ...] = ()
    facets: tuple[str, ...] = FACETS

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why it may not leave: each return, and the facets that nobody has accepted."""
        held = {one.facet for one in self.returns}
        left = tuple(facet for facet in self.facets if facet not in held)
        why = (
            worded("changed since it was accepted")
            if self.status == "revised"
            else worded("not accepted")
        )
        if left and left != FACETS:
            why = laid_out("{left}: {why}", left=", ".join(left), why=why)
        return (*map(str, self.returns), *([why] if left else []))


def accepted_only(release: Release, words: Sequence[Word]) -> tuple[Release, tuple[Missing, ...]]:
    """The release without what nobody has accepted, and what that is.

    Raises DecisionError where fewer are left in a group than a student draws.
    """
    groups: list[Group] = []
    missing: list[Missing] = []
    for group in release.groups:
        items = tuple(group.items)
        said = carried(spoken(words), items)
        returns, accepted = returns_of([said]), accepted_facets(said)
        status: Mapping[str, Status] = statuses(items, words)
        left = tuple(i for i in items if status[i.fingerprint] == "final")
        missing += [
            Missing(
                i.identifier,
                i.title,
                status[i.fingerprint],
                tuple(returns.get(i.fingerprint, ())),
                lacking(accepted.get(i.fingerprint, ())),
            )
            for i in items
            if status[i.fingerprint] != "final"
        ]
        groups.append(replace(group, items=left))
    held = {group.family: len(tuple(group.items)) for group in release.groups}
    groups = list(whole_variants(groups))
    short = [
        too_few(group.family, n, held[group.family], group.choose)
        for group in groups
        if (n := len(tuple(group.items))) < group.choose
    ]
    if short:
        raise not_enough(short, missing)
    stories = frozenset(i.identifier for group in groups for i in group.items if i.formal)
    return replace(release, groups=tuple(groups), stories=stories), tuple(missing)


def with_stories(release: Release, words: Sequence[Word]) -> Release:
    """The release with the stories that stand in the place of their questions, all accepted.

    A story is accepted with the wording of its item as it is.  Raises DecisionError where nobody
    has accepted one, or a return of it is open.
    """
    stories = [item for group in release.groups if _is_story(group) for item in group.items]
    accepted = accepted_facets(carried(spoken(words), stories))
    left = [i for i in stories if "wording" not in accepted.get(i.fingerprint, {})]
    refuse_unaccepted(left, len(stories))
    return replace(release, stories=frozenset(item.identifier for item in stories))


def refuse_unaccepted(left: Sequence[Item], stories: int) -> None:
    """DecisionError if stories in the place of questions are left that nobody has accepted."""
    if not left:
        return
    first = left[0]
    raise DecisionError(
        worded(
            "{family}: expected each story in the place of its question accepted by a "
            "person, found {n} of {stories} whose wording nobody has accepted as it is, "
            "such as {identifier} ({title}); accept them in a packet (`itembank packet`, "
            "`itembank decide`), or write `formal: shown` in the family",
            family=first.provenance.family,
            n=len(left),
            stories=stories,
            identifier=first.identifier,
            title=first.title,
        )
    )


def _is_story(group: Group) -> bool:
    """Whether stories stand in the place of the questions of a group, which are of one family."""
    first = next(iter(group.items), None)
    return first is not None and bool(first.formal)


def refuse_returned(release: Release, words: Sequence[Word]) -> None:
    """DecisionError if a return is open on an item of the release as it is."""
    named = {word.decision.item for word in words}
    items = [item for group in release.groups for item in group.items if item.identifier in named]
    refuse_open_returns([carried(spoken(words), items)])


def refuse_open_returns(records: Iterable[Sequence[Spoken]]) -> None:
    """DecisionError if a return is open by any of these records of words on items as they are."""
    records = tuple(records)
    names = {word.item: word.name for words in records for word in words}
    held = [
        laid_out("{item}: {said}", item=names[item], said=one)
        for item, returns in returns_of(records).items()
        for one in returns
    ]
    if held:
        expected = worded(
            "expected no open return on what is released, found {n}; whoever returned an "
            "item takes that back, or a third person settles it, in a packet; or mend the "
            "question, or leave these items out with `itembank make --require-accepted`",
            n=len(held),
        )
        raise DecisionError(joined("\n", (expected, *held)))


def returns_of(records: Iterable[Iterable[Spoken]]) -> dict[str, list[Return]]:
    """The returns of each item that are open by any of these records."""
    found: dict[str, list[Return]] = {}
    for one in dict.fromkeys(r for words in records for r in open_returns(words)):
        found.setdefault(one.item, []).append(one)
    return found


def not_enough(short: Sequence[str], missing: Iterable[Missing]) -> DecisionError:
    """That a group has too few accepted items, and what holds those that somebody spoke of."""
    spoken_of = (m for m in missing if m.returns or m.facets != FACETS)
    held = [
        laid_out("{item}: {title}: {why}", item=m.identifier, title=m.title, why=why)
        for m in spoken_of
        for why in m.reasons
    ]
    told = worded("not enough accepted items: {groups}", groups=joined("; ", short))
    return DecisionError(joined("\n", [told, *held]))


def too_few(family: str, left: int, held: int, choose: int) -> str:
    return worded(
        "{family}: {left} of {held} accepted, a student draws {choose}",
        family=family,
        left=left,
        held=held,
        choose=choose,
    )
