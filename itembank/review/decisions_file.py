"""The file of decisions that a packet saves: its shape, its reader, its JSON Schema.

It is read like any input from outside: a name that shows nothing, a day that is none, a packet
that was never made, one item decided twice are each one clear line, and nothing is recorded.
"""

import json
from calendar import monthrange
from collections.abc import Hashable, Iterable, Sequence
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal, TypeVar

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError, model_validator

from itembank.values.errors import ItemBankError
from itembank.values.verdicts import (
    FACETS,
    OnFacet,
    Spoken,
    Verdict,
    can_be_read,
    folded,
    hidden_character,
)
from itembank.values.worded import laid_out, worded

if TYPE_CHECKING:
    from pydantic_core import ErrorDetails

_Thing = TypeVar("_Thing", bound=Hashable)

FORMAT = "itembank decisions 1"

_MOST_CHARACTERS = 200_000_000
"""The longest decisions file that is read."""

_YEARS = range(2000, 2100)
"""The years of a decision: no pool is older, and a clock that is set wrong says others."""


_MOST_FAULTS = 5
"""The faults of a file that are told at once."""

_MOST_FOUND = 60
"""Characters of what was found."""

_BOM = b"\xef\xbb\xbf"
"""Stands first in files that some editors have saved as UTF-8, and says nothing."""

_PATTERNS: dict[str | int, str] = {
    "date": "a day such as 2027-01-15",
    "item": "the name of an item",
    "hash": "a hash, 64 digits from 0 to 9 and a to f",
}


class DecisionError(ItemBankError):
    """A decisions file that cannot be read, or that cannot count."""


# ------------------------------------------------------------ its parts


def _readable_name(name: str) -> str:
    """The name; ValueError where a reader sees none, or does not see all of it."""
    hidden = hidden_character(name)
    if hidden:
        raise ValueError(f"expected a name, found {hidden} in it, which nobody sees; leave it out")
    if not can_be_read(name):
        raise ValueError("expected a name with letters, found none; say who decided")
    return name


def _day_of_the_calendar(date: str) -> str:
    """The date; ValueError where the calendar has no such day, or the year is out of range."""
    year, month, day = map(int, date.split("-"))
    if year not in _YEARS:
        raise ValueError(
            f"expected a year from {_YEARS[0]} to {_YEARS[-1]}, found {date}; set the clock of the "
            "machine that saved the file"
        )
    if not (1 <= month <= 12 and 1 <= day <= monthrange(year, month)[1]):
        raise ValueError(f"expected a day of the calendar, found {date}")
    return date


def _a_reason(comment: str) -> str:
    if not can_be_read(comment):
        raise ValueError("expected a comment that says why, found none")
    return comment


Text = Annotated[str, Field(max_length=20_000)]
Hash = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
ItemName = Annotated[str, Field(pattern=r"^item-[0-9a-f]{16}(-[a-z]{2,3}(-[A-Za-z0-9]{2,8})*)?$")]
Name = Annotated[str, Field(min_length=1, max_length=200), AfterValidator(_readable_name)]
Date = Annotated[
    str, Field(pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$"), AfterValidator(_day_of_the_calendar)
]
FacetName = Literal["key", "wording", "distractors and feedback", "accessibility"]


class Shape(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


class Facet(Shape):
    """What was said of one facet; a return says why."""

    verdict: Verdict
    comment: Text = ""

    @model_validator(mode="after")
    def a_return_says_why(self) -> "Facet":
        if self.verdict == "returned" and not can_be_read(self.comment):
            raise ValueError("expected a comment that says why it is returned")
        return self


class Decision(Shape):
    """A reviewer's word on one item, and the lines that the reviewer saw."""

    item: ItemName
    fingerprint: Hash
    family: Text
    index: Annotated[int, Field(ge=0)]
    verdict: Verdict
    blind: Literal["answered", "asked"]
    """Whether the reviewer answered before the key was shown, or asked for it."""
    given: list[Text]
    agreed: bool | None
    facets: dict[FacetName, Facet]
    hashes: dict[FacetName, Hash] = {}
    """The facets that were put to the reviewer, each with the hash of what it is about.

    None in a file of an older packet, which asked for all of them.
    """
    seen: list[str]

    @model_validator(mode="after")
    def the_facets_bear_it_out(self) -> "Decision":
        asked = set(self.hashes or FACETS)
        found = {facet.verdict for facet in self.facets.values()}
        if not self.facets.keys() <= asked:
            raise ValueError("expected a hash for each facet that is accepted or returned")
        accepted = self.facets.keys() == asked and found == {"accepted"}
        if accepted != (self.verdict == "accepted") or (not accepted and "returned" not in found):
            raise ValueError(f"expected facets that bear out '{self.verdict}'")
        return self

    def spoken(self, person: str, date: str) -> Spoken:
        return Spoken(
            item=self.fingerprint,
            person=person,
            date=date,
            facets=tuple(
                OnFacet(name, said.verdict, said.comment, self.hashes.get(name, ""))
                for name, said in self.facets.items()
            ),
            name=self.item,
            seen=tuple(self.seen),
        )


class Settlement(Shape):
    """A third person's word over another's return of one facet of an item as it was shown.

    accepted: the return is set aside.  returned: it is upheld, now by two persons.
    """

    item: ItemName
    fingerprint: Hash
    facet: FacetName
    over: Name
    """The reviewer whose return it is."""
    verdict: Verdict
    comment: Annotated[Text, AfterValidator(_a_reason)]
    hashes: dict[FacetName, Hash] = {}
    """The hash of what the facet is about; none in a file of an older packet."""

    def spoken(self, person: str, date: str) -> Spoken:
        mark = self.hashes.get(self.facet, "")
        return Spoken(
            item=self.fingerprint,
            person=person,
            date=date,
            facets=(OnFacet(self.facet, self.verdict, self.comment, mark),),
            over=self.over,
            name=self.item,
        )


class Decisions(Shape):
    """A file of decisions, as the packet saves it."""

    format: Literal["itembank decisions 1"]
    pool: Text
    term: Text
    packet: Hash
    shown: list[Hash] = []
    """The hashes of all items of the packet, in its order: what `packet` is the hash of."""
    reviewer: Name
    date: Date
    decisions: list[Decision]
    settlements: list[Settlement] = []

    @property
    def words(self) -> list[Decision | Settlement]:
        return [*self.decisions, *self.settlements]

    @model_validator(mode="after")
    def each_thing_is_said_once(self) -> "Decisions":
        twice = _repeated(d.item for d in self.decisions)
        if twice:
            words = sorted({d.verdict for d in self.decisions if d.item == twice})
            raise ValueError(
                f"expected one decision on each item, found {' and '.join(words)} for {twice}; "
                "decide which it is"
            )
        settled = _repeated((s.item, s.facet, folded(s.over)) for s in self.settlements)
        if settled:
            item, facet, _over = settled
            raise ValueError(
                f"expected one settlement of each return, found two of {item}: {facet}"
            )
        return self

    @model_validator(mode="after")
    def the_packet_is_the_hash_of_what_it_showed(self) -> "Decisions":
        if not self.shown:
            return self
        if packet_hash(self.shown) != self.packet:
            raise ValueError("packet: expected the hash of the items shown, found another")
        shown = set(self.shown)
        for word in self.words:
            if word.fingerprint not in shown:
                raise ValueError(
                    f"expected decisions on items of the packet, {word.item} is none of them"
                )
        return self


def _repeated(things: Iterable[_Thing]) -> _Thing | None:
    """The first thing that comes a second time."""
    seen: set[_Thing] = set()
    for thing in things:
        if thing in seen:
            return thing
        seen.add(thing)
    return None


def packet_hash(fingerprints: Iterable[str]) -> str:
    """The hash of a packet: over the hashes of its items, in their order."""
    return sha256("\n".join(fingerprints).encode()).hexdigest()


def refuse_false_packet(decisions: Decisions, now: Sequence[tuple[str, tuple[str, int]]]) -> None:
    """DecisionError for a hash that no packet of these items has or had.

    `now`: hash and place of every item.  A file that does not list what was shown can be from
    a packet of the items as they are, those that changed being as the file shows them.
    """
    if decisions.shown:
        return
    decided = {(d.family, d.index): d.fingerprint for d in decisions.decisions}
    held = {fingerprint for fingerprint, _place in now}
    shown = []
    for fingerprint, place in now:
        before = decided.get(place, fingerprint)
        shown.append(fingerprint if before in held else before)
    if decisions.packet != packet_hash(shown):
        raise DecisionError(
            worded(
                "packet: expected the hash of a packet of {pool} for {term}, found {packet}; "
                "decide in a packet made anew",
                pool=decisions.pool,
                term=decisions.term,
                packet=decisions.packet[:16],
            )
        )


# ------------------------------------------------------------ read


def schema() -> dict[str, Any]:
    """The JSON Schema of a decisions file."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **Decisions.model_json_schema(),
    }


def read_decisions(path: Path) -> Decisions:
    """The decisions of a file; DecisionError with its first faults."""
    try:
        if path.stat().st_size > _MOST_CHARACTERS:
            raise DecisionError(
                worded(
                    "{path}: longer than {most_characters} bytes",
                    path=path,
                    most_characters=_MOST_CHARACTERS,
                )
            )
        data = path.read_bytes().removeprefix(_BOM)
    except OSError as e:
        raise DecisionError(
            worded("{path}: cannot be read: {strerror}", path=path, strerror=e.strerror)
        ) from None
    try:
        decisions = Decisions.model_validate_json(data)
    except ValidationError as e:
        faults = list(map(_fault_of, e.errors(include_url=False)))
        first = [fault for fault in faults if fault.startswith("format: ")] or faults[:_MOST_FAULTS]
        raise DecisionError("\n".join(f"{path}: {fault}" for fault in first)) from None
    try:
        json.loads(data, object_pairs_hook=_said_once)
    except ValueError as e:
        raise DecisionError(laid_out("{path}: {error}", path=path, error=e)) from None
    return decisions


def _fault_of(error: "ErrorDetails") -> str:
    """What is wrong with a file, and where."""
    place, kind, found = error["loc"], error["type"], _shortened(error["input"])
    name = place[-1] if place else "the file"
    where = ".".join(map(str, place)) or "the file"
    match kind:
        case "value_error":
            what = str(error["msg"]).removeprefix("Value error, ")
        case "json_invalid":
            what = "expected JSON as a packet saves it, found none; save the decisions again"
        case _ if name == "format":
            what = f"expected a file of decisions that a packet saved ('{FORMAT}'), found another"
        case "missing":
            what = "expected the field, found none"
        case "extra_forbidden":
            what = "expected no field of this name; it may be of a later version of the packet"
        case "string_pattern_mismatch":
            what = f"expected {_PATTERNS.get(name, _PATTERNS['hash'])}, found {found}"
        case "string_too_short":
            what = "expected a name, found none; say who decided"
        case _:
            wanted = str(error["msg"]).removeprefix("Input should be ").removeprefix("a valid ")
            what = f"expected {wanted[:1].lower()}{wanted[1:]}, found {found}"
    return f"{where}: {what}"


def _shortened(found: object) -> str:
    text = repr(found)
    return text if len(text) <= _MOST_FOUND else f"{text[:_MOST_FOUND]}..."


def _said_once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object of JSON; ValueError where a name has two values, of which a reader takes one."""
    twice = _repeated(name for name, _value in pairs)
    if twice is not None:
        raise ValueError(f"expected each name once in an object, found {twice!r} twice")
    return dict(pairs)
