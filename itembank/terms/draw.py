"""A pool drawn for a term through the bank: without replacement over terms.

A draw is one transaction: killed at any moment, it is in the bank whole or not at all.  Drawing
the same pool for the same term again adds what is missing - more variants asked for, others
withdrawn - and changes nothing that was drawn before.
"""

from collections.abc import Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import asdict, dataclass
from itertools import chain
from typing import Any

from itembank.bank import Bank, draws, entries, measured
from itembank.bank.draws import Drawing, Held
from itembank.bank.entries import Entry
from itembank.pipeline import selection
from itembank.pipeline.making import Progress, unheard
from itembank.pipeline.selection import Band, Standing
from itembank.pipeline.variants import Effort, Variant
from itembank.spec import Pool, PoolEntry
from itembank.spec.pool import MOST_SPREAD
from itembank.values.sharing import TOGETHER, in_order, several

ENTERED_TOGETHER = 50
"""Items entered in the bank at a time."""


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """What a pool holds for a term: by family, the items held before and those new."""

    pool: str
    term: str
    before: dict[str, int]
    new: dict[str, int]

    @property
    def total(self) -> int:
        return sum(self.before.values()) + sum(self.new.values())


def draw(
    bank: Bank,
    pool: Pool,
    term: str,
    progress: Progress = unheard,
    executor: Executor | None = None,
) -> Drawn:
    """Draw what the pool lacks for the term, prove it, compose it and enter it in the bank.

    Raises an ItemBankError, and leaves the bank as it was, if any family cannot give its
    variants.
    """
    with bank.writing() as connection:
        drawing = draws.begun(connection, pool.id, term, pool.use, pool.rests)
        held = drawing.held()
        facts = facts_of(pool, term)
        before = {entry.family.id: 0 for entry in pool.entries}
        for item in held:
            before[item.family] = before.get(item.family, 0) + 1
        lacking = {
            entry.family.id: max(0, entry.variants - before[entry.family.id])
            for entry in pool.entries
        }
        if any(lacking.values()) or facts != draws.latest_facts(connection, pool.id, drawing.term):
            number = drawing.record(facts)
            twins = {sign: item.family for item in held for sign in item.signs}
            for entry in pool.entries:
                Additions(drawing, pool, entry, term, twins, held, progress, executor).record(
                    number, lacking[entry.family.id]
                )
    return Drawn(pool=pool.id, term=term, before=before, new=lacking)


def facts_of(pool: Pool, term: str) -> dict[str, Any]:
    """All that a draw depends on, with the families' entries: enough to make it again."""
    return {
        "title": pool.title,
        "course": pool.course,
        "language": pool.language,
        "seed": seed_of(pool, term),
        "letter": pool.letter,
        "effort": pool.effort.model_dump(),
        "entries": [
            {
                "family": entry.family.id,
                "version": entry.family.version,
                "title": entry.family.title,
                "outcomes": list(entry.family.outcomes),
                "variants": entry.variants,
                "choose": entry.choose,
                "points": entry.points,
                "form": entry.form,
            }
            for entry in pool.entries
        ],
    }


def seed_of(pool: Pool, term: str) -> str:
    return f"{pool.seed}/{term}"


@dataclass(frozen=True)
class Additions:
    """What one entry of a pool adds to its draw."""

    drawing: Drawing
    pool: Pool
    entry: PoolEntry
    term: str
    twins: dict[str, str]
    held: Sequence[Held]
    progress: Progress
    executor: Executor | None

    def record(self, draw: int, wanted: int) -> None:
        if not wanted:
            return
        connection, family = self.drawing.connection, self.entry.family
        number = entries.family_id(connection, family)
        kept: list[tuple[tuple[int, int], tuple[str, ...]]] = []
        for together in several(self.entries(wanted, number), ENTERED_TOGETHER):
            entered = entries.enter(connection, number, self.pool.use, together)
            for numbers, entry in zip(entered, together, strict=True):
                kept.append((numbers, tuple(entry.signs.split())))
                self.progress(entry.title)
        parts = self.parts(kept)
        self.drawing.use(draw, family.id, [[numbers for numbers, _ in part] for part in parts])

    def entries(self, wanted: int, family: int) -> Iterator[Entry]:
        """The new items as they are entered, proved and composed."""
        stream = selection.stream_of(
            self.entry.family, self.pool, seed_of(self.pool, self.term), self.executor
        )
        variants = selection.chosen(
            stream,
            wanted,
            self.pool,
            self.twins,
            self.standing,
            band(self.drawing, self.pool, self.entry, family),
            alone=self.entry.choose > 1 and bool(self.before),
        )
        if self.executor is None:
            language = self.pool.language
            return (entry_of(variant, self.entry, language) for variant in variants)
        tasks = (
            (self.entry, self.pool.language, together) for together in several(variants, TOGETHER)
        )
        return chain.from_iterable(in_order(entries_of, tasks, self.executor))

    @property
    def before(self) -> list[Held]:
        return [item for item in self.held if item.family == self.entry.family.id]

    def standing(self, variant: Variant) -> Standing:
        status = self.drawing.status(variant.name)
        return Standing(status.refused, status.fresh)

    def parts(
        self, kept: Sequence[tuple[tuple[int, int], tuple[str, ...]]]
    ) -> list[list[tuple[tuple[int, int], tuple[str, ...]]]]:
        """Where the new items stand: parts of their own, or spread over those held before."""
        choose = self.entry.choose
        if not self.before:
            return selection.apart(kept, lambda one: one[1], choose, self.entry.family.id)
        sizes = [0] * (1 + max(item.part for item in self.before))
        for item in self.before:
            sizes[item.part] += 1
        parts: list[list[tuple[tuple[int, int], tuple[str, ...]]]] = [[] for _ in sizes]
        for one in kept:
            smallest = min(range(len(sizes)), key=sizes.__getitem__)
            parts[smallest].append(one)
            sizes[smallest] += 1
        return parts


def entry_of(variant: Variant, entry: PoolEntry, language: str) -> Entry:
    item = selection.item_of(variant, entry, language)
    effort = variant.effort
    return entries.entry_of(item, variant.name, effort.digits, effort.singular, variant.signs)


def entries_of(task: tuple[PoolEntry, str, tuple[Variant, ...]]) -> list[Entry]:
    entry, language, variants = task
    return [entry_of(variant, entry, language) for variant in variants]


def band(drawing: Drawing, pool: Pool, entry: PoolEntry, family: int) -> Band | None:
    """The band of effort of a family, the same in every term: the bank keeps it."""
    spread = pool.effort.model_dump()
    if min(spread.values()) >= MOST_SPREAD:
        return None
    found = measured.band(drawing.connection, family, spread)
    if found is None:
        typical = selection.typical_efforts(entry.family, pool)
        set_now = selection.band_of(typical, Effort(**spread))
        found = {"least": asdict(set_now.least), "most": asdict(set_now.most)}
        measured.keep_band(drawing.connection, family, spread, found)
    return Band(Effort(**found["least"]), Effort(**found["most"]))
