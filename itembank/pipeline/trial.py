"""Some variants of a family taken the whole way: what a check passes must be able to leave.

    draw -> solve -> prove -> compose in each form -> export -> audit

The variants are few, but unlike: one that has no solution is among them where there is one.
"""

import tempfile
from collections.abc import Iterator, Sequence
from itertools import islice
from pathlib import Path

from exporters.formats import FORMATS, write_package
from exporters.release import Group, Release
from itembank.audit import audit_package
from itembank.pipeline.selection import item_in_form
from itembank.pipeline.variants import Fits, Stream, Variant
from itembank.spec import Family
from itembank.values.answer import Answer, Pairs, ResidueSet
from itembank.values.errors import ItemBankError
from itembank.values.item import Item
from itembank.values.vocabulary import PLAIN_FORMS, USUAL_FORMATS

LOOKED_AT = 12
"""Variants among which unlike ones are looked for."""

TRIED = 2
"""Variants that are tried in each form; one where many entries take the audit long."""


def faults_of_forms(family: Family, fits: Fits) -> Iterator[tuple[str, str]]:
    """Each response form in which a variant cannot leave, with the first reason."""
    variants = unlike(family, fits)
    for form in family.forms if variants else ():
        if fault := fault_of_form(family, form, variants):
            yield form, fault


def unlike(family: Family, fits: Fits) -> list[Variant]:
    """The first variant for each size of an answer, then others."""
    found = list(islice(Stream(family, "trial", fits), LOOKED_AT))
    first = list({size(v.solution.answer): v for v in reversed(found)}.values())
    return [*first, *(v for v in found if v not in first)][:TRIED]


def size(answer: Answer) -> int | str:
    match answer:
        case ResidueSet():
            return answer.count
        case Pairs(_, pairs):
            return len(pairs)
    return type(answer).__name__


def fault_of_form(family: Family, form: str, variants: Sequence[Variant]) -> str:
    """Why variants cannot leave in a form; "" if they can."""
    try:
        tried = variants if form in PLAIN_FORMS else variants[:1]
        items = [item_in_form(variant, form) for variant in tried]
        for format_ in USUAL_FORMATS:
            findings = audited(family, format_, [i for i in items if is_carried(format_, i)])
            if findings:
                return f"{format_}: {findings[0]}"
    except ItemBankError as e:
        return str(e)
    return ""


def is_carried(format_: str, item: Item) -> bool:
    """Whether the format writes the item as it is, or what its family declares instead."""
    abilities = FORMATS[format_].abilities
    forms = [form for form, cell in abilities.forms.items() if cell.does == "carries"]
    written = item if item.response.form in forms else item.plain
    if written is None or written.response.form not in forms:
        return False
    return abilities.scoring[written.scoring.rule].does == "carries"


def audited(family: Family, format_: str, items: Sequence[Item]) -> tuple[str, ...]:
    """What the audit finds in a package of the items."""
    if not items:
        return ()
    groups = [
        Group(
            family=family.id,
            title=family.title,
            items=(item,),
            choose=1,
            points=item.scoring.points,
        )
        for item in items
    ]
    release = Release(
        pool_id="trial",
        title=family.title,
        course=family.title,
        term="trial",
        language="en",
        groups=tuple(groups),
    )
    with tempfile.TemporaryDirectory() as folder:
        package = Path(folder) / "trial.zip"
        write_package(format_, release, package)
        report = audit_package(package)
    statements = {item.identifier: "; ".join(item.statement) for item in items}
    named = (
        line.replace(r.identifier, statements.get(r.identifier, r.identifier))
        for r in report.items
        for line in r.lines
    )
    return (*report.package_findings, *named)
