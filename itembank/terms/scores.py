"""What the bank keeps of a report for the model of difficulty, and the model over all reports.

Of each question: its features, and for each number of questions that students had right on the
whole test, how many met it and how many were right.  Students are not in it.
"""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

from itembank.bank import Bank, reported
from itembank.terms import features
from itembank.terms.difficulty import Met, Model, Sitting, fitted
from itembank.values.errors import ItemBankError, NoModel
from itembank.values.item import Item

Facts = dict[str, Any]


def facts(
    students: Mapping[str, Sequence[tuple[int, bool]]],
    group: Mapping[int, int],
    choose: Mapping[int, int],
    items: Mapping[int, Item],
) -> dict[int, Facts]:
    """For each of the items, what is kept of it; of the students who met a whole test.

    students: the items that each met, and whether they were right.
    """
    counts: dict[int, dict[int, list[int]]] = defaultdict(lambda: defaultdict(lambda: [0, 0]))
    for met in students.values():
        if Counter(group[item] for item, _right in met) != Counter(dict(choose)):
            continue
        score = sum(right for _item, right in met)
        for item, right in met:
            counts[item][score][0] += 1
            counts[item][score][1] += right
    return {
        number: {
            "group": group[number],
            "features": features_of(item),
            "by_score": {str(r): counts[number][r] for r in sorted(counts[number])},
        }
        for number, item in items.items()
    }


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
    sittings = [sitting(of_report, usages) for of_report, usages in found if "choose" in of_report]
    try:
        return fitted(sittings)
    except NoModel as error:
        if len(sittings) < len(found):
            raise NoModel(
                f"{error}; {len(found) - len(sittings)} of {len(found)} reports were recorded "
                "before scores were kept: `itembank results ... --replace` reads them again"
            ) from None
        raise


def sitting(of_report: Mapping[str, Any], usages: Sequence[tuple[str, Facts]]) -> Sitting:
    return Sitting(
        {int(g): n for g, n in of_report["choose"].items()},
        tuple(
            Met(
                one["features"],
                family,
                one["group"],
                {int(r): (n, right) for r, (n, right) in one["by_score"].items()},
            )
            for family, one in usages
            if one.get("features")
        ),
    )
