"""A family as its author writes it: drawn, proved, released in every format, audited."""

from itertools import islice
from pathlib import Path

from exporters.formats import FORMATS, write_package
from exporters.release import Release
from itembank.audit import audit_package
from itembank.audit.report import Report
from itembank.kinds.table import SIGNATURES
from itembank.pipeline import making
from itembank.pipeline.coverage import composed
from itembank.pipeline.selection import fits
from itembank.pipeline.trial import TRIED, faults_of_forms
from itembank.pipeline.variants import Stream
from itembank.spec import Family, find_families, load_family
from itembank.spec.pool import load_pool
from itembank.spec.shelf import FamilyShelf

VARIANTS = 10

POOL = """\
id: {name}
title: Questions of a colleague
course: NT 120 Numbers and Codes, Alder Ford College
{languages}
seed: alder-ford-{name}
items:
  - {{family: {family}, variants: {variants}{form}{more}}}
"""

EGGS = """\
id: eggs-in-boxes
version: 1
title: Eggs packed two ways
shown as: A system of congruences
problem: system
outcomes: [solve-systems]
level: easy
parameters:
  p: {prime: [5, 11]}
  q: {prime: [7, 13], except: [p]}
  a: {integer: [1, p - 1]}
  b: {integer: [1, q - 1]}
where:
  - a != b
given: {congruences: [x = a, x = b], moduli: [p, q], modulus: p*q}
ask: all solutions
forms: [list]
story:
  en: >
    A farmer packs her eggs in boxes of {p} and has {a} left over, in boxes of {q}
    and has {b} left over.

    Which numbers of eggs are possible, up to a full {p*q}?
  de: >
    Eine Bäuerin packt ihre Eier in Kartons zu {p} und behält {a} übrig, in Kartons zu {q}
    und behält {b} übrig.

    Welche Anzahlen sind möglich, bis zu vollen {p*q}?
small: boxes are small
"""


def family_of(folder: Path, text: str) -> Family:
    """The family of a text, written to a file of its name."""
    return load_family(written(folder, text), SIGNATURES)


def written(folder: Path, text: str) -> Path:
    name = text.split("\n", 1)[0].removeprefix("id:").strip()
    path = folder / f"{name}.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def pool_of(
    folder: Path,
    family: Family,
    form: str = "",
    languages: str = "language: en",
    variants: int = VARIANTS,
    more: str = "",
):
    """A pool of one family, in a form of it."""
    path = folder / "pools" / f"pool-of-{family.id}.yaml"
    path.parent.mkdir(exist_ok=True)
    text = POOL.format(
        name=path.stem,
        family=family.id,
        form="" if family.parts else f", form: {form or family.forms[0]}",
        variants=variants,
        languages=languages,
        more=more,
    )
    path.write_text(text, encoding="utf-8")
    return load_pool(path, FamilyShelf(find_families([folder]), SIGNATURES))


def released(folder: Path, family: Family, form: str = "", **pool: object) -> Release:
    """Ten variants, drawn, proved and composed."""
    return making.released(pool_of(folder, family, form, **pool), "2027-spring")  # type: ignore[arg-type]


def faults_tried(family: Family) -> list[tuple[str, str]]:
    """What a trial of the family's first variants finds in each of its forms."""
    variants = list(islice(Stream(family, "trial", fits(family)), TRIED))
    assert variants
    made = {form: [composed(variant, form) for variant in variants] for form in family.forms}
    return list(faults_of_forms(made))


def audits(release: Release, folder: Path) -> dict[str, Report]:
    """By format: what the audit says of the package, which has whatever the format carries."""
    found = {}
    for name in FORMATS:
        path = folder / f"{release.name}-{name}.zip"
        package = write_package(name, release, path)
        count = sum(count.items for count in package.counts)
        if not count:
            continue
        found[name] = audit_package(path)
        assert len(found[name].items) == count
    return found


def leaves_in_every_format(release: Release, folder: Path) -> dict[str, Report]:
    """The audits, all of which agree."""
    found = audits(release, folder)
    assert found
    for name, report in found.items():
        assert report.clean, (name, report.as_text()[:2000])
    return found
