"""Responses that the rules of an item compare with: the answers of the slips among them."""

from collections.abc import Iterable, Iterator

from itembank.audit.expressions import compiled
from itembank.audit.rules import Node


def probes(rules: Iterable[Node]) -> Iterator[tuple[str, ...]]:
    """Responses the rules compare with: constants, lists of them, samples of patterns."""
    for rule in rules:
        for node in rule.walk():
            if node.name == "patternMatch":
                yield (compiled(node).sample(),)
            elif node.name in ("multiple", "ordered"):
                yield _constants(node)
            elif node.name in ("match", "equal", "stringMatch"):
                yield from ((text,) for text in _constants(node))


def _constants(node: Node) -> tuple[str, ...]:
    return tuple(n.text for n in node.inside if n.name == "baseValue")


def probes_of_entries(rules: Iterable[Node]) -> Iterator[tuple[str, ...]]:
    """Of several entries: the constants that each condition compares with, one an entry."""
    for rule in rules:
        for branch in rule.walk():
            if branch.name in ("responseIf", "responseElseIf"):
                nodes = (n for n in branch.inside[0].walk() if n.name == "equal")
                named = dict.fromkeys(text for n in nodes for text in _constants(n))
                if named:
                    yield tuple(named)


def probes_of_stages(rules: Iterable[Node], names: list[str]) -> Iterator[tuple[str, ...]]:
    """Of several stages: what the rules compare the response of one with, alone in its place."""
    for rule in rules:
        for node in rule.walk():
            if node.name not in ("patternMatch", "match"):
                continue
            texts = (compiled(node).sample(),) if node.name == "patternMatch" else _constants(node)
            for variable in (n.get("identifier", "") for n in node.inside if n.name == "variable"):
                for text in texts:
                    yield tuple(text if name == variable else "" for name in names)
