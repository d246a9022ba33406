"""The main job: a pool and a term become proven items, audited packages and a load card.

    draw -> solve -> prove -> compose -> export -> audit

Nothing leaves unless the second way agrees with the solver on every answer set, and the
audit of each finished package agrees with every key in it: packages are written in a room of
their own, audited, and only then take their place.
"""

import pickle
import zlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from itertools import chain, islice, repeat
from pathlib import Path

from exporters.formats import write_package
from exporters.loadcard import load_card
from exporters.release import Group, Release, Target, Written, target
from itembank.audit import Report, audit_package
from itembank.pipeline import selection, titles
from itembank.pipeline.canary import with_canaries
from itembank.pipeline.printing import pdf_names, pdfs
from itembank.pipeline.variants import Variant
from itembank.spec import Pool, PoolEntry
from itembank.values.errors import ProofError
from itembank.values.files import put, refuse_unless_writable, room, write_whole
from itembank.values.item import Item
from itembank.values.sharing import in_order, together
from itembank.values.worded import worded

Progress = Callable[[str], None]
"""Told of each variant drawn and each package audited, with its name."""

HELD = 1000
"""A family's items up to this number are held; more are composed anew for each package."""


def unheard(_name: str) -> None:
    """The progress of which nobody is told."""


@dataclass(frozen=True, kw_only=True)
class Made:
    """What `make` left in the folder: the packages with their audits, and the load card.

    printed: the documents that were compiled of sources in LaTeX.
    """

    release: Release
    packages: tuple[tuple[Written, Report], ...]
    card: Path
    printed: tuple[Path, ...] = ()


def make(
    pool: Pool,
    term: str,
    out: Path,
    formats: Sequence[str | Target],
    progress: Progress = unheard,
    executor: Executor | None = None,
) -> Made:
    """Draw, prove, compose, export every format, audit what was written, write the load card.

    In the pool's language, its first where it has several. Any executor may share the work (see
    `values/sharing.py`); what is written does not depend on it. Raises an ItemBankError, and
    leaves what stood in `out` before, if any of it fails.
    """
    return make_editions((pool,), term, out, formats, progress, executor)[0]


def make_editions(
    wanted: Sequence[Pool],
    term: str,
    out: Path,
    formats: Sequence[str | Target],
    progress: Progress = unheard,
    executor: Executor | None = None,
) -> tuple[Made, ...]:
    """As `make`, for each of these editions of one pool: the same questions in each language."""
    refuse_what_cannot_be_written(wanted, term, out, formats)
    releases = editions(wanted, term, progress, executor)
    return written_together(releases, out, formats, progress, executor=executor)


def refuse_what_cannot_be_written(
    wanted: Iterable[Pool], term: str, out: Path, formats: Sequence[str | Target]
) -> None:
    """ExportError for a file of a pool's releases that could not be written, before any work."""
    for pool in wanted:
        name = Release.name_of(pool.id, term, pool.edition)
        refuse_unless_writable(*(out / n for n in file_names(name, map(target, formats))))


def written(
    release: Release,
    out: Path,
    formats: Sequence[str | Target],
    progress: Progress = unheard,
    before: Callable[[Sequence[Written]], None] = lambda _packages: None,
    name: str = "",
    executor: Executor | None = None,
) -> Made:
    """The release in every format, audited, with its load card; errors as of `make`.

    A format is named, for the package that is usual for it, or is a Target.  What cannot be
    written is refused before any work.

    `name` names the load card, the release's if "".  `before` is told of the packages when all
    are audited, just before they take their place.
    """
    return written_together((release,), out, formats, progress, before, name, executor)[0]


def written_together(
    releases: Sequence[Release],
    out: Path,
    formats: Sequence[str | Target],
    progress: Progress = unheard,
    before: Callable[[Sequence[Written]], None] = lambda _packages: None,
    card: str = "",
    executor: Executor | None = None,
) -> tuple[Made, ...]:
    """Each release as of `written`; none takes its place unless all can."""
    targets = tuple(map(target, formats))
    names = [file_names(release.name, targets, card) for release in releases]
    refuse_unless_writable(*(out / n for n in chain.from_iterable(names)))
    with room(out) as own:
        made = [
            _drafted(release, [own / n for n in of_release], targets, progress, executor)
            for release, of_release in zip(releases, names, strict=True)
        ]
        before([package for one in made for package, _report in one.packages])
        for of_release in names:
            for name in reversed(of_release):
                put(own / name, out / name)
    return tuple(
        replace(
            one, card=out / one.card.name, printed=tuple(out / path.name for path in one.printed)
        )
        for one in made
    )


def _drafted(
    release: Release,
    files: Sequence[Path],
    targets: Sequence[Target],
    progress: Progress,
    executor: Executor | None,
) -> Made:
    """The release in these files: a package for each target, each audited; what is compiled of
    them; and the load card."""
    *written, card = files
    made: list[tuple[Written, Report]] = []
    printed = written[len(targets) :]
    for draft in map(_Draft, targets, repeat(release), written):
        package = _write_draft(draft, executor)
        report = audit_package(draft.path, executor, release.stories)
        _refuse_unless_agreed(report, package)
        progress(worded("{format}: {n} items audited", format=package.format, n=len(report.items)))
        made.append((package, report))
        if draft.target.pdf:
            _compiled(draft, printed)
            progress(f"{package.format}: compiled")
    write_whole(card, load_card(release, [package for package, _report in made]))
    return Made(
        release=release, packages=tuple(made), card=card, printed=tuple(written[len(targets) :])
    )


def _compiled(draft: "_Draft", files: Sequence[Path]) -> None:
    """The documents of a draft, compiled into these files."""
    for path, (_document, data) in zip(files, pdfs(draft.path), strict=True):
        write_whole(path, data)


def file_names(release: str, targets: Iterable[Target], card: str = "") -> list[str]:
    """The files that a release of this name leaves: packages, what is compiled, the load card.

    A package for each target, in their order; the card has the name `card`, the release's if "".
    """
    targets = tuple(targets)
    packages = (f"{release}-{t.format}.zip" for t in targets)
    documents = chain.from_iterable(pdf_names(release, t.purpose) for t in targets if t.pdf)
    return [*packages, *documents, f"{card or release}-load-card.html"]


@dataclass(frozen=True)
class _Draft:
    """A package to be written where it may be audited before it takes its place."""

    target: Target
    release: Release
    path: Path


def _write_draft(draft: _Draft, executor: Executor | None) -> Written:
    """Write a draft, under the name that it is to have."""
    t, release = draft.target, draft.release
    shown = with_canaries(release) if t.canary else release
    shown = replace(shown, copies=t.copies, paper=t.paper)
    package = write_package(t.format, shown, draft.path, t.math, t.purpose, t.profile, executor)
    counts = tuple(replace(c, group=replace(c.group, items=())) for c in package.counts)
    return replace(package, counts=counts)


def _refuse_unless_agreed(report: Report, package: Written) -> None:
    """ProofError unless the audit found every item that was written, and agrees with each."""
    name, items = package.format, sum(count.items for count in package.counts)
    if len(report.items) != items:
        raise ProofError(
            worded(
                "{name}: the audit of the finished package found {n} of {items} items; nothing "
                "was released",
                name=name,
                n=len(report.items),
                items=items,
            )
        )
    if not report.clean:
        first = "; ".join(report.findings[:3])
        raise ProofError(
            worded(
                "{name}: the audit of the finished package agrees with {report} of {n} items; "
                "nothing was released: {first}",
                name=name,
                report=report.count("agreed"),
                n=len(report.items),
                first=first,
            )
        )


# ------------------------------------------------------------ items


def released(
    pool: Pool, term: str, progress: Progress = unheard, executor: Executor | None = None
) -> Release:
    """The pool's items for a term, drawn, proved and composed."""
    return editions((pool,), term, progress, executor)[0]


def editions(
    wanted: Sequence[Pool],
    term: str,
    progress: Progress = unheard,
    executor: Executor | None = None,
) -> tuple[Release, ...]:
    """A release for each of these editions of one pool, which is drawn once."""
    pool = wanted[0]
    twins: dict[str, str] = {}
    drawn = [
        part
        for entry in pool.entries
        for part in parts_of(entry, pool, term, twins, progress, executor)
    ]
    return tuple(
        Release(
            pool_id=pool.id,
            title=pool.title,
            course=pool.course,
            term=term,
            language=edition.language,
            groups=groups_of(drawn, edition, executor),
            edition=edition.edition,
            languages=edition.languages,
            instructions=edition.instructions,
        )
        for edition in wanted
    )


@dataclass(frozen=True)
class Part:
    """Variants of one entry, or of one part of it, of which a student draws `choose`."""

    entry: PoolEntry
    variants: tuple[Variant, ...]
    choose: int


def groups_of(parts: Sequence[Part], edition: Pool, executor: Executor | None) -> tuple[Group, ...]:
    """The variants of each part as items in the language of an edition.

    Workers compose them all together: of a group of twenty one had sixteen, and another four.
    """
    composed = [Composed(part.variants, part.entry, edition, executor) for part in parts]
    held = _held([some for some in composed if len(some.variants) <= HELD], executor)
    return tuple(
        Group(
            family=part.entry.family.id,
            title=titles.of_group(part.entry.family, edition.language),
            items=some if len(some.variants) > HELD else next(held),
            choose=part.choose,
            points=part.entry.points,
        )
        for part, some in zip(parts, composed, strict=True)
    )


def parts_of(
    entry: PoolEntry,
    pool: Pool,
    term: str,
    twins: dict[str, str],
    progress: Progress,
    executor: Executor | None,
) -> Iterator[Part]:
    """The variants of one entry: one group to choose from, or several where near twins stand.

    Near twins never meet on one form: those of other families are passed over, and those of
    this one share a group of which a student gets a single question.
    """
    family = entry.family
    stream = selection.stream_of(family, pool, f"{pool.seed}/{term}", executor)
    variants: list[Variant] = []
    for variant in selection.chosen(stream, entry.variants, pool, twins):
        variants.append(variant)
        progress(f"{family.id}: variant {variant.index}")
    sets = selection.apart(variants, lambda v: v.signs, entry.choose, family.id)
    for lot in sets:
        choose = entry.choose if len(sets) == 1 else 1
        each = zip(*(variant.each for variant in lot), strict=True)
        for own, of_part in zip(entry.parts, each, strict=True):
            yield Part(own, of_part, choose)


@dataclass(frozen=True)
class Composed:
    """The items of some variants, proved and composed each time they are read."""

    variants: tuple[Variant, ...]
    entry: PoolEntry
    pool: Pool
    executor: Executor | None

    def __iter__(self) -> Iterator[Item]:
        return selection.items(self.variants, self.entry, self.pool, self.executor)

    def lots(self, n: int) -> Iterator[Iterable[Item]]:
        """The items n together, to be composed where they are read."""
        return map(_Lot, selection.tasks_of(self.variants, self.entry, self.pool, n))


def _held(composed: Sequence[Composed], executor: Executor | None) -> Iterator[Iterable[Item]]:
    """The items of each, composed now and kept."""
    if executor is None:
        yield from map(tuple, composed)
        return
    n = together(executor)
    tasks = [list(selection.tasks_of(some.variants, some.entry, some.pool, n)) for some in composed]
    packed = in_order(_packed, chain.from_iterable(tasks), executor, all_wanted=True)
    for own in tasks:
        yield _Packed(tuple(islice(packed, len(own))))


@dataclass(frozen=True)
class _Lot:
    """Items that are composed where they are read."""

    task: selection.Task

    def __iter__(self) -> Iterator[Item]:
        return iter(selection.composed(self.task))


@dataclass(frozen=True)
class _Packed:
    """Items as other processes gave them, each lot unpacked where it is read.

    Most are read in other processes alone; to unpack and pack them costs this one more than all
    else that it does with them.
    """

    packed: tuple[bytes, ...]

    def __iter__(self) -> Iterator[Item]:
        return chain.from_iterable(map(_unpacked, self.packed))

    def lots(self, _n: int) -> Iterator["_Packed"]:
        """The items as they were packed together."""
        return (_Packed((lot,)) for lot in self.packed)


def _packed(task: selection.Task) -> bytes:
    """The items of a task, as they are held: in a sixth of their bytes, in a hundredth of the time
    in which they were composed."""
    return zlib.compress(pickle.dumps(selection.composed(task), pickle.HIGHEST_PROTOCOL), 1)


def _unpacked(lot: bytes) -> list[Item]:
    """The items `_packed` by this program: what comes from elsewhere is never read so."""
    items: list[Item] = pickle.loads(zlib.decompress(lot))
    return items
