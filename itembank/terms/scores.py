"""What the bank keeps of a report for the model of difficulty, and the model over all reports.

Of each question: its features, and for each number of questions that students had right on the
whole test, how many met it and how many were right.  Students are not in it.  Here too is what a
report tells of the test as a whole.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from itembank.bank import Bank, reported
from itembank.terms import difficulty, features, statistics
from itembank.terms.difficulty import Model, Sitting, fitted
from itembank.values.errors import ItemBankError, NoModel
from itembank.values.item import Item
from itembank.values.worded import worded

Facts = dict[str, Any]

Met = Mapping[str, Sequence[tuple[int, Fraction]]]
"""What each student met: the numbers of items, each with the share of its points."""


def _is_whole(
    given: Sequence[tuple[int, Fraction]], group: Mapping[int, int], choose: Mapping[int, int]
) -> bool:
    """Whether a student met as many questions of each group as the test has."""
    return Counter(group[item] for item, _share in given) == Counter(dict(choose))


def facts(
    students: Met, group: Mapping[int, int], choose: Mapping[int, int], items: Mapping[int, Item]
) -> dict[int, Facts]:
    """For each of the items, what is kept of it; of the students who met a whole test."""
    counts: dict[int, dict[int, list[int]]] = defaultdict(lambda: defaultdict(lambda: [0, 0]))
    for given in students.values():
        if _is_whole(given, group, choose):
            score = sum(share == 1 for _item, share in given)
            for item, share in given:
                counts[item][score][0] += 1
                counts[item][score][1] += share == 1
    return {
        number: {
            "group": group[number],
            "features": features_of(item),
            "by_score": {str(r): counts[number][r] for r in sorted(counts[number])},
        }
        for number, item in items.items()
    }


# ------------------------------------------------------------ the test as a whole


@dataclass(frozen=True)
class Asked:
    """A question of the test, its variants taken together: the share right, and r with the rest."""

    family: str
    students: int
    difficulty: Fraction
    r: float | None


def whole_tests(
    students: Met, group: Mapping[int, int], choose: Mapping[int, int]
) -> list[list[Fraction]]:
    """A row for each student who met every question: the shares, group by group."""
    table = []
    for given in students.values():
        if _is_whole(given, group, choose):
            of_group: dict[int, list[Fraction]] = defaultdict(list)
            for item, share in sorted(given, key=lambda one: one[0]):
                of_group[group[item]].append(share)
            table.append([share for g in choose for share in of_group[g]])
    return table


def distribution(table: statistics.Table) -> dict[int, int]:
    """How many students had so many questions right, for each number from 0 on."""
    counts = Counter(sum(share == 1 for share in row) for row in table)
    return {right: counts[right] for right in range(1 + len(table[0]))} if table else {}


def asked(
    table: statistics.Table, choose: Mapping[int, int], families: Mapping[int, str]
) -> Iterator[Asked]:
    """The questions of the test, in order."""
    names = [families[g] for g, n in choose.items() for _ in range(n)]
    totals = statistics.totals(table)
    for name, shares in zip(names, statistics.columns(table), strict=False):
        r = statistics.item_rest(shares, totals)
        yield Asked(name, len(shares), statistics.mean(shares), r)


# ------------------------------------------------------------ the model


def features_of(item: Item) -> dict[str, int]:
    """Those of an item; none where its statement is not read any more, as of long ago."""
    try:
        return dict(features.of_item(item))
    except ItemBankError:
        return {}


def model_of(bank: Bank) -> Model:
    """What makes the questions of a bank hard, by all reports that count.

    NoModel where they tell too little, or there is no library to fit it.
    """
    with bank.reading() as connection:
        found = list(reported.facts_standing(connection))
    sittings = [_sitting(of_report, usages) for of_report, usages in found if "choose" in of_report]
    try:
        return fitted(sittings)
    except NoModel as error:
        if len(sittings) < len(found):
            raise NoModel(
                worded(
                    "{error}; {n} of {other_n} reports were recorded before scores were kept: "
                    "`itembank results ... --replace` reads them again",
                    error=error,
                    n=len(found) - len(sittings),
                    other_n=len(found),
                )
            ) from None
        raise


def _sitting(of_report: Mapping[str, Any], usages: Sequence[tuple[str, Facts]]) -> Sitting:
    return Sitting(
        {int(g): n for g, n in of_report["choose"].items()},
        tuple(
            difficulty.Met(
                one["features"],
                family,
                one["group"],
                {int(r): (n, right) for r, (n, right) in one["by_score"].items()},
            )
            for family, one in usages
            if one.get("features")
        ),
    )
