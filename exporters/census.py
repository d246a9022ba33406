"""Every item on its way into a package: checked once, counted once.

What is checked is what a writer relies on, whatever the format: that an item
stands once, that its key and its slips are options it offers, that its points
are whole and those of its group.  What one format cannot carry, its writer refuses.
"""

from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from exporters.release import Count, Group
from itembank.errors import ExportError
from itembank.item import (
    IntegerEntry,
    Item,
    ListEntry,
    Response,
    Scoring,
    SelectAll,
    SelectOne,
    SetEntry,
    TrueFalse,
)
from itembank.notation.tree import Blocks

Answer = tuple[str, ...] | tuple[int, ...]
"""An answer in the terms of its form, as `SlipFeedback.response` states it."""


class Census:
    """The items of a release in the order they are written.

    `type_of` names an item's type in the words of the format.
    """

    def __init__(self, format: str, type_of: Callable[[Item], str]) -> None:
        self.format, self.type_of = format, type_of
        self.seen: set[str] = set()
        self.counts: list[Count] = []

    def items(self, group: Group) -> Iterator[Item]:
        """The items of a group; ExportError at the first that may not pass."""
        types: Counter[str] = Counter()
        for item in group.items:
            fault = self.fault(item, group)
            if fault:
                raise ExportError(f"{place(self.format, item)}: {fault}")
            self.seen.add(item.identifier)
            types[self.type_of(item)] += 1
            yield item
        n = types.total()
        if not 1 <= group.choose <= n:
            raise ExportError(
                f"{self.format}: group {group.family}: expected at least as many items as are"
                f" drawn, got {n} items and a draw of {group.choose}"
            )
        self.counts.append(Count(group=group, items=n, types=dict(types)))

    def fault(self, item: Item, group: Group) -> str | None:
        """What is wrong with an item of this group, or None."""
        if item.identifier in self.seen:
            return "expected each item once, got it twice"
        if not counts_for(group.points, item.scoring):
            return (
                f"expected points that can count {group.points} in its group, got"
                f" {item.scoring.points} ({item.scoring.rule})"
            )
        return fault_of_key(item) or fault_of_slips(item)


def counts_for(points: int, scoring: Scoring) -> bool:
    """Whether a key that scores `scoring.points` can count `points`, whole numbers all the way.

    All or nothing: the stem states the points, so they are the same.  Plus minus: each right
    option counts the same whole number of points.  What counts nothing may score anything.
    """
    if points == 0:
        return scoring.points >= 1
    if scoring.rule == "all or nothing":
        return points == scoring.points >= 1
    return points >= 1 and scoring.points >= 1 and points % scoring.points == 0


def key(response: Response) -> Answer:
    """The right answer; () for a list without entries."""
    match response:
        case SelectAll() | SelectOne():
            return tuple(o.identifier for o in response.options if o.correct)
        case IntegerEntry():
            return (response.value,)
        case ListEntry() | SetEntry():
            return response.values
        case TrueFalse():
            return ("true" if response.truth else "false",)


def fault_of_key(item: Item) -> str | None:
    response, right = item.response, len(key(item.response))
    if isinstance(response, SelectAll) and right == 0:
        return "expected at least one right option, got none"
    if isinstance(response, SelectOne) and right != 1:
        return f"expected one right option, got {right}"
    if isinstance(response, SetEntry) and not 0 < right < response.entries:
        return f"expected 1 to {response.entries - 1} solutions, got {right}"
    if item.scoring.rule == "plus minus":
        if not isinstance(response, SelectAll):
            return f"expected plus minus for select all, got it for {response.form}"
        if item.scoring.points != right:
            return (
                f"expected a point for each right option, got {item.scoring.points} points"
                f" for {right} options"
            )
    return None


def fault_of_slips(item: Item) -> str | None:
    """A slip must be an answer that can be given, and not the right one."""
    given = possible(item.response)
    for slip in item.feedback:
        name = " and ".join(slip.slips)
        if given is not None and not (slip.response and given.issuperset(slip.response)):
            return f"slip {name}: expected options of the item, got {list(slip.response)}"
        if isinstance(item.response, SetEntry):
            if not 0 < len(slip.response) <= item.response.entries:
                return f"slip {name}: expected what the entries hold, got {list(slip.response)}"
        elif not isinstance(item.response, SelectAll | ListEntry) and len(slip.response) != 1:
            return f"slip {name}: expected one answer, got {list(slip.response)}"
        if sorted(map(str, slip.response)) == sorted(map(str, key(item.response))):
            return f"slip {name}: expected a wrong answer, got the key"
    return None


def possible(response: Response) -> frozenset[str] | None:
    """The options that can be chosen; None where the answer is typed."""
    match response:
        case SelectAll() | SelectOne():
            return frozenset(o.identifier for o in response.options)
        case TrueFalse():
            return frozenset({"true", "false"})
        case _:
            return None


def place(format: str, item: Item) -> str:
    """How a message names an item."""
    origin = item.provenance
    return f"{format}: item {item.identifier} (family {origin.family}, variant {origin.index})"


def stem_for_the_least_residue(entry: IntegerEntry) -> Blocks:
    """The stem to show where the least residue alone is accepted; ExportError without one."""
    if not entry.least_stem:
        raise refusal(
            "any representative of a residue",
            "give its response a stem that asks for the least residue",
        )
    return entry.least_stem


@contextmanager
def naming(format: str, item: Item) -> Iterator[None]:
    """What is refused of an item, with its name before it."""
    try:
        yield
    except ExportError as error:
        raise ExportError(f"{place(format, item)}: {error}") from None


def refusal(what: str, instead: str) -> ExportError:
    """The error for what an item holds and a format cannot carry, with what to do instead."""
    return ExportError(f"{what}, which this format cannot express; {instead}")
