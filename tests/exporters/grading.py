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
    """The outcomes after an attempt; `response` is None, an integer, a string or a list.

    Of several variables it is a dict of these by name.
    """
    return Attempt(item, response, remainder).run()


class Attempt:
    def __init__(self, item, response, remainder):
        self.item, self.remainder = item, remainder
        self.given = response if isinstance(response, dict) else {"RESPONSE": response}
        self.outcomes = {
            d.get("identifier"): self.default(d) for d in item.findall("q:outcomeDeclaration", NS)
        }

    @staticmethod
    def default(declaration):
        values = [v.text for v in declaration.findall("q:defaultValue/q:value", NS)]
        if declaration.get("baseType") == "directedPair":
            return sorted(values)
        number = declaration.get("baseType") in ("float", "integer")
        return float(values[0]) if values else 0.0 if number else None

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
                asked = e.get("identifier")
                return self.outcomes[asked] if asked in self.outcomes else self.given.get(asked)
            case "correct":
                return self.correct(e.get("identifier"))
            case "baseValue":
                kinds = {"float": float, "integer": int, "identifier": str}
                return kinds[e.get("baseType")](e.text)
            case "multiple":
                return sorted(values)
            case "ordered":
                return values
            case "not":
                return None if None in values else not values[0]
            case "and":
                return False if False in values else None if None in values else True
            case "or":
                return True if True in values else None if None in values else False
            case "isNull":
                return values[0] is None
            case "match":
                return None if None in values else values[0] == values[1]
            case "equal":
                return None if None in values else float(values[0]) == float(values[1])
            case "sum":
                return None if None in values else sum(values)
            case "integerModulus":
                return None if None in values else self.remainder(*values)
            case "patternMatch":
                if values[0] is None:
                    return None
                return re.search(e.get("pattern"), values[0]) is not None
            case "mapResponse":
                return self.mapped(e.get("identifier"))
        raise NotImplementedError(name(e))

    def declared(self, identifier):
        (found,) = (
            d
            for d in self.item.findall("q:responseDeclaration", NS)
            if d.get("identifier") == identifier
        )
        return found

    def correct(self, identifier):
        declared = self.declared(identifier)
        values = [v.text for v in declared.findall("q:correctResponse/q:value", NS)]
        if declared.get("cardinality") == "single":
            return values[0]
        return values if declared.get("cardinality") == "ordered" else sorted(values)

    def mapped(self, identifier):
        mapping = self.declared(identifier).find("q:mapping", NS)
        entries = {m.get("mapKey"): float(m.get("mappedValue")) for m in mapping}
        given = self.given[identifier]
        total = sum(entries.get(r, float(mapping.get("defaultValue"))) for r in given)
        return max(float(mapping.get("lowerBound")), min(float(mapping.get("upperBound")), total))


def name(e: etree._Element) -> str:
    return etree.QName(e).localname
