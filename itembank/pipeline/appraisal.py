"""Spec files checked: their faults, and what each family can give.

Beyond what reading a file shows, a family is drawn from: how many distinct variants it
has, how often a parameter set is accepted and why others are not, how long the work is, which
slips it offers; what students score who guess; and some variants go the whole way to an audited
package in each form.  All of it is told from one sample, or, where it is asked for, from the whole
count and more variants; a report says which.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import islice
from pathlib import Path

from itembank.guessing import telling
from itembank.guessing.figures import ENOUGH as ENOUGH_GUESSED
from itembank.guessing.figures import Figures
from itembank.kinds.table import SIGNATURES
from itembank.pipeline.answers import told_of_part
from itembank.pipeline.capacity import Capacity
from itembank.pipeline.coverage import Coverage, composed, counted
from itembank.pipeline.guesses import Tallies, figures_of, figures_over, meet, scored, tallies_of
from itembank.pipeline.kept import Kept, Told
from itembank.pipeline.levels import fitting, middle
from itembank.pipeline.parameter_sets import failed
from itembank.pipeline.sampling import ENOUGH, Sample, sampled, whole
from itembank.pipeline.selection import fits, fits_in, goes_in
from itembank.pipeline.trial import Made, fault_of_parts, faults_of_forms, unlike
from itembank.pipeline.variants import Stream, Variant, reasons
from itembank.spec import (
    Family,
    FamilyShelf,
    find_families,
    library,
    load_family,
    load_pool,
    shelf_beside,
)
from itembank.spec.course import is_course, load_course
from itembank.spec.document import Opened, opened
from itembank.spec.reading import PARTS, place_of
from itembank.spec.shelf import Outcomes, own_place, spec_files
from itembank.values.errors import Fault, ItemBankError, SpecError
from itembank.values.item import Item
from itembank.values.sharing import in_order
from itembank.values.worded import figure, joined, laid_out, one_of, worded

_LEVELLED = 30
"""Variants, as they are drawn, over which the work is measured that a level stands for."""

_LEVELLED_AT_ONCE = 20
"""Variants below which a sample does not show that a level fits."""

_SELDOM = Fraction(1, 10)
"""Where fewer parameter sets are accepted, it is told why."""

_LOOKS = (48, 72, 100)
"""Questions after which it is asked again whether a form seems to break a bound."""

_COVERED = 12
"""Variants that are composed whole in each form, for an exact check."""

_COVERED_OF_SAMPLE = 4
"""And for a usual one."""


@dataclass(frozen=True, kw_only=True)
class SpecReport:
    """What was found of one file: `faults` as lines; the rest for a family without faults.

    guesses: what guessers score in each response form.  wanted: why a family wants it so.
    sets: how many parameter sets the numbers were told from, None where from all or as many as
    an estimate takes.  composed: of how many variants each form was composed.
    """

    id: str
    path: Path
    faults: tuple[str, ...]
    capacity: Capacity | None = None
    coverage: Coverage | None = None
    guesses: Mapping[str, Figures] = field(default_factory=dict)
    wanted: str = ""
    sets: int | None = None
    composed: int = 0

    def as_json(self) -> dict[str, object]:
        found = self.capacity
        report: dict[str, object] = {
            "id": self.id,
            "file": str(self.path),
            "faults": list(self.faults),
        }
        if found:
            report |= {
                "variants": found.variants,
                "exact": found.exact,
                "sampled_parameter_sets": self.sets,
                "composed_variants": self.composed,
                "between": [found.count.least, found.count.most],
                "acceptance": round(float(found.acceptance), 4),
                "steps": list(found.steps) if found.steps else None,
                "slips": list(found.slips),
                "rejected": dict(found.rejected),
                "own_slips_left_out": dict(found.left_out),
                "guessing": {
                    form: telling.as_json(f) | {"beyond_bounds": [*telling.shortfalls(f)]}
                    for form, f in self.guesses.items()
                },
                "guessing_wanted": self.wanted or None,
            }
        if self.coverage:
            report["feedback"] = self.coverage.as_json()
        return report

    def as_text(self) -> str:
        if self.faults or self.capacity is None:
            return joined("\n", self.faults) or worded("{file}: no fault", file=self.id)
        c = self.capacity
        low, high = c.steps or (0, 0)
        few = c.variants < ENOUGH or c.acceptance < _SELDOM
        clauses = [
            worded(
                "{family}: {n} variants, {share} of parameter sets accepted, {low} to {high} "
                "steps, "
                "{slips} slips",
                family=self.id,
                n=c.count.text(),
                share=figure(f"{float(c.acceptance):.0%}"),
                low=low,
                high=high,
                slips=len(c.slips),
            ),
            *([self.coverage.as_text()] if self.coverage else ()),
            *([worded("rejected: {why}", why=reasons(c.rejected))] if few and c.rejected else ()),
            *(
                worded(
                    "own slip '{name}' left out in {n} of {of} variants, where it leads to the key "
                    "or nowhere",
                    name=name,
                    n=n,
                    of=c.looked_at,
                )
                for name, n in c.left_out.items()
            ),
        ]
        found = joined("; ", clauses)
        return joined("\n  ", (found, *self._guessing_lines(), *self._sampling_lines()))

    def _sampling_lines(self) -> Iterator[str]:
        """What was sampled, where it was."""
        questions = max((figures.questions for figures in self.guesses.values()), default=0)
        if self.sets is not None or questions < ENOUGH_GUESSED:
            parts = []
            if self.sets is not None:
                parts.append(worded("{n} parameter sets", n=figure(f"{self.sets:,}")))
            parts.append(worded("{n} variants composed", n=self.composed))
            parts.append(worded("{n} guessed at", n=questions))
            yield worded("sampled: {parts}; --exact takes all of them", parts=joined(", ", parts))

    def _guessing_lines(self) -> Iterator[str]:
        """What guessers score in each form and which bounds that breaks; why it is wanted."""
        for name, figures in self.guesses.items():
            part, comma, _form = name.rpartition(", ")
            summary = telling.summary(figures)
            yield worded("part ({part}): {told}", part=part, told=summary) if comma else summary
            if beyond := [*telling.shortfalls(figures, sure=True)]:
                yield worded("  beyond its bounds: {bounds}", bounds=joined("; ", beyond))
            if perhaps := [*telling.shortfalls(figures, sure=False)]:
                yield worded(
                    "  perhaps beyond its bounds, --exact tells: {bounds}",
                    bounds=joined("; ", perhaps),
                )
        if self.wanted:
            yield worded("guessing is wanted: {why}", why=" ".join(self.wanted.split()))


def reports(
    paths: Sequence[Path],
    exact: bool = False,
    executor: Executor | None = None,
    kept: Kept | None = None,
) -> Iterator[SpecReport | Told]:
    """A report of each spec file below the paths, in the order of their names.

    exact: whether all is counted instead of sampled.  kept: reports of families that were told
    before; pools and courses, which depend on other files, are read each time.
    """
    files = spec_files(paths)
    if not files:
        named = ", ".join(map(str, paths))
        raise ItemBankError(
            worded("{paths}: expected spec files (*.yaml), found none", paths=named)
        )
    pools = []
    families: dict[str, Path] = {}
    told: dict[Path, Told] = {}
    others = []
    looked_at: dict[Path, Opened] = {}
    read: Outcomes = {}
    for path in files:
        before = kept.before(path) if kept else None
        fields: set[str] = set()
        if not before:
            looked_at[path] = opened(path)
            fields = looked_at[path].names
        if "items" in fields:
            pools.append(path)
        elif is_course(fields):
            yield _course_report(path)
        elif families.setdefault(path.stem, path) != path:
            others.append(path)
        elif before:
            told[path] = before
    tasks = (
        (_readable(path, looked_at.pop(path), read if pools else {}), exact)
        for path in families.values()
        if path not in told
    )
    made = (
        in_order(_appraised, tasks, executor, all_wanted=True)
        if executor
        else map(_appraised, tasks)
    )
    for path in families.values():
        if path in told:
            yield told[path]
            continue
        report = next(made)
        if kept:
            kept.keep(path, report)
        yield report
    for path in others:
        yield _namesake(path, families[path.stem])
    shipped = find_families([library() / "families"]) if pools else {}
    for path in pools:
        beside = shelf_beside(path, {**families, **shipped}, SIGNATURES, read)
        yield _pool_report(path, beside)


def _readable(path: Path, file: Opened, read: Outcomes) -> Family | SpecReport:
    """The family of a file, which is noted for the pools that name it; or the report of its faults.

    Those are told to a pool as they are read for it.
    """
    try:
        family = load_family(path, SIGNATURES, file)
    except ItemBankError as e:
        return _unread(path, e)
    read[own_place(path)] = family
    return family


def _unread(path: Path, error: ItemBankError) -> SpecReport:
    faults = (
        tuple(fault.worded for fault in error.faults)
        if isinstance(error, SpecError)
        else (laid_out("{path}: {why}", path=path, why=error),)
    )
    return SpecReport(id=path.stem, path=path, faults=faults)


def _appraised(task: tuple[Family | SpecReport, bool]) -> SpecReport:
    """The report of a family that was read, in any process."""
    read, exact = task
    if isinstance(read, SpecReport):
        return read
    try:
        return _report_of(read, exact)
    except ItemBankError as e:
        return _unread(read.path, e)


def _namesake(path: Path, first: Path) -> SpecReport:
    """The report of a file whose id another family has."""
    message = worded("the id '{id}' is that of {first} too", id=path.stem, first=first)
    fault = Fault(str(path), 1, 1, message)
    return SpecReport(id=path.stem, path=path, faults=(fault.worded,))


def _pool_report(path: Path, shelf: FamilyShelf) -> SpecReport:
    try:
        pool = load_pool(path, shelf)
    except SpecError as e:
        return SpecReport(id=path.stem, path=path, faults=tuple(fault.worded for fault in e.faults))
    return SpecReport(id=pool.id, path=path, faults=())


def _course_report(path: Path) -> SpecReport:
    try:
        load_course(path)
    except SpecError as e:
        return SpecReport(id=path.stem, path=path, faults=tuple(fault.worded for fault in e.faults))
    return SpecReport(id=path.stem, path=path, faults=())


def family_report(path: Path, exact: bool = False) -> SpecReport:
    return _appraised((_readable(path, opened(path), {}), exact))


def _report_of(family: Family, exact: bool) -> SpecReport:
    """The report of a family that reads well."""
    sample = (whole if exact else sampled)(family, fits(family, family.forms[0]))
    some = _COVERED if exact else _COVERED_OF_SAMPLE
    if family.parts:
        return _report_of_parts(family, sample, exact, some)
    chosen = unlike(sample.variants)[:some]
    made = {
        form: [composed(variant, form) for variant in _some_in(family, form, sample, some)]
        for form in family.forms
    }
    items = (item for of_form in made.values() for item in of_form)
    tallies = meet(tallies_of(family) if sample.variants else {}, sample.variants)
    guesses = scored(tallies)
    faults = tuple(_shortcomings(family, sample, made))
    if not family.guessing and any(guessable(family, guesses)):
        if not exact:
            guesses |= _looked_at_again(family, sample, tallies)
        faults += tuple(guessable(family, guesses))
    return SpecReport(
        id=family.id,
        path=family.path,
        faults=faults,
        capacity=sample.found,
        coverage=counted(item for item in items if not isinstance(item, str)),
        guesses=guesses,
        wanted=family.guessing or "",
        sets=sample.sets,
        composed=len(chosen),
    )


def _report_of_parts(family: Family, sample: Sample, exact: bool, some: int) -> SpecReport:
    """The report of a family in parts: its number of variants, and of each part the rest."""
    chosen = unlike(sample.variants)[:some]
    rows = [[composed(part, part.family.forms[0]) for part in v.each] for v in chosen]
    faults = [*_of_all_parts(family, sample, rows)]
    guesses: dict[str, Figures] = {}
    for part in family.parts if sample.variants else ():
        form = part.forms[0]
        found = figures_over(part, (v.of_part(part) for v in sample.variants), [form])
        if not family.guessing and not exact and any(telling.shortfalls(found[form])):
            suits = fits(family)
            found = figures_of(family, suits=suits, forms=[form], part=part)
        place = place_of(family, PARTS)
        for line in telling.shortfalls(found[form]) if not family.guessing else ():
            told = worded(
                "'{form}' can be guessed: {bound}; or say in `guessing` why that is wanted",
                form=form,
                bound=line,
            )
            faults.append(place.fault(told_of_part(part, told)).worded)
        guesses[f"{part.part}, {form}"] = found[form]
    items = (item for row in rows for item in row if not isinstance(item, str))
    return SpecReport(
        id=family.id,
        path=family.path,
        faults=tuple(faults),
        capacity=sample.found,
        coverage=counted(items),
        guesses=guesses,
        wanted=family.guessing or "",
        sets=sample.sets,
        composed=len(chosen),
    )


def _of_all_parts(
    family: Family, sample: Sample, rows: Sequence[Sequence[Item | str]]
) -> Iterator[str]:
    """What is wrong with a family in parts that reads well, its guessing aside."""
    if not sample.found.variants:
        yield _no_variant(family, sample.found)
        return
    yield from _too_few(family, sample)
    for part in family.parts:
        yield from _mislevelled(family, part, sample)
    if reason := fault_of_parts(rows):
        message = worded("a variant cannot leave: {why}", why=reason)
        yield place_of(family, PARTS).fault(message).worded


def _some_in(family: Family, form: str, sample: Sample, some: int) -> list[Variant]:
    """Variants that go in the form, those of the sample if there are such."""
    found = [variant for variant in unlike(sample.variants) if goes_in(variant, form)]
    return found[:some] or [*islice(Stream(family, "guessing", fits(family, form)), some)]


def _looked_at_again(family: Family, sample: Sample, tallies: Tallies) -> dict[str, Figures]:
    """What guessers score in the forms that seem to break a bound, over more questions.

    Each form is asked in more until it seems so no longer, or until there are enough to say that
    it does; those are drawn as they are for an exact check.
    """
    settled: dict[str, Figures] = {}
    seem = _seeming(tallies)
    met = len(sample.variants)
    for questions in _LOOKS:
        more = tuple(islice(sample.more, questions - met)) if seem else ()
        if not more:
            break
        met += len(more)
        looked_at, seem = seem, _seeming(meet(seem, more))
        settled |= scored({form: t for form, t in looked_at.items() if form not in seem})
    if not seem:
        return settled
    return settled | figures_of(family, suits=fits(family, family.forms[0]), forms=[*seem])


def _seeming(tallies: Tallies) -> Tallies:
    """The tallies of the forms that seem to break a bound."""
    return {f: tally for f, tally in tallies.items() if any(telling.shortfalls(tally.figures()))}


def guessable(family: Family, guesses: Mapping[str, Figures]) -> Iterator[str]:
    """Each bound on guessing that a form of a family breaks, as a fault."""
    for form, figures in guesses.items():
        for line in telling.shortfalls(figures):
            message = worded(
                "'{form}' can be guessed: {bound}; or say in `guessing` why that is wanted",
                form=form,
                bound=line,
            )
            yield place_of(family, "forms", form).fault(message).worded


def _shortcomings(family: Family, sample: Sample, made: Made) -> Iterator[str]:
    """What is wrong with a family that reads well."""
    found = sample.found
    if not found.variants:
        yield _no_variant(family, found)
        return
    yield from _too_few(family, sample)
    yield from _mislevelled(family, family, sample)
    for form, items in made.items():
        if not items:
            stream = Stream(family, "guessing", fits_in(family, (form,)))
            assert not [*stream]
            message = worded(
                "no variant can be put in '{form}': {why}", form=form, why=reasons(stream.rejected)
            )
            yield place_of(family, "forms", form).fault(message).worded
    for form, reason in faults_of_forms({form: items for form, items in made.items() if items}):
        message = worded("'{form}' cannot leave: {why}", form=form, why=reason)
        yield place_of(family, "forms", form).fault(message).worded


def _too_few(family: Family, sample: Sample) -> Iterator[str]:
    """A family of few variants that does not say why."""
    found = sample.found
    if found.variants < ENOUGH and not family.small:
        told = {"path": family.path, "n": found.variants, "least": ENOUGH}
        if found.rejected:
            yield worded(
                "{path}: {n} variants, expected at least {least} (rejected: {why}); widen the "
                "parameters, or say in `small` why there are fewer",
                why=reasons(found.rejected),
                **told,
            )
        else:
            yield worded(
                "{path}: {n} variants, expected at least {least}; widen the parameters, or say in "
                "`small` why there are fewer",
                **told,
            )


def _mislevelled(family: Family, part: Family, sample: Sample) -> Iterator[str]:
    """A level that does not fit the work of a family, or of one of its parts."""
    if part.ask == "the steps" or _is_levelled(part, sample):
        return
    variants = islice(Stream(family, "level", fits(family, family.forms[0])), _LEVELLED)
    steps = middle(Counter(variant.of_part(part).effort.steps for variant in variants))
    levels = fitting(steps)
    if part.level not in levels:
        message = worded(
            "half of the variants take {n} steps or fewer: expected {levels}, found '{level}'",
            n=steps,
            levels=one_of(levels),
            level=part.level,
        )
        told = told_of_part(part, message) if part.part else message
        yield place_of(family, PARTS if part.part else "level").fault(told).worded


def _is_levelled(part: Family, sample: Sample) -> bool:
    """Whether the sample alone shows that the level fits: its easiest third apart, and its hardest.

    Where it does not, more variants are looked at.
    """
    steps = sorted(variant.of_part(part).effort.steps for variant in sample.variants)
    n = len(steps) // 3
    return len(steps) >= _LEVELLED_AT_ONCE and all(
        part.level in fitting(found) for found in (steps[n], steps[-1 - n])
    )


def _no_variant(family: Family, found: Capacity) -> str:
    """The fault of a family without variants, where the commonest reason stands."""
    commonest = next(iter(found.rejected), "")
    example = found.examples.get(commonest, "")
    message = worded("no parameter set gives a variant: {why}", why=reasons(found.rejected))
    if example.startswith(f"{family.path}:"):
        return joined("; ", (example, message))
    conditions = (c.expression.place for c in family.conditions if failed(c) == commonest)
    place = next(conditions, place_of(family, "given" if example else "parameters"))
    if example:
        message = worded("{fault}; such as {example}", fault=message, example=example)
    return place.fault(message).worded
