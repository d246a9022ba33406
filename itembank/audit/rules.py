"""The rules of response processing as plain nodes, and the standard templates.

Source: IMS Question & Test Interoperability Assessment Test, Section and Item
Information Model 2.1, section 8.2 (standard templates).
"""

from collections.abc import Container, Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from itembank.audit.budget import RULES, RULES_DEEP
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import Element, elements, local_name
from itembank.values.worded import worded


class Node(NamedTuple):
    """A rule or an expression: its name, its attributes, its text, and what is inside."""

    name: str
    attributes: Mapping[str, str]
    text: str
    inside: tuple["Node", ...]

    def get(self, attribute: str, default: str = "") -> str:
        return self.attributes.get(attribute, default)

    @property
    def only(self) -> "Node":
        """The one expression inside."""
        if len(self.inside) != 1:
            raise Unsupported(
                worded("{name} with {n} expressions", name=self.name, n=len(self.inside))
            )
        return self.inside[0]

    @property
    def two(self) -> tuple["Node", "Node"]:
        """The two expressions inside."""
        if len(self.inside) != 2:
            raise Unsupported(
                worded("{name} with {n} expressions", name=self.name, n=len(self.inside))
            )
        return self.inside[0], self.inside[1]

    def walk(self) -> Iterator["Node"]:
        """The node and all below it."""
        waiting = [self]
        while waiting:
            node = waiting.pop()
            yield node
            waiting += node.inside[::-1]


def node_of(element: Element, depth: int = 0) -> Node:
    """The node of an element; Unsupported if it is nested too deeply to be run."""
    if depth > RULES_DEEP:
        raise Unsupported(worded("rules more than {rules_deep} deep", rules_deep=RULES_DEEP))
    inside = tuple(node_of(child, depth + 1) for child in elements(element))
    return Node(local_name(element), dict(element.attrib), element.text or "", inside)


def shared(
    rules: Iterable[Node], responses: Container[str]
) -> tuple[tuple[Node, ...], frozenset[int], frozenset[int]]:
    """The rules with one node for all that are equal, and the ids of what is worked out once a run.

    That is an expression which stands there twice and holds no variable but these responses:
    an outcome may be set between two places. Last, the ids of all that holds another variable.
    """
    known: dict[Any, Node] = {}
    changing: set[int] = set()
    often: set[int] = set()

    def one_for_all(node: Node) -> Node:
        inside = tuple(map(one_for_all, node.inside))
        key = (node.name, tuple(node.attributes.items()), node.text, tuple(map(id, inside)))
        if (found := known.get(key)) is None:
            found = known[key] = node._replace(inside=inside)
            outcome = node.name == "variable" and node.get("identifier") not in responses
            if outcome or any(id(n) in changing for n in inside):
                changing.add(id(found))
        elif inside and id(found) not in changing:
            often.add(id(found))
        return found

    return tuple(map(one_for_all, rules)), frozenset(often), frozenset(changing)


def rules_of(processing: Element) -> tuple[Node, ...]:
    """The rules of a responseProcessing: those written out, or those of a standard template."""
    if sum(1 for _element in processing.iter()) > RULES:
        raise Unsupported(worded("more than {rules} rules and expressions", rules=RULES))
    whole = node_of(processing)
    template = whole.get("template").removesuffix(".xml")
    if not template:
        return whole.inside
    name = template.rpartition("/")[2]
    if name not in _TEMPLATES or whole.inside:
        raise Unsupported(worded("the template {found}", found=template))
    return (_TEMPLATES[name],)


# ------------------------------------------------------------ the templates, as published


def _node(name: str, *inside: Node, text: str = "", **attributes: str) -> Node:
    return Node(name, attributes, text, inside)


def _score(value: Node) -> Node:
    return _node("setOutcomeValue", value, identifier="SCORE")


def _constant(number: str) -> Node:
    return _node("baseValue", baseType="float", text=number)


_GIVEN = _node("variable", identifier="RESPONSE")

_TEMPLATES = {
    "match_correct": _node(
        "responseCondition",
        _node(
            "responseIf",
            _node("match", _GIVEN, _node("correct", identifier="RESPONSE")),
            _score(_constant("1")),
        ),
        _node("responseElse", _score(_constant("0"))),
    ),
    "map_response": _node(
        "responseCondition",
        _node("responseIf", _node("isNull", _GIVEN), _score(_constant("0"))),
        _node("responseElse", _score(_node("mapResponse", identifier="RESPONSE"))),
    ),
}
