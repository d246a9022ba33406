"""Statistics of items as QTI usage data, 2.1 and 3.0: beside packages, for other item banks.

The names of statistics are those of the published glossaries: P-value (the share of right
answers), AIS (the average item score), PTbis (the correlation with the whole test) and
NumberChoosingResponse.  Each is told with its context and the number of its cases.

Source: 1EdTech QTI usage data, 2.1 and 3.0 (schemas, and the example of 3.0); the glossaries of
item and distractor statistics.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

from exporters.xml import serialised
from itembank.notation.elements import Element, Maker
from itembank.values.errors import ExportError
from itembank.values.worded import worded

_NAMESPACES = {
    "qti21": "http://www.imsglobal.org/xsd/imsqti_usagedata_v2p1",
    "qti30": "http://www.imsglobal.org/xsd/imsqti_usagedata_v3p0",
}

_GLOSSARY = "http://www.imsglobal.org/question/qti_2p0/glossaries/"


@dataclass(frozen=True, kw_only=True)
class ItemStatistics:
    """What came back of an item: `choosing` says how many chose an option, by its identifier."""

    identifier: str
    cases: int
    correct: int
    score: Fraction
    r_total: float | None
    choosing: Mapping[str, int]


def usage_data(version: str, context: str, items: Iterable[ItemStatistics]) -> bytes:
    """The document; `context` names the term and release by a URI.

    Raises ExportError for a version other than qti21 and qti30, and without any item.
    """
    if version not in _NAMESPACES:
        raise ExportError(
            worded(
                "usage data: expected one of {namespaces}; got {version}",
                namespaces=", ".join(_NAMESPACES),
                version=version,
            )
        )
    q = Maker(_NAMESPACES[version])
    statistics = [element for item in items for element in _of_item(item, q, context)]
    if not statistics:
        raise ExportError(worded("usage data: expected results of at least one item, got none"))
    return serialised(q("usageData", *statistics), "usage data")


def _of_item(item: ItemStatistics, q: Maker, context: str) -> Iterator[Element]:
    share = Fraction(item.correct, item.cases)
    error = sqrt(share * (1 - share) / item.cases)

    def statistic(
        name: str, value: str, glossary: str, part: str = "", error: float | None = None
    ) -> Element:
        attributes = {
            "name": name,
            "glossary": _GLOSSARY + glossary,
            "context": context,
            "caseCount": str(item.cases),
        }
        if error is not None:
            attributes["stdError"] = _decimal(error)
        target = {"identifier": item.identifier}
        if part:
            target["partIdentifier"] = part
        return q("ordinaryStatistic", attributes, q("targetObject", target), q("value", value))

    yield statistic("P-value", _decimal(share), "item_statistics", error=error)
    yield statistic("AIS", _decimal(item.score), "item_statistics")
    if item.r_total is not None:
        yield statistic("PTbis", _decimal(item.r_total), "item_statistics")
    for option, count in sorted(item.choosing.items()):
        yield statistic("NumberChoosingResponse", str(count), "distractor_statistics", option)


def _decimal(value: float | Fraction) -> str:
    return f"{float(value):.4f}"
