"""Spec files checked: their faults, and what each family can give.

Beyond what reading a file shows, a family is drawn from: how many distinct variants it
has, how often a parameter set is accepted, how long the work is, which slips it offers,
and whether its variants agree on what makes a question hard.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from itembank.kinds.table import SIGNATURES
from itembank.pipeline.selection import fits
from itembank.pipeline.variants import Capacity, capacity
from itembank.spec import Family, FamilyShelf, find_families, library, load_family, load_pool
from itembank.spec.shelf import is_pool, spec_files
from itembank.values.errors import ItemBankError, SpecError

ENOUGH = 200
"""A family with fewer distinct variants must say why (`small`)."""


@dataclass(frozen=True, kw_only=True)
class SpecReport:
    """What was found of one file: `faults` as lines; `capacity` for a family without faults."""

    id: str
    path: Path
    faults: tuple[str, ...]
    capacity: Capacity | None = None

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
                "margin": found.margin,
                "acceptance": round(float(found.acceptance), 4),
                "steps": list(found.steps) if found.steps else None,
                "slips": list(found.slips),
            }
        return report

    def as_text(self) -> str:
        if self.faults or self.capacity is None:
            return "\n".join(self.faults) or f"{self.id}: no fault"
        c = self.capacity
        low, high = c.steps or (0, 0)
        return (
            f"{self.id}: {variants_text(c)}, {float(c.acceptance):.0%} of parameter sets accepted, "
            f"{low} to {high} steps, {len(c.slips)} slips"
        )


def variants_text(c: Capacity) -> str:
    if c.exact:
        return f"{c.variants} variants"
    if c.margin is None:
        return f"at least {c.variants} variants"
    return f"about {c.variants} variants (give or take {c.margin})"


def reports(paths: Sequence[Path]) -> Iterator[SpecReport]:
    """A report of each spec file below the paths, in the order of their names."""
    files = spec_files(paths)
    pools = [path for path in files if is_pool(path)]
    families = {path.stem: path for path in files if path not in pools}
    for path in families.values():
        yield family_report(path)
    shipped = find_families([library() / "families"])
    shelf = FamilyShelf({**shipped, **families}, SIGNATURES)
    for path in pools:
        yield pool_report(path, shelf)


def pool_report(path: Path, shelf: FamilyShelf) -> SpecReport:
    try:
        pool = load_pool(path, shelf)
    except SpecError as e:
        return SpecReport(id=path.stem, path=path, faults=tuple(map(str, e.faults)))
    return SpecReport(id=pool.id, path=path, faults=())


def family_report(path: Path) -> SpecReport:
    try:
        family = load_family(path, SIGNATURES)
        found = capacity(family, fits(family))
    except SpecError as e:
        return SpecReport(id=path.stem, path=path, faults=tuple(map(str, e.faults)))
    except ItemBankError as e:
        return SpecReport(id=path.stem, path=path, faults=(f"{path}: {e}",))
    return SpecReport(
        id=family.id, path=path, faults=tuple(shortcomings(family, found)), capacity=found
    )


def shortcomings(family: Family, found: Capacity) -> Iterator[str]:
    """What is wrong with a family that reads well."""
    if not found.variants:
        reasons = "; ".join(f"{n} x {reason}" for reason, n in list(found.rejected.items())[:4])
        yield f"{family.path}: no parameter set gives a variant: {reasons}"
    elif found.variants < ENOUGH and not family.small:
        yield (
            f"{family.path}: {found.variants} variants, expected at least {ENOUGH}; widen the "
            "parameters, or say in `small` why there are fewer"
        )
