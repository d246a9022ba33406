"""Spec files checked: their faults, and what each family can give.

Beyond what reading a file shows, a family is drawn from: how many distinct variants it
has, how often a parameter set is accepted and why others are not, how long the work is, which
slips it offers; what students score who guess; and some variants go the whole way to an audited
package in each form.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import islice
from pathlib import Path

from itembank.guessing import telling
from itembank.guessing.figures import Figures
from itembank.kinds.table import SIGNATURES
from itembank.pipeline.capacity import Capacity, capacity
from itembank.pipeline.coverage import Coverage, coverage
from itembank.pipeline.guesses import figures_of
from itembank.pipeline.levels import fitting, middle
from itembank.pipeline.selection import fits
from itembank.pipeline.trial import faults_of_forms
from itembank.pipeline.variants import Stream, failed, reasons
from itembank.spec import (
    Family,
    FamilyShelf,
    find_families,
    library,
    load_family,
    load_pool,
    shelf_beside,
)
from itembank.spec.course import load_course
from itembank.spec.family import place_of
from itembank.spec.shelf import is_course_file, is_pool, spec_files
from itembank.values.errors import Fault, ItemBankError, SpecError

ENOUGH = 200
"""A family with fewer distinct variants must say why (`small`)."""

LEVELLED = 30
"""Variants, as they are drawn, over which the work is measured that a level stands for."""

SELDOM = Fraction(1, 10)
"""Where fewer parameter sets are accepted, it is told why."""

BOUNDS_ARE_FAULTS = True
"""Whether a family that breaks a bound on guessing is at fault, or is only told so."""


@dataclass(frozen=True, kw_only=True)
class SpecReport:
    """What was found of one file: `faults` as lines; the rest for a family without faults.

    guesses: what guessers score in each response form.  wanted: why a family wants it so.
    """

    id: str
    path: Path
    faults: tuple[str, ...]
    capacity: Capacity | None = None
    coverage: Coverage | None = None
    guesses: Mapping[str, Figures] = field(default_factory=dict)
    wanted: str = ""

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
                "between": [found.count.least, found.count.most],
                "acceptance": round(float(found.acceptance), 4),
                "steps": list(found.steps) if found.steps else None,
                "slips": list(found.slips),
                "rejected": dict(found.rejected),
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
            return "\n".join(self.faults) or f"{self.id}: no fault"
        c = self.capacity
        low, high = c.steps or (0, 0)
        few = c.variants < ENOUGH or c.acceptance < SELDOM
        found = (
            f"{self.id}: {c.count.text('variants')}, {float(c.acceptance):.0%} of parameter sets "
            f"accepted, {low} to {high} steps, {len(c.slips)} slips"
            + (f"; {self.coverage.as_text()}" if self.coverage else "")
            + (f"; rejected: {reasons(c.rejected)}" if few and c.rejected else "")
        )
        return "\n  ".join((found, *self.guessing_lines()))

    def guessing_lines(self) -> Iterator[str]:
        """What guessers score in each form and which bounds that breaks; why it is wanted."""
        for figures in self.guesses.values():
            yield telling.summary(figures)
            if beyond := "; ".join(telling.shortfalls(figures)):
                yield f"  beyond its bounds: {beyond}"
        if self.wanted:
            yield f"guessing is wanted: {' '.join(self.wanted.split())}"


def reports(paths: Sequence[Path]) -> Iterator[SpecReport]:
    """A report of each spec file below the paths, in the order of their names."""
    files = spec_files(paths)
    if not files:
        named = ", ".join(map(str, paths))
        raise ItemBankError(f"{named}: expected spec files (*.yaml), found none")
    pools = [path for path in files if is_pool(path)]
    families: dict[str, Path] = {}
    for path in files:
        if path in pools:
            continue
        if is_course_file(path):
            yield course_report(path)
            continue
        first = families.setdefault(path.stem, path)
        yield family_report(path) if first == path else namesake(path, first)
    shipped = find_families([library() / "families"])
    for path in pools:
        beside = shelf_beside(path, {**families, **shipped}, SIGNATURES)
        yield pool_report(path, beside)


def namesake(path: Path, first: Path) -> SpecReport:
    """The report of a file whose id another family has."""
    fault = Fault(str(path), 1, 1, f"the id '{path.stem}' is that of {first} too")
    return SpecReport(id=path.stem, path=path, faults=(str(fault),))


def pool_report(path: Path, shelf: FamilyShelf) -> SpecReport:
    try:
        pool = load_pool(path, shelf)
    except SpecError as e:
        return SpecReport(id=path.stem, path=path, faults=tuple(map(str, e.faults)))
    return SpecReport(id=pool.id, path=path, faults=())


def course_report(path: Path) -> SpecReport:
    try:
        load_course(path)
    except SpecError as e:
        return SpecReport(id=path.stem, path=path, faults=tuple(map(str, e.faults)))
    return SpecReport(id=path.stem, path=path, faults=())


def family_report(path: Path) -> SpecReport:
    try:
        family = load_family(path, SIGNATURES)
        found = capacity(family, fits(family))
        faults = tuple(shortcomings(family, found))
        told = coverage(family, fits(family)) if found.variants else None
        guesses = figures_of(family) if found.variants else {}
        if BOUNDS_ARE_FAULTS and not family.guessing:
            faults += tuple(guessable(family, guesses))
    except SpecError as e:
        return SpecReport(id=path.stem, path=path, faults=tuple(map(str, e.faults)))
    except ItemBankError as e:
        return SpecReport(id=path.stem, path=path, faults=(f"{path}: {e}",))
    return SpecReport(
        id=family.id,
        path=path,
        faults=faults,
        capacity=found,
        coverage=told,
        guesses=guesses,
        wanted=family.guessing or "",
    )


def guessable(family: Family, guesses: Mapping[str, Figures]) -> Iterator[str]:
    """Each bound on guessing that a form of a family breaks, as a fault."""
    for form, figures in guesses.items():
        for line in telling.shortfalls(figures):
            message = f"'{form}' can be guessed: {line}; or say in `guessing` why that is wanted"
            yield str(place_of(family, "forms", form).fault(message))


def shortcomings(family: Family, found: Capacity) -> Iterator[str]:
    """What is wrong with a family that reads well."""
    if not found.variants:
        yield no_variant(family, found)
        return
    if found.variants < ENOUGH and not family.small:
        why = f" (rejected: {reasons(found.rejected)})" if found.rejected else ""
        yield (
            f"{family.path}: {found.variants} variants, expected at least {ENOUGH}{why}; widen "
            "the parameters, or say in `small` why there are fewer"
        )
    if family.ask != "the steps":
        variants = islice(Stream(family, "level", fits(family)), LEVELLED)
        steps = middle(Counter(variant.effort.steps for variant in variants))
        levels = fitting(steps)
        if family.level not in levels:
            yield str(
                place_of(family, "level").fault(
                    f"half of the variants take {steps} steps or fewer: expected "
                    f"{' or '.join(levels)}, found '{family.level}'"
                )
            )
    for form, reason in faults_of_forms(family, fits(family)):
        yield str(place_of(family, "forms", form).fault(f"'{form}' cannot leave: {reason}"))


def no_variant(family: Family, found: Capacity) -> str:
    """The fault of a family without variants, where the commonest reason stands."""
    commonest = next(iter(found.rejected), "")
    example = found.examples.get(commonest, "")
    message = f"no parameter set gives a variant: {reasons(found.rejected)}"
    if example.startswith(f"{family.path}:"):
        return f"{example}; {message}"
    conditions = (c.expression.place for c in family.conditions if failed(c) == commonest)
    place = next(conditions, place_of(family, "given" if example else "parameters"))
    return str(place.fault(f"{message}; such as {example}" if example else message))
