"""A pool drawn for a term through the bank: without replacement over terms.

A draw is one transaction: killed at any moment, it is in the bank whole or not at all.  Drawing
the same pool for the same term again adds what is missing - more variants asked for, others
withdrawn - and changes nothing that was drawn before.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import asdict, dataclass, field, replace
from itertools import chain
from typing import Any

from itembank.bank import Bank, Connection, decisions, draws, entries, measured, standing
from itembank.bank.draws import MOST_USES, Drawing, Held
from itembank.bank.entries import Entry
from itembank.pipeline import selection, titles
from itembank.pipeline.candidates import Effort
from itembank.pipeline.making import Progress, unheard
from itembank.pipeline.selection import Band, Standing
from itembank.pipeline.variants import Variant
from itembank.spec import Pool, PoolEntry
from itembank.terms.naming import near_miss
from itembank.terms.outlook import outlook, rested
from itembank.values.course import AS_USUAL, Teaching, Term
from itembank.values.errors import BankError, DrawError, ShortageError
from itembank.values.parts import is_first, letter_of, whole_of
from itembank.values.points import plain
from itembank.values.sharing import in_order, several, together
from itembank.values.worded import joined, worded

_ENTERED_TOGETHER = 50
"""Items entered in the bank at a time."""


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """What a pool holds for a term, by family.

    before: items held before.  fresh: new items of problems never used; reused: of problems that
    have rested.  lacking: what it asks for and did not get (a draw in part).  instead: of the new
    ones those of families that stand in, by the family that they stand in for.
    """

    pool: str
    term: str
    before: dict[str, int]
    fresh: dict[str, int]
    reused: dict[str, int]
    lacking: dict[str, int]
    instead: dict[str, dict[str, int]] = field(default_factory=dict)
    beyond: dict[str, int] = field(default_factory=dict)
    unasked: dict[str, int] = field(default_factory=dict)

    @property
    def total(self) -> int:
        return sum(map(sum, (d.values() for d in (self.before, self.fresh, self.reused))))


def draw(
    bank: Bank,
    pool: Pool,
    term: str,
    progress: Progress = unheard,
    executor: Executor | None = None,
    partial: bool = False,
    *,
    new_term: bool = False,
    keep: bool = True,
    replacing: bool = False,
) -> Drawn:
    """Draw what the pool lacks for the term, prove it, compose it and enter it in the bank.

    Raises an ItemBankError, and leaves the bank as it was, if any family cannot give its
    variants; with `partial` what there is is drawn, if it is something.  So it does for a term
    that may be another, mistyped, unless it is said to be a `new_term`.  Without `keep` the draw
    is tried, and the bank stays as it was.  With `replacing` others are drawn in place of items
    that a reviewer returned.

    What replaces a returned or withdrawn item comes from the families that the pool names for it
    (`instead`), and else from its own; these stand in too where a family is short.
    """
    with bank.writing(keep) as connection:
        if not new_term:
            _refuse_unlisted(pool.terms, term)
            _refuse_near_miss(term, entries.drawn_terms(connection))
        _enter_in_order(connection, pool.terms, term)
        drawing = draws.begun(connection, pool.id, term, pool.use, pool.rests)
        held = drawing.held()
        objected = set[int]()
        if replacing:
            objected = decisions.returned(connection, [h.item for h in held])
        facts = _facts_of(pool, term)
        before = {entry.family.id: 0 for entry in pool.entries}
        for name, n in _sound_variants(held, objected, pool).items():
            before[name] = before.get(name, 0) + n
        lacking = {
            entry.family.id: max(0, entry.variants - before[entry.family.id])
            for entry in pool.entries
        }
        asked = {entry.family.id: entry.variants for entry in pool.entries}
        gone = _gone_of(connection, drawing, objected, pool)
        fresh, reused = dict.fromkeys(lacking, 0), dict.fromkeys(lacking, 0)
        instead: dict[str, dict[str, int]] = {}
        if any(lacking.values()) or facts != draws.latest_facts(connection, pool.id, drawing.term):
            number = drawing.record(facts)
            twins = {sign: whole_of(item.family) for item in held for sign in item.signs}
            for entry in pool.entries:
                name = entry.family.id
                added = _Additions(
                    drawing, pool, name, entry, term, twins, held, objected, progress, executor
                )
                found = added.from_all(number, lacking[name], gone.get(name, 0), partial)
                fresh[name] = sum(new for _family, new, _again in found)
                reused[name] = sum(again for _family, _new, again in found)
                others = {f: new + again for f, new, again in found if f != name and new + again}
                if others:
                    instead[name] = others
    return Drawn(
        pool=pool.id,
        term=term,
        before=before,
        fresh=fresh,
        reused=reused,
        lacking={name: n - fresh[name] - reused[name] for name, n in lacking.items()},
        instead=instead,
        beyond={name: before[name] - n for name, n in asked.items() if before[name] > n},
        unasked={name: n for name, n in before.items() if name not in asked and n},
    )


def _sound_variants(held: Sequence[Held], objected: set[int], pool: Pool) -> Counter[str]:
    """How many variants of each family are held whole, without an item that is objected to."""
    sound: dict[str, set[tuple[str, int]]] = {}
    for item in held:
        if item.item not in objected:
            one = item.variant if letter_of(item.family) else (item.identifier, 0)
            sound.setdefault(item.family, set()).add(one)
    wholes = dict.fromkeys(map(whole_of, sound))
    for entry in pool.entries:
        if entry.family.parts and entry.family.id in wholes:
            parts = [sound.get(part.id, set()) for part in entry.family.parts]
            sound[entry.family.parts[0].id] = set.intersection(*parts)
    return Counter({whole_of(name): len(found) for name, found in sound.items() if is_first(name)})


def _gone_of(
    connection: Connection, drawing: Drawing, objected: set[int], pool: Pool
) -> Counter[str]:
    """How many variants of each group were withdrawn, or are to be replaced as returned."""
    every = draws.held(connection, drawing.pool, drawing.term, gone=True)
    sound = _sound_variants(drawing.held(), objected, pool)
    return Counter(whole_of(i.family) for i in every if is_first(i.family)) - sound


def _refuse_unlisted(terms: Sequence[Term], term: str) -> None:
    """DrawError for a term that its course does not list, where it lists any."""
    names = [known.name for known in terms]
    if names and term not in names:
        meant = near_miss(term, names)
        told = {"term": term, "names": ", ".join(names[-5:])}
        if meant:
            raise DrawError(
                worded(
                    "term {term}: expected one of the terms of the course: {names}; did you mean "
                    "{meant}? If it is a new term, add it there, or say --new-term",
                    meant=meant,
                    **told,
                )
            )
        raise DrawError(
            worded(
                "term {term}: expected one of the terms of the course: {names}; add it there, or "
                "say --new-term",
                **told,
            )
        )


def _enter_in_order(connection: Connection, terms: Sequence[Term], term: str) -> None:
    """Let the bank meet the terms of a course in its order, up to this one.

    DrawError for a term that the bank has not met, and that would stand behind a later one.
    """
    names = [known.name for known in terms]
    if term not in names or entries.has_term(connection, term):
        return
    later = next((n for n in names[names.index(term) + 1 :] if entries.has_term(connection, n)), "")
    if later:
        raise DrawError(
            worded(
                "term {term}: the bank has met {later} before it, and the course lists it "
                "later; terms of a bank stay in the order in which it met them",
                term=term,
                later=later,
            )
        )
    for name in names[: names.index(term)]:
        entries.term_id(connection, name)


def _refuse_near_miss(term: str, known: Sequence[str]) -> None:
    """DrawError for a term that the bank has not met and that may be another, mistyped."""
    meant = near_miss(term, known)
    if meant is not None:
        raise DrawError(
            worded(
                "term {term}: expected one named as those before ({known}); did you mean "
                "{meant}? If it is a new term, say --new-term",
                term=term,
                known=", ".join(known[-3:]),
                meant=meant,
            )
        )


def undo(bank: Bank, pool: str, term: str, keep: bool = True) -> dict[str, int]:
    """Take back the last draw of a pool for a term; how many questions of each family it held.

    It stays on record, and counts for nothing.  BankError where there is none, or where any of it
    was released: students may have met it.
    """
    with bank.writing(keep) as connection:
        number = entries.known_term(connection, term)
        draw = draws.last_draw(connection, pool, number)
        if draw is None:
            raise BankError(
                worded(
                    "pool {pool}: expected a draw for {term} to undo, found none",
                    pool=pool,
                    term=term,
                )
            )
        names = draws.releases_of_draw(connection, draw)
        if names:
            raise BankError(
                worded(
                    "pool {pool}: its last draw for {term} is released as {names}, so students may "
                    "have met it and it stays; `itembank withdraw` takes single items out",
                    pool=pool,
                    term=term,
                    names=", ".join(names),
                )
            )
        used = draws.used_by_draw(connection, draw)
        draws.undo(connection, draw)
    return used


def _facts_of(pool: Pool, term: str) -> dict[str, Any]:
    """All that a draw depends on, with the families' entries: enough to make it again."""
    return {
        "title": pool.title,
        "course": pool.course,
        "language": pool.language,
        "seed": _seed_of(pool, term),
        "letter": pool.letter,
        "effort": pool.effort.model_dump(),
        **_facts_of_teaching(pool),
        **({"instructions": pool.instructions} if pool.instructions else {}),
        "entries": [
            {
                "family": entry.family.id,
                "version": entry.family.version,
                "title": titles.of_group(entry.family, pool.language),
                "outcomes": list(entry.family.outcomes),
                "variants": entry.variants,
                "choose": entry.choose,
                "points": plain(entry.points),
                "form": entry.form,
                **_facts_of_stand_ins(entry),
            }
            for whole in pool.entries
            for entry in whole.parts
        ],
    }


def _facts_of_stand_ins(entry: PoolEntry) -> dict[str, Any]:
    """The families that may stand in, with their versions, where there are some."""
    return {"instead": {f.id: f.version for f in entry.instead}} if entry.instead else {}


def _facts_of_teaching(pool: Pool) -> dict[str, Any]:
    """What the course of a pool teaches otherwise than usual."""
    return {} if pool.teaching == AS_USUAL else {"teaching": asdict(pool.teaching)}


def _seed_of(pool: Pool, term: str) -> str:
    return f"{pool.seed}/{term}"


_Kept = tuple[tuple[tuple[int, int], ...], tuple[str, ...]]
"""The (item, problem) numbers of a variant, of each of its parts, and its signs of near twins."""


@dataclass(frozen=True)
class _Additions:
    """What one entry of a pool adds to its draw.

    group: the name of the entry's own family, whoever stands in for it.
    """

    drawing: Drawing
    pool: Pool
    group: str
    entry: PoolEntry
    term: str
    twins: dict[str, str]
    held: Sequence[Held]
    objected: set[int]
    progress: Progress
    executor: Executor | None

    def from_all(
        self, draw: int, lacking: int, gone: int, partial: bool
    ) -> list[tuple[str, int, int]]:
        """From each family that gave any: its id, how many of fresh problems, and of rested ones.

        What replaces the `gone` comes from the stand-ins first, the rest from the family itself;
        each helps the other out.  ShortageError where there are fewer in all than are lacking,
        unless a part will do.
        """
        if not lacking:
            return []
        replaced = min(gone, lacking)
        own, others = [self.entry], list(self.entry.stand_ins)
        found: list[tuple[str, int, int]] = []
        short: ShortageError | None = None
        for wanted, sources in ((replaced, [*others, *own]), (lacking - replaced, [*own, *others])):
            left = wanted
            for source in sources:
                held = self.drawing.held() if found else self.held
                new, again, error = replace(self, entry=source, held=held).record(draw, left)
                left -= new + again
                found += [(source.family.id, new, again)] if new + again else []
                if error is not None and source is self.entry:
                    short = error
            if left and not partial:
                raise self.shortage(short, lacking)
        if not found:
            raise ShortageError(
                worded(
                    "pool {id}: family {group}: nothing is left of it",
                    id=self.pool.id,
                    group=self.group,
                )
            )
        return found

    def shortage(self, short: ShortageError | None, wanted: int) -> ShortageError:
        """The error of the family itself, with what else there is to do."""
        if short is None:
            raise AssertionError("a family that has enough is not short")
        others = ", ".join(family.id for family in self.entry.instead)
        if others:
            told = worded(
                "{short}, and there is not enough in {others} instead, or draw a part (--partial)",
                short=short,
                others=others,
            )
        else:
            told = worded("{short}, or draw a part (--partial)", short=short)
        return ShortageError(joined("; ", [told, *self.returns(wanted, short)]))

    def record(self, draw: int, wanted: int) -> tuple[int, int, ShortageError | None]:
        """How many of fresh problems, and of rested ones, were added; and why not all."""
        if not wanted:
            return 0, 0, None
        connection, family = self.drawing.connection, self.entry.family
        families = [entries.family_id(connection, part) for part in family.each]
        kept: list[_Kept] = []
        there = _WhatThereIs(self.entries(wanted, families[0]))
        for lot in several(iter(there), _ENTERED_TOGETHER):
            of_parts = [
                self.drawing.enter(number, of_part)
                for number, of_part in zip(families, zip(*lot, strict=True), strict=True)
            ]
            for numbers, each in zip(zip(*of_parts, strict=True), lot, strict=True):
                kept.append((numbers, tuple(each[0].signs.split())))
                self.progress(each[0].title)
        if not kept:
            return 0, 0, there.short
        used = self.drawing.used([numbers[0][1] for numbers, _signs in kept])
        reused = sum(numbers[0][1] in used for numbers, _signs in kept)
        sets = self.parts(kept)
        for i, part in enumerate(family.each):
            group = f"{self.group}.{part.part}" if part.part else self.group
            self.drawing.use(draw, group, [[n[i] for n, _signs in one] for one in sets])
        return len(kept) - reused, reused, there.short

    def returns(self, wanted: int, short: ShortageError) -> Iterator[str]:
        """When the family has again what is wanted, by the terms that its problems rest."""
        drawing = self.drawing
        past = list(standing.past(drawing.connection, self.entry.family.id))
        fresh = short.given - len(rested(past, drawing.rests, MOST_USES, drawing.place))
        found = outlook(
            max(0, fresh), past, wanted=wanted, rests=drawing.rests, most_uses=MOST_USES,
            term=drawing.place,
        )  # fmt: skip
        if found.returns == 1:
            yield worded("after one term of rest there are {n} again", n=wanted)
        elif found.returns is not None:
            yield worded(
                "after {terms} terms of rest there are {n} again", terms=found.returns, n=wanted
            )

    def entries(self, wanted: int, family: int) -> Iterator[tuple[Entry, ...]]:
        """The new items as they are entered, proved and composed: those of a variant together."""
        stream = selection.stream_of(
            self.entry.family, self.pool, _seed_of(self.pool, self.term), self.executor
        )
        variants = selection.chosen(
            stream,
            wanted,
            self.pool,
            self.twins,
            self.standing_of,
            _band(self.drawing, self.pool, self.entry, family),
            alone=self.entry.choose > 1 and bool(self.before),
        )
        language, teaching = self.pool.language, self.pool.teaching
        if self.executor is None:
            return chain.from_iterable(
                _entries_of((self.entry, language, teaching, (variant,))) for variant in variants
            )
        lots = several(variants, together(self.executor))
        tasks = ((self.entry, language, teaching, lot) for lot in lots)
        return chain.from_iterable(in_order(_entries_of, tasks, self.executor))

    @property
    def before(self) -> list[Held]:
        return [
            item
            for item in self.held
            if whole_of(item.family) == self.group and is_first(item.family)
        ]

    def standing_of(self, variant: Variant) -> Standing:
        """What the record says of a variant: of one in parts, of any of these."""
        found = [self.drawing.status(name) for name in variant.names]
        refused = next((status.refused for status in found if status.refused), "")
        return Standing(refused, found[0].times, found[0].last)

    def parts(self, kept: Sequence[_Kept]) -> list[list[_Kept]]:
        """Where the new items stand: parts of their own, or spread over those held before."""
        choose = self.entry.choose
        if not self.before:
            return selection.apart(kept, lambda one: one[1], choose, self.entry.family.id)
        sizes = [0] * (1 + max(item.part for item in self.before))
        for item in self.before:
            sizes[item.part] += item.item not in self.objected
        parts: list[list[_Kept]] = [[] for _ in sizes]
        for one in kept:
            smallest = min(range(len(sizes)), key=sizes.__getitem__)
            parts[smallest].append(one)
            sizes[smallest] += 1
        return parts


@dataclass
class _WhatThereIs:
    """Entries as far as a family goes; why there are not more is then `short`."""

    found: Iterator[tuple[Entry, ...]]
    short: ShortageError | None = None

    def __iter__(self) -> Iterator[tuple[Entry, ...]]:
        try:
            yield from self.found
        except ShortageError as error:
            self.short = error


def _entry_of(variant: Variant, entry: PoolEntry, language: str, teaching: Teaching) -> Entry:
    item = selection.item_of(variant, entry, language, teaching=teaching)
    effort = variant.effort
    return entries.entry_of(item, variant.name, effort.digits, effort.singular, variant.signs)


def _entries_of(
    task: tuple[PoolEntry, str, Teaching, tuple[Variant, ...]],
) -> list[tuple[Entry, ...]]:
    """Of each variant its entries: of one in parts, one for each part."""
    entry, language, teaching, variants = task
    return [
        tuple(
            _entry_of(part, own, language, teaching)
            for part, own in zip(variant.each, entry.parts, strict=True)
        )
        for variant in variants
    ]


def _band(drawing: Drawing, pool: Pool, entry: PoolEntry, family: int) -> Band | None:
    """The band of effort of a family, the same in every term: the bank keeps it."""
    if not pool.effort.limits:
        return None
    spread = pool.effort.model_dump()
    taught = {task: way for task, way in asdict(pool.teaching.methods).items() if way}
    found = measured.band(drawing.connection, family, {**spread, **taught})
    if found is None:
        typical = selection.typical_efforts(entry.family, pool)
        set_now = selection.band_of(typical, Effort(**spread))
        found = {"least": asdict(set_now.least), "most": asdict(set_now.most)}
        measured.keep_band(drawing.connection, family, {**spread, **taught}, found)
    return Band(Effort(**found["least"]), Effort(**found["most"]))
