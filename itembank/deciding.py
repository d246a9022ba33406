"""What reviewers decided, applied to the items as they are now.

A decision is bound to the hash of what the reviewer saw.  An item that has changed since voids
its acceptance, and the lines that a student or a grader sees say what changed.  The record is a
plain file beside the pool; it only grows, and the last word on an item counts.

Status words are those of IEEE 1484.12.1 (LOM) 2.2: draft, final, revised, unavailable.
Source: AERA, APA & NCME, Standards (2014), 4.0 (evidence of each step).
"""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import unified_diff
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from exporters.package import write_whole
from exporters.release import Group, Release
from itembank.errors import ItemBankError
from itembank.item import Item
from itembank.packet import seen_lines
from itembank.packet.document import FACETS
from itembank.words import _

Verdict = Literal["accepted", "returned"]
Status = Literal["draft", "final", "revised"]

MOST_CHARACTERS = 200_000_000
"""The longest decisions file that is read."""


class DecisionError(ItemBankError):
    """A decisions file that cannot be read, or that cannot count."""


# ------------------------------------------------------------ the file

Text = Annotated[str, Field(max_length=20_000)]
Hash = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]


class Shape(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


class Facet(Shape):
    """What was said of one facet; a return says why."""

    verdict: Verdict
    comment: Text = ""

    @model_validator(mode="after")
    def a_return_says_why(self) -> "Facet":
        if self.verdict == "returned" and not self.comment.strip():
            raise ValueError("expected a comment that says why it is returned")
        return self


class Decision(Shape):
    """A reviewer's word on one item, and the lines that the reviewer saw."""

    item: Annotated[str, Field(pattern=r"^item-[0-9a-f]{16}$")]
    fingerprint: Hash
    family: Text
    index: Annotated[int, Field(ge=0)]
    verdict: Verdict
    blind: Literal["answered", "asked"]
    """Whether the reviewer answered before the key was shown, or asked for it."""
    given: list[Text]
    agreed: bool | None
    facets: dict[Literal["key", "wording", "distractors and feedback", "accessibility"], Facet]
    seen: list[str]

    @model_validator(mode="after")
    def the_facets_bear_it_out(self) -> "Decision":
        found = [facet.verdict for facet in self.facets.values()]
        accepted = len(found) == len(FACETS) and set(found) == {"accepted"}
        if accepted != (self.verdict == "accepted") or (not accepted and "returned" not in found):
            raise ValueError(f"expected facets that bear out '{self.verdict}'")
        if self.item != f"item-{self.fingerprint[:16]}":
            raise ValueError("expected the item's name to begin its hash")
        return self


class Decisions(Shape):
    """A file of decisions, as the packet saves it."""

    format: Literal["itembank decisions 1"]
    pool: Text
    term: Text
    packet: Hash
    reviewer: Annotated[str, Field(min_length=1, max_length=200)]
    date: Annotated[str, Field(pattern=r"^\d{4}-\d{2}-\d{2}$")]
    decisions: list[Decision]


def schema() -> dict[str, Any]:
    """The JSON Schema of a decisions file."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **Decisions.model_json_schema(),
    }


def read_decisions(path: Path) -> Decisions:
    """The decisions of a file; DecisionError with its first faults."""
    try:
        if path.stat().st_size > MOST_CHARACTERS:
            raise DecisionError(f"{path}: longer than {MOST_CHARACTERS} bytes")
        return Decisions.model_validate_json(path.read_bytes())
    except OSError as e:
        raise DecisionError(f"{path}: cannot be read: {e.strerror}") from None
    except ValidationError as e:
        faults = [
            f"{path}: {'.'.join(map(str, error['loc'])) or 'the file'}: {error['msg']}"
            for error in e.errors(include_url=False, include_input=False)[:5]
        ]
        raise DecisionError("\n".join(faults)) from None


# ------------------------------------------------------------ the record


@dataclass(frozen=True, kw_only=True)
class Word:
    """One decision on record, by whom and when."""

    reviewer: str
    date: str
    term: str
    decision: Decision

    def as_json(self) -> dict[str, object]:
        return {
            "reviewer": self.reviewer,
            "date": self.date,
            "term": self.term,
            **self.decision.model_dump(),
        }


@dataclass(frozen=True)
class Record:
    """All that was decided on a pool's items, in order, in a file beside the pool."""

    path: Path

    def words(self) -> tuple[Word, ...]:
        if not self.path.is_file():
            return ()
        try:
            stored = json.loads(self.path.read_bytes())["decisions"]
            return tuple(
                Word(
                    reviewer=w.pop("reviewer"),
                    date=w.pop("date"),
                    term=w.pop("term"),
                    decision=Decision.model_validate(w),
                )
                for w in stored
            )
        except (ValueError, KeyError, TypeError, AttributeError) as e:
            raise DecisionError(
                f"{self.path}: expected the decisions that were recorded here, found a damaged "
                f"file; restore it from a copy ({str(e).splitlines()[0][:80]})"
            ) from None

    def add(self, new: Sequence[Word]) -> int:
        """Record what is new of these; how many that were.  The file is replaced as a whole."""
        held = self.words()
        fresh = [w for w in new if w not in held]
        if fresh:
            whole = {"decisions": [w.as_json() for w in (*held, *fresh)]}
            write_whole(
                self.path, (json.dumps(whole, ensure_ascii=False, indent=1) + "\n").encode()
            )
        return len(fresh)


def record_beside(pool: Path) -> Record:
    """The record of the pool of this file."""
    return Record(pool.with_name(f"{pool.stem}.decisions.json"))


# ------------------------------------------------------------ applying


@dataclass(frozen=True)
class Applied:
    """A decision against the item as it is now.

    stands: the item is what the reviewer saw.  changed: the decision is void, and `difference`
    says what changed.  gone: there is no such item any more.
    """

    decision: Decision
    outcome: Literal["stands", "changed", "gone"]
    title: str
    difference: tuple[str, ...] = ()


def applied(decisions: Decisions, items: Iterable[Item]) -> Iterator[Applied]:
    """Each decision against the items; DecisionError where a file shows what no item showed."""
    by_hash: dict[str, Item] = {}
    by_place: dict[tuple[str, int], Item] = {}
    for item in items:
        by_hash[item.fingerprint] = item
        by_place[item.provenance.family, item.provenance.index] = item
    for decision in decisions.decisions:
        same = by_hash.get(decision.fingerprint)
        now = same or by_place.get((decision.family, decision.index))
        if now is None:
            yield Applied(decision, "gone", decision.item)
            continue
        difference = what_changed(decision.seen, seen_lines(now))
        if same is None:
            yield Applied(
                decision,
                "changed",
                now.title,
                difference or (_("- what it was\n+ what no line of it shows"),),
            )
        elif difference:
            raise DecisionError(
                f"{decision.item}: expected the lines of the item with this hash, the file shows "
                f"others: {difference[0]}; review it in a packet made anew"
            )
        else:
            yield Applied(decision, "stands", now.title)


def what_changed(before: Sequence[str], now: Sequence[str]) -> tuple[str, ...]:
    """The lines that were, with -, and those that are, with +; () if they are the same."""
    lines = unified_diff(before, now, lineterm="", n=0)
    return tuple(f"{line[0]} {line[1:]}" for line in list(lines)[2:] if not line.startswith("@@"))


def refuse_own_review(decisions: Decisions, author: str, persons: int) -> None:
    """Where two persons must agree, nobody reviews what is his own."""
    if persons == 2 and folded(decisions.reviewer) == folded(author):
        raise DecisionError(
            f"reviewer {decisions.reviewer}: the pool asks for two persons, and this is its "
            "author; another person must review it"
        )


def folded(name: str) -> str:
    return " ".join(name.split()).casefold()


def words_of(decisions: Decisions, outcomes: Iterable[Applied]) -> tuple[Word, ...]:
    """What goes on record: the decisions that stand."""
    return tuple(
        Word(
            reviewer=decisions.reviewer,
            date=decisions.date,
            term=decisions.term,
            decision=outcome.decision,
        )
        for outcome in outcomes
        if outcome.outcome == "stands"
    )


# ------------------------------------------------------------ what may leave


def statuses(items: Iterable[Item], words: Iterable[Word]) -> dict[str, Status]:
    """By fingerprint: final (accepted as it is), revised (changed since), draft (all others)."""
    last: dict[str, Verdict] = {}
    places: set[tuple[str, int]] = set()
    for word in words:
        last[word.decision.fingerprint] = word.decision.verdict
        if word.decision.verdict == "accepted":
            places.add((word.decision.family, word.decision.index))
    found: dict[str, Status] = {}
    for item in items:
        verdict = last.get(item.fingerprint)
        place = (item.provenance.family, item.provenance.index)
        if verdict == "accepted":
            found[item.fingerprint] = "final"
        else:
            found[item.fingerprint] = "revised" if verdict is None and place in places else "draft"
    return found


@dataclass(frozen=True)
class Missing:
    """An item that may not leave yet, and its status."""

    identifier: str
    title: str
    status: Status


def accepted_only(release: Release, words: Sequence[Word]) -> tuple[Release, tuple[Missing, ...]]:
    """The release without what nobody has accepted, and what that is.

    Raises DecisionError where fewer are left in a group than a student draws.
    """
    groups: list[Group] = []
    missing: list[Missing] = []
    short: list[str] = []
    for group in release.groups:
        items = tuple(group.items)
        status: Mapping[str, Status] = statuses(items, words)
        left = tuple(i for i in items if status[i.fingerprint] == "final")
        missing += [
            Missing(i.identifier, i.title, status[i.fingerprint])
            for i in items
            if status[i.fingerprint] != "final"
        ]
        if len(left) < group.choose:
            short.append(too_few(group.family, len(left), len(items), group.choose))
        groups.append(replace(group, items=left))
    if short:
        raise DecisionError("not enough accepted items: " + "; ".join(short))
    return replace(release, groups=tuple(groups)), tuple(missing)


def too_few(family: str, left: int, held: int, choose: int) -> str:
    return f"{family}: {left} of {held} accepted, a student draws {choose}"
