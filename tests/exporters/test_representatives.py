"""-3 for 7 modulo 10: right where any representative counts, wrong where the least is asked for.

The stem says which of the two it is.
"""

from fractions import Fraction

import pytest
from lxml import etree

from exporters import qti21, qti22
from exporters.fitting import fitted
from exporters.qti2 import assessment_item
from exporters.qti30 import qti_assessment_item
from exporters.qti30_response import NAMESPACE
from exporters.setting import Setting
from exporters.xml import serialised
from itembank.audit import qti2, qti3
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.pipeline.compose import Wording, compose
from itembank.values.item import Item, Provenance
from itembank.values.vocabulary import FORMS


def item(ask: str, form: str = "integer") -> Item:
    """3x = 1 modulo 10, which 7 solves: 3 · 7 = 21."""
    problem = problem_from(["3x = 1 mod 10"])
    solution = problem.solve()
    wording = Wording(
        title="t", ask=ask, form=form, rule="all or nothing", points=1, outcomes=(), level="easy",
        provenance=Provenance(family="f", version=1, seed="s", index=0),
    )  # fmt: skip
    return compose(problem, solution, problem.slips(solution), wording)


def score(item: Item, version: str, text: str) -> Fraction:
    if version == "qti30":
        element = qti_assessment_item(item, Setting("text", NAMESPACE, "en"))
        return qti3.seen_item(etree.fromstring(serialised(element, "here"))).grade((text,)).score
    v = {"qti21": qti21.VERSION, "qti22": qti22.VERSION}[version]
    element = assessment_item(item, v, Setting("text", v.namespace, "en"))
    return qti2.seen_item(etree.fromstring(serialised(element, "here"))).grade((text,)).score


ANY = "Type any integer in it"

LEAST = "least residue"


@pytest.mark.parametrize("version", ["qti21", "qti22", "qti30"])
@pytest.mark.parametrize(
    ("asked", "says", "worth"),
    [
        (item("the solution"), ANY, 1),
        (item("the least"), LEAST, 0),
        (fitted(item("the solution"), FORMS, "plain"), LEAST, 0),
        (item("all solutions", "set"), "any representative", 1),
        (item("all solutions", "list"), LEAST, 0),
    ],
    ids=["any", "the least", "plain profile", "set", "list"],
)
def test_minus_three_counts_exactly_where_the_stem_says_so(version, asked, says, worth):
    stem = plain.blocks(asked.stem)

    assert " ".join(stem.split()).count(says)
    assert (ANY in stem or "any representative" in stem) is bool(worth)
    assert [score(asked, version, text) for text in ("7", "-3", "3")] == [1, worth, 0]
