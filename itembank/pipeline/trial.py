"""Some variants of a family taken the whole way: what a check passes must be able to leave.

    solve -> prove -> compose in each form -> export -> audit

The variants are few, but unlike: one that has no solution is among them where there is one.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from exporters.formats import FORMATS, write_package
from exporters.release import Group, Release
from itembank.audit import audit_package
from itembank.pipeline.variants import Variant
from itembank.values.answer import Answer, Pairs, ResidueSet
from itembank.values.errors import ItemBankError
from itembank.values.files import fleeting
from itembank.values.item import Item
from itembank.values.vocabulary import PLAIN_FORMS, USUAL_FORMATS

TRIED = 2
"""Variants that are tried in each form; one where many entries take the audit long."""


Made = Mapping[str, Sequence[Item | str]]
"""For each form the items of some variants, or why one cannot be made."""


def faults_of_forms(made: Made) -> Iterator[tuple[str, str]]:
    """Each response form in which an item cannot leave, with the first reason.

    The items of all forms stand in one package of each format; where that is not faultless,
    each form has one of its own, which tells whose fault it is.
    """
    tried = {form: _first(form, items) for form, items in made.items()}
    together = [item for items in tried.values() for item in items]
    if reason := _fault_of(together):
        alone = [(form, fault) for form, items in tried.items() if (fault := _fault_of(items))]
        yield from alone or [(next(iter(made)), reason)]


def fault_of_parts(rows: Sequence[Sequence[Item | str]]) -> str:
    """Why variants in parts, a row each, cannot leave together; "" if they can."""
    items: list[Sequence[Item]] = []
    for row in rows[:TRIED]:
        for made in row:
            if isinstance(made, str):
                return made
        items.append([made for made in row if isinstance(made, Item)])

    def carried(format_: str) -> list[Item]:
        whole = [row for row in items if all(_is_carried(format_, item) for item in row)]
        return [item for row in whole for item in row]

    return _first_finding(carried)


def _first(form: str, items: Sequence[Item | str]) -> Sequence[Item | str]:
    return items[: TRIED if form in PLAIN_FORMS else 1]


def unlike(variants: Sequence[Variant]) -> list[Variant]:
    """The variants, first those whose answers are of different sizes."""
    one_each = list({_size(v.solution.answer): v for v in reversed(variants)}.values())
    return [*one_each, *(v for v in variants if v not in one_each)]


def _size(answer: Answer) -> int | str:
    match answer:
        case ResidueSet():
            return answer.count
        case Pairs(_, pairs):
            return len(pairs)
    return type(answer).__name__


def _fault_of(made: Sequence[Item | str]) -> str:
    """Why items cannot leave; "" if they can."""
    items = []
    for item in made:
        if isinstance(item, str):
            return item
        items.append(item)
    return _first_finding(lambda format_: [i for i in items if _is_carried(format_, i)])


def _first_finding(carried: Callable[[str], Sequence[Item]]) -> str:
    """What is found first in packages of the items that each format carries; "" for nothing."""
    try:
        with fleeting() as folder:
            for format_ in USUAL_FORMATS:
                if findings := _audited(format_, carried(format_), folder / "trial.zip"):
                    return f"{format_}: {findings[0]}"
    except ItemBankError as e:
        return str(e)
    return ""


def _is_carried(format_: str, item: Item) -> bool:
    """Whether the format writes the item as it is, or what its family declares instead."""
    abilities = FORMATS[format_].abilities
    forms = [form for form, cell in abilities.forms.items() if cell.does == "carries"]
    written = item if item.response.form in forms else item.plain
    if written is None or written.response.form not in forms:
        return False
    return abilities.scoring[written.scoring.rule].does == "carries"


def _audited(format_: str, items: Sequence[Item], package: Path) -> tuple[str, ...]:
    """What the audit finds in a package of the items, which is written there."""
    if not items:
        return ()
    groups = [
        Group(
            family=item.provenance.family,
            title=item.title,
            items=(item,),
            choose=1,
            points=item.scoring.points,
        )
        for item in items
    ]
    release = Release(
        pool_id="trial",
        title="Trial",
        course="Trial",
        term="trial",
        language=items[0].language,
        groups=tuple(groups),
    )
    write_package(format_, release, package)
    stories = frozenset(item.identifier for item in items if item.formal)
    report = audit_package(package, stories=stories)
    statements = {item.identifier: "; ".join(item.statement) for item in items}
    named = (
        line.replace(r.identifier, statements.get(r.identifier, r.identifier))
        for r in report.items
        for line in r.lines
    )
    return (*report.package_findings, *named)
