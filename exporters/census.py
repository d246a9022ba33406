"""Every item on its way into a package: checked once, counted once.

What is checked is what a writer relies on, whatever the format: that an item
stands once, that its key and its slips are options it offers, that its points
are whole and those of its group.  What one format cannot carry, its writer refuses.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Executor
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from itertools import chain, zip_longest
from typing import TypeVar

from exporters.keys import fault_of_key, fault_of_slips
from exporters.release import Count, Group, Together, drawn_as, lots
from itembank.languages import Said
from itembank.notation.tree import Blocks
from itembank.values.errors import ExportError
from itembank.values.item import Item, Scoring
from itembank.values.points import Points
from itembank.values.sharing import in_order, together
from itembank.values.worded import joined, laid_out, worded

Piece = TypeVar("Piece")


@dataclass(frozen=True)
class Passed:
    """What a package says of an item that it holds; `type` in the words of the format."""

    identifier: str
    place: str
    type: Said
    points: Points
    outcomes: tuple[str, ...]
    variant: tuple[str, int] = ("", 0)
    """What is alike for the parts of its variant."""


@dataclass(frozen=True)
class Gate:
    """What each item of a group meets before it is written; it can be sent to another process.

    `points`: what each counts in its group.  `type_of` names an item's type.
    """

    format: str
    type_of: Callable[[Item], Said]
    points: Points

    def written(
        self, write: Callable[[Item], Piece], items: Iterable[Item]
    ) -> Iterator[tuple[Passed, Piece]]:
        """Each item that passes, as `write` gives it; ExportError at the first that may not."""
        for item in items:
            where = place(self.format, item)
            fault = self.fault(item)
            if fault:
                raise ExportError(laid_out("{where}: {fault}", where=where, fault=fault))
            passed = Passed(
                item.identifier, where, self.type_of(item), item.scoring.points, item.outcomes,
                drawn_as(item),
            )  # fmt: skip
            yield passed, write(item)

    def lot(
        self, write: Callable[[Item], Piece], items: Iterable[Item]
    ) -> list[tuple[Passed, Piece]]:
        """The same all at once, in any process."""
        return list(self.written(write, items))

    def fault(self, item: Item) -> str | None:
        """What is wrong with an item of this group, or None."""
        if not _counts_for(self.points, item.scoring):
            return _fault_of_points(self.points, item.scoring)
        return fault_of_key(item) or fault_of_slips(item)


class Census:
    """The items of a release in the order they are written.

    `type_of` names an item's type in the words of the format.  Given an executor, other
    processes check and write the items, and `type_of` and what writes them must be picklable.
    """

    def __init__(
        self, format: str, type_of: Callable[[Item], Said], executor: Executor | None = None
    ) -> None:
        self.format, self.type_of, self.executor = format, type_of, executor
        self.seen: set[str] = set()
        self.counts: list[Count] = []
        self.types: dict[str, Counter[Said]] = {}
        """By the family of the group that is being written: how many of each type."""

    def written(
        self, group: Group, write: Callable[[Item], Piece]
    ) -> Iterator[tuple[Passed, Piece]]:
        """The items of a group as `write` gives them; ExportError at the first that may not."""
        types = self.types[group.family] = Counter()
        gate, n = Gate(self.format, self.type_of, group.points), 0
        for passed, piece in self.pieces(gate, group, write):
            if passed.identifier in self.seen:
                raise ExportError(
                    worded("{place}: expected each item once, got it twice", place=passed.place)
                )
            self.seen.add(passed.identifier)
            types[passed.type] += 1
            n += 1
            yield passed, piece
        if not 1 <= group.choose <= n:
            raise ExportError(
                worded(
                    "{format}: group {family}: expected at least as many items as are drawn, got "
                    "{n} items and a draw of {choose}",
                    format=self.format,
                    family=group.family,
                    n=n,
                    choose=group.choose,
                )
            )
        self.counts.append(Count(group=group, items=n, types=dict(+types)))

    def of_all(
        self, groups: Together, write: Callable[[Group], Callable[[Item], Piece]]
    ) -> Iterator[tuple[tuple[Group, Passed, Piece], ...]]:
        """The items of groups that are drawn as one, variant by variant: each with its group.

        ExportError where the parts of a variant are not beside each other.
        """
        each = [self.written(group, write(group)) for group in groups.groups]
        for row in zip_longest(*each):
            if None in row or len({passed.variant for passed, _piece in row}) > 1:
                where = next(passed.place for passed, _piece in filter(None, row))
                raise ExportError(
                    worded("{where}: expected all parts of its variant together", where=where)
                )
            yield tuple(
                (group, passed, piece)
                for group, (passed, piece) in zip(groups.groups, row, strict=True)
            )

    def count_as_one(self, row: Sequence[tuple[Group, Passed]], type: Said) -> None:
        """Count the parts of the variant that was read last as one item of this type."""
        for group, passed in row:
            self.types[group.family][passed.type] -= 1
        self.types[row[0][0].family][type] += 1

    def pieces(
        self, gate: Gate, group: Group, write: Callable[[Item], Piece]
    ) -> Iterator[tuple[Passed, Piece]]:
        if self.executor is None:
            return gate.written(write, group.items)
        work = partial(gate.lot, write)
        tasks = lots(group.items, together(self.executor))
        return chain.from_iterable(in_order(work, tasks, self.executor, all_wanted=True))


def _counts_for(points: Points, scoring: Scoring) -> bool:
    """Whether a key that scores `scoring.points` can count `points`, weighted by a whole number.

    All or nothing, by stage: the stem states the points, so they are the same.  Plus minus: each
    right option counts the same whole number of points.  What counts nothing may score anything.
    """
    if points == 0:
        return scoring.points > 0
    if scoring.rule != "plus minus":
        return points == scoring.points > 0
    return points >= 1 and scoring.points >= 1 and points % scoring.points == 0


def _fault_of_points(points: Points, scoring: Scoring) -> str:
    if scoring.rule == "plus minus":
        return worded(
            "expected its group to count a multiple of its {points} points ({rule}), got "
            "{got}; say so in the pool",
            points=scoring.points,
            rule=scoring.rule,
            got=points,
        )
    told = worded(
        "expected points that can count {points} in its group, got {got} ({rule})",
        points=points,
        got=scoring.points,
        rule=scoring.rule,
    )
    by_stage = scoring.rule == "by stage"
    instead = [worded("say in the pool what its stages count")] if by_stage else []
    return joined("; ", [told, *instead])


def place(format: str, item: Item) -> str:
    """How a message names an item."""
    origin = item.provenance
    return worded(
        "{format}: item {identifier} (family {family}, variant {index})",
        format=format,
        identifier=item.identifier,
        family=origin.family,
        index=origin.index,
    )


def for_the_least_residue(stem: Blocks) -> Blocks:
    """The stem to show where the least residue alone is accepted; ExportError without one."""
    if not stem:
        raise refusal(
            worded("any representative of a residue"),
            worded("give its response a stem that asks for the least residue"),
        )
    return stem


@contextmanager
def naming(format: str, item: Item) -> Iterator[None]:
    """What is refused of an item, with its name before it."""
    try:
        yield
    except ExportError as error:
        raise ExportError(
            laid_out("{place}: {error}", place=place(format, item), error=error)
        ) from None


def refusal(what: str, instead: str) -> ExportError:
    """The error for what an item holds and a format cannot carry, with what to do instead."""
    return ExportError(
        worded("{what}, which this format cannot express; {instead}", what=what, instead=instead)
    )
