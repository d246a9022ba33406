"""A pool's term from the bank to audited packages, and the release on record.

Items are read in a stream, in the order of the record, and never all held.  A release is
recorded when all its packages are audited, and only then do these take their place: what is in
the folder is on record, whenever the process dies.
"""

from collections.abc import Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from itertools import starmap
from pathlib import Path

from exporters.notices import change_list
from exporters.release import Group, Release, Target, Written, target
from itembank.bank import Bank, Connection, decisions, entries, forms, releases
from itembank.bank.releases import Contents
from itembank.bank.stored import item_from
from itembank.languages import Speaker, say
from itembank.pipeline.making import Made, Progress, unheard, written
from itembank.terms.packages import on_record, written_before
from itembank.values.errors import BankError
from itembank.values.files import refuse_unless_writable, write_whole
from itembank.values.item import Item
from itembank.values.sharing import several
from itembank.values.verdicts import accepted_facets
from itembank.values.worded import worded


@dataclass(frozen=True)
class _StoredItems:
    """Items of the bank by number; each reading is a query."""

    bank: Bank
    numbers: tuple[int, ...]

    def __iter__(self) -> Iterator[Item]:
        with self.bank.reading() as connection:
            yield from entries.stored_items(connection, self.numbers)

    def lots(self, n: int) -> Iterator["_ItemsRead"]:
        """The items n together, as they are stored: who makes them needs no bank."""
        with self.bank.reading() as connection:
            for together in several(entries.contents(connection, self.numbers), n):
                yield _ItemsRead(together)


@dataclass(frozen=True)
class _ItemsRead:
    """Items as they are stored, with their fingerprints, made where they are read."""

    contents: tuple[tuple[bytes, str], ...]

    def __iter__(self) -> Iterator[Item]:
        return starmap(item_from, self.contents)


@dataclass(frozen=True, kw_only=True)
class NamedRelease(Release):
    """A release under the name that the bank gave it."""

    named: str

    @property
    def name(self) -> str:
        return self.named


def stories_of(bank: Bank, contents: Contents) -> tuple[list[Item], list[Item]]:
    """The items whose story stands in the place of the question: those accepted, and the others.

    A story is accepted with the wording of its item as it is.  A part is of one family.
    """
    accepted: list[Item] = []
    left: list[Item] = []
    for part in contents.parts:
        first = next(iter(_StoredItems(bank, part.items[:1])), None)
        if first is None or not first.formal:
            continue
        with bank.reading() as connection:
            said = accepted_facets(decisions.words(connection, part.items))
        for item in _StoredItems(bank, part.items):
            (accepted if "wording" in said.get(item.fingerprint, {}) else left).append(item)
    return accepted, left


def release_from(bank: Bank, name: str, pool: str, term: str, contents: Contents) -> NamedRelease:
    accepted, _left = stories_of(bank, contents)
    return NamedRelease(
        stories=frozenset(item.identifier for item in accepted),
        named=name,
        pool_id=pool,
        title=contents.title,
        course=contents.course,
        term=term,
        language=contents.language,
        instructions=contents.instructions,
        groups=tuple(
            Group(
                family=part.family,
                title=part.title,
                items=_StoredItems(bank, part.items),
                choose=part.choose,
                points=part.points,
            )
            for part in contents.parts
        ),
    )


def base_name(pool: str, term: str) -> str:
    """The plain name of a pool's release for a term."""
    return Release.name_of(pool, term)


def export(
    bank: Bank,
    pool: str,
    term: str,
    out: Path,
    formats: Sequence[str | Target],
    progress: Progress = unheard,
    executor: Executor | None = None,
    languages: tuple[str, ...] = (),
) -> Made:
    """Write what the pool holds for the term in every format, audited, and record the release.

    `languages`: all in which it is released, for the load card; see `terms/editions.py`.
    """
    with bank.reading() as connection:
        number = entries.known_term(connection, term)
        contents = releases.drawn_contents(connection, pool, number, term)
    return release(
        bank, base_name(pool, term), pool, term, contents, out, formats, progress,
        executor=executor, languages=languages,
    )  # fmt: skip


def release(
    bank: Bank,
    base: str,
    pool: str,
    term: str,
    contents: Contents,
    out: Path,
    formats: Sequence[str | Target],
    progress: Progress = unheard,
    since: int | None = None,
    executor: Executor | None = None,
    languages: tuple[str, ...] = (),
) -> Made:
    """Write these contents and record them under `base`, or under the next free name after it."""
    with bank.reading() as connection:
        number = entries.known_term(connection, term)
        mark = releases.fingerprint(connection, contents)
        name = releases.name_for(connection, base, mark)

    targets = [target(wanted) for wanted in formats]

    def record(packages: Sequence[Written]) -> None:
        made = list(map(on_record, targets, packages))
        with bank.writing() as connection:
            releases.record(connection, name, pool, number, contents, mark, since)
            releases.record_packages(connection, name, made)

    made = replace(release_from(bank, name, pool, term, contents), languages=languages)
    with bank.reading() as connection:
        made = _placed(connection, made, contents.form, since is not None)
    return written(made, out, targets, progress, record, name, executor)


def _placed(connection: Connection, made: NamedRelease, form: str, since: bool) -> NamedRelease:
    """The release with what its load card tells of others: before it, after it, beside it."""
    pool, term = made.pool_id, made.term
    row = releases.series(connection, pool, term, form, since)
    place = row.index(made.name) if made.name in row else len(row)
    latest = forms.latest(connection, pool, entries.known_term(connection, term))
    beside: tuple[Written, ...] = ()
    gone: list[str] = []
    if made.name in row:
        number = releases.released(connection, made.name).number
        beside = written_before(releases.packages_of(connection, number), made.name)
        gone = releases.taken_out(connection, number)
    return replace(
        made,
        form=form,
        forms=tuple(one.name for one in latest.forms) if form and latest else (),
        replaces=row[place - 1] if place else "",
        replaced_by=row[-1] if row[place + 1 :] else "",
        withdrawn=tuple(gone),
        beside=beside,
    )


def export_again(
    bank: Bank,
    name: str,
    out: Path,
    formats: Sequence[str | Target] = (),
    progress: Progress = unheard,
    executor: Executor | None = None,
) -> Made:
    """Write a release on record again: its packages byte for byte, or `formats` of it.

    A package that does not come out as it is on record is an error, and nothing is written: this
    version writes other bytes than the one that wrote it.
    """
    with bank.reading() as connection:
        found = releases.released(connection, name)
        contents = releases.released_contents(connection, found)
        known = releases.packages_of(connection, found.number)
        made = release_from(bank, name, found.pool, found.term, contents)
        made = _placed(connection, made, contents.form, found.since is not None)
    last = {p.format: p for p in known if p.file == f"{name}-{p.format}.zip"}
    targets = [target(wanted) for wanted in formats]
    targets = targets or [Target(**package.target) for package in last.values()]
    if not targets:
        raise BankError(
            worded(
                "release {name}: no package of it is on record; say a format with --to", name=name
            )
        )

    def record(packages: Sequence[Written]) -> None:
        for package in packages if not formats else ():
            if package.sha256 != last[package.format].sha256:
                raise BankError(
                    worded(
                        "release {name}: {file} would not be the bytes on record: itembank {tool} "
                        "wrote it; use that version, or say the format with --to",
                        name=name,
                        file=package.file,
                        tool=found.tool,
                    )
                )
        with bank.writing() as connection:
            releases.record_packages(connection, name, list(map(on_record, targets, packages)))

    return written(made, out, targets, progress, record, name, executor)


# ------------------------------------------------------------ what changed since a release


@dataclass(frozen=True)
class Change:
    """An item that came or went between two releases.

    whole: of a part of a question the item that holds all of its parts in some packages, else "".
    """

    identifier: str
    title: str
    family: str
    whole: str = ""

    @property
    def names(self) -> str:
        """What it may be called on a platform."""
        return f"{self.identifier} ({self.whole})" if self.whole else self.identifier


@dataclass(frozen=True, kw_only=True)
class Changed:
    """The package of what is new since a release, if anything is, and what to retire."""

    since: str
    made: Made | None
    new: tuple[Change, ...]
    retire: tuple[Change, ...]
    kept: int
    list: Path


def export_since(
    bank: Bank,
    pool: str,
    term: str,
    earlier: str,
    out: Path,
    formats: Sequence[str | Target],
    progress: Progress = unheard,
    executor: Executor | None = None,
) -> Changed:
    """Write only what the pool holds for the term beyond an earlier release, and what to retire.

    The whole of the term is recorded as a release too, so that the next term can start from it.
    """
    path = out / f"{base_name(pool, term)}-changes.html"
    refuse_unless_writable(path)
    with bank.reading() as connection:
        number = entries.known_term(connection, term)
        contents = releases.drawn_contents(connection, pool, number, term)
        old = releases.released(connection, earlier)
        if old.pool != pool:
            raise BankError(
                worded(
                    "release {earlier}: it is one of the pool {pool}; expected one of {other_pool}",
                    earlier=earlier,
                    pool=old.pool,
                    other_pool=pool,
                )
            )
        before = set(releases.released_items(connection, old.number))
        now = set(contents.items)
        delta = only(contents, now - before)
        changes = [
            tuple(
                Change(*facts, entries.whole_item(connection, number))
                for number, facts in zip(
                    sorted(numbers), entries.named(connection, sorted(numbers)), strict=True
                )
            )
            for numbers in (now - before, before - now)
        ]
        mark = releases.fingerprint(connection, contents)
        name = releases.name_for(connection, base_name(pool, term), mark)
    with bank.writing() as connection:
        releases.record(connection, name, pool, number, contents, mark)
    made = None
    if delta.parts:
        base = f"{base_name(pool, term)}-new"
        made = release(bank, base, pool, term, delta, out, formats, progress, old.number, executor)
    new, retire = changes
    write_whole(
        path,
        change_list(
            title=contents.title,
            course=contents.course,
            term=term,
            language=contents.language,
            since=earlier,
            new=[(c.names, c.title) for c in new],
            retire=[(c.names, c.title) for c in retire],
            kept=len(now & before),
        ),
    )
    return Changed(
        since=earlier, made=made, new=new, retire=retire, kept=len(now & before), list=path
    )


def only(contents: Contents, wanted: set[int]) -> Contents:
    """The contents with these items alone; groups that are left empty fall away."""
    parts = []
    for part in contents.parts:
        kept = tuple(item for item in part.items if item in wanted)
        if kept:
            parts.append(replace(part, items=kept, choose=min(part.choose, len(kept))))
    title = Speaker(contents.language).text(say("{title}: what is new", title=contents.title))
    return replace(contents, title=title, parts=tuple(parts))
