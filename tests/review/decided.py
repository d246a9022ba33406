"""Decisions on two samples, as a packet saves them and a record keeps them."""

from dataclasses import replace
from pathlib import Path

from exporters.release import Group, Release
from itembank.review import seen_lines
from itembank.review.deciding import Decision, Decisions, Facet, Record, applied, words_of
from itembank.values.item import Item
from itembank.values.verdicts import FACETS
from tests.exporters import samples

FIRST, SECOND = samples.SELECT_ALL, replace(samples.INTEGER, title="Another")


def facets(returned: str = "") -> dict:
    said = {name: Facet(verdict="accepted") for name in FACETS}
    if returned:
        said["wording"] = Facet(verdict="returned", comment=returned)
    return said


def decision(item: Item, returned: str = "") -> Decision:
    return Decision(
        item=item.identifier,
        fingerprint=item.fingerprint,
        family=item.provenance.family,
        index=item.provenance.index,
        verdict="returned" if returned else "accepted",
        blind="answered",
        given=["r7"],
        agreed=False,
        facets=facets(returned),
        seen=list(seen_lines(item)),
    )


def file_of(*decisions: Decision, reviewer: str = "R. Moss") -> Decisions:
    return Decisions(
        format="itembank decisions 1",
        pool="p",
        term="2027-spring",
        packet="0" * 64,
        reviewer=reviewer,
        date="2027-01-15",
        decisions=list(decisions),
    )


def release_of(*items: Item, choose: int = 1) -> Release:
    group = Group(family="f", title="F", items=items, choose=choose, points=1)
    return Release(
        pool_id="p", title="A pool", course="NT 210", term="2027-spring", language="en",
        groups=(group,),
    )  # fmt: skip


def recorded(tmp_path: Path, *files: Decisions) -> Record:
    record = Record(tmp_path / "p.decisions.json")
    for file in files:
        record.add(words_of(file, applied(file, [FIRST, SECOND])))
    return record
