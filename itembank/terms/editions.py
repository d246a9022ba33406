"""What a bank holds in the first language of a pool, written in its others.

The bank keeps each question once. In another language it is composed anew from the variant it
was drawn as, and leaves only if it is the same question still.
"""

from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path

from exporters.release import Group, Release, Target, Written, target
from itembank.bank import Bank, releases
from itembank.pipeline import selection
from itembank.pipeline.making import Composed, Made, Progress, unheard, written_together
from itembank.pipeline.variants import Variant
from itembank.spec import Family, Pool, PoolEntry
from itembank.terms.export import NamedRelease
from itembank.terms.packages import on_record
from itembank.values.errors import BankError
from itembank.values.item import Item
from itembank.values.worded import worded


@dataclass(frozen=True)
class _Again:
    """Items of the bank in another language; each reading composes them and checks each."""

    held: Iterable[Item]
    composed: Composed

    def __iter__(self) -> Iterator[Item]:
        edition = self.composed.pool.edition
        for ours, theirs in zip(self.held, self.composed, strict=True):
            if theirs.identifier != f"{ours.identifier}-{edition}":
                raise _changed(ours)
            yield theirs


def _changed(item: Item) -> BankError:
    return BankError(
        worded(
            "{identifier}: in another language it would be another question: the pool or "
            "the family {family} has changed since it was drawn; restore it, or draw anew",
            identifier=item.identifier,
            family=item.provenance.family,
        )
    )


def write_editions(
    bank: Bank,
    pool: Pool,
    first: Made,
    editions: Sequence[Pool],
    out: Path,
    formats: Sequence[str | Target],
    progress: Progress = unheard,
    executor: Executor | None = None,
) -> tuple[Made, ...]:
    """Write a release of the bank in other languages, its packages on record with it.

    Raises BankError where the pool no longer gives the questions that the bank holds.
    """
    targets = [target(wanted) for wanted in formats]
    name = first.release.name
    others = [edition_of(first.release, pool, edition, executor) for edition in editions]

    def record(packages: Sequence[Written]) -> None:
        wanted = [t for _other in others for t in targets]
        made = list(map(on_record, wanted, packages))
        with bank.writing() as connection:
            releases.record_packages(connection, name, made)

    return written_together(others, out, targets, progress, record, executor=executor)


def edition_of(
    release: Release, pool: Pool, edition: Pool, executor: Executor | None = None
) -> NamedRelease:
    """A release of the bank in another language of its pool; BankError as of `write_editions`."""
    entries = {part.family.id: (entry, part) for entry in pool.entries for part in entry.parts}
    return NamedRelease(
        named=f"{release.name}-{edition.edition}",
        pool_id=release.pool_id,
        title=release.title,
        course=release.course,
        term=release.term,
        language=edition.language,
        instructions=edition.instructions,
        groups=tuple(
            _in_edition(group, entries.get(group.family), edition, executor)
            for group in release.groups
        ),
        edition=edition.edition,
        languages=edition.languages,
    )


def _in_edition(
    group: Group,
    found: tuple[PoolEntry, PoolEntry] | None,
    edition: Pool,
    executor: Executor | None,
) -> Group:
    if found is None:
        raise _changed(next(iter(group.items)))
    entry, part = found
    drawn = tuple(_variants_of(group, entry, part, edition))
    return replace(group, items=_Again(group.items, Composed(drawn, part, edition, executor)))


def _variants_of(
    group: Group, entry: PoolEntry, part: PoolEntry, edition: Pool
) -> Iterator[Variant]:
    """The variants that the items were drawn as, in their order; of one in parts, its part."""
    wanted = [item.provenance for item in group.items]
    letter = part.family.part
    families = {part.family.id: entry.family}
    families |= {_name_in(family, letter): family for family in entry.instead}
    streams: dict[tuple[str, str], dict[int, Variant]] = {}
    for name, seed in dict.fromkeys((origin.family, origin.seed) for origin in wanted):
        most = max(o.index for o in wanted if (o.family, o.seed) == (name, seed))
        if name in families:
            stream = selection.stream_of(families[name], edition, seed)
            streams[name, seed] = {v.index: v for v in islice(stream, most + 1)}
    for item, origin in zip(group.items, wanted, strict=True):
        variant = streams.get((origin.family, origin.seed), {}).get(origin.index)
        if variant is None or origin.version != variant.family.version:
            raise _changed(item)
        own = {one.part: one for one in variant.family.parts}
        yield variant.of_part(own[letter]) if letter else variant


def _name_in(family: Family, letter: str) -> str:
    """The id of a family, or of its part of this letter."""
    return next((part.id for part in family.parts if part.part == letter), family.id)
