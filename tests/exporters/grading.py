"""A reader of QTI 2.x response processing, as far as items use it, written from the standard.

`remainder` may be that of the standard (the sign of the modulus) or the one that
most readers compute (the sign of the number): a portable item is graded alike by both.

Source: IMS QTI ASI Information Model 2.1, response processing and expressions.
"""

import re
from collections.abc import Callable

from lxml import etree

NS = {"q": "http://www.imsglobal.org/xsd/imsqti_v2p1"}


def standard(x: int, n: int) -> int:
    return x % n


def towards_zero(x: int, n: int) -> int:
    return abs(x) % n if x >= 0 else -(abs(x) % n)


def outcomes(
    item: etree._Element, response: object, remainder: Callable[[int, int], int] = standard
) -> dict[str, object]:
    """The outcomes after an attempt; `response` is None, an integer, a string or a list."""
    return Attempt(item, response, remainder).run()


class Attempt:
    def __init__(self, item, response, remainder):
        self.item, self.response, self.remainder = item, response, remainder
        self.outcomes = {
            d.get("identifier"): self.default(d) for d in item.findall("q:outcomeDeclaration", NS)
        }

    @staticmethod
    def default(declaration):
        value = declaration.findtext("q:defaultValue/q:value", None, NS)
        return value if value is None else float(value)

    def run(self):
        self.obey(self.item.find("q:responseProcessing", NS))
        return self.outcomes

    def obey(self, rules):
        for rule in rules:
            match name(rule):
                case "setOutcomeValue":
                    self.outcomes[rule.get("identifier")] = self.value(rule[0])
                case "responseCondition":
                    self.obey(self.branch(rule))

    def branch(self, condition):
        for part in condition:
            if name(part) == "responseElse":
                return list(part)
            if self.value(part[0]) is True:
                return list(part)[1:]
        return []

    def value(self, e):
        """The value of an expression; None is NULL, a container a sorted list."""
        values = [self.value(child) for child in e]
        match name(e):
            case "variable":
                return self.response
            case "correct":
                return self.correct()
            case "baseValue":
                kinds = {"float": float, "integer": int, "identifier": str}
                return kinds[e.get("baseType")](e.text)
            case "multiple":
                return sorted(values)
            case "isNull":
                return values[0] is None
            case "match":
                return None if None in values else values[0] == values[1]
            case "equal":
                return None if None in values else float(values[0]) == float(values[1])
            case "sum":
                return sum(values)
            case "integerModulus":
                return self.remainder(*values)
            case "patternMatch":
                return re.search(e.get("pattern"), values[0]) is not None
            case "mapResponse":
                return self.mapped()
        raise NotImplementedError(name(e))

    def correct(self):
        values = [v.text for v in self.item.findall(".//q:correctResponse/q:value", NS)]
        return sorted(values) if isinstance(self.response, list) else values[0]

    def mapped(self):
        mapping = self.item.find(".//q:mapping", NS)
        entries = {m.get("mapKey"): float(m.get("mappedValue")) for m in mapping}
        total = sum(entries.get(r, float(mapping.get("defaultValue"))) for r in self.response)
        return max(float(mapping.get("lowerBound")), min(float(mapping.get("upperBound")), total))


def name(e: etree._Element) -> str:
    return etree.QName(e).localname
