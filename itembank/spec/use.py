"""Whether every parameter of a family makes a difference to its variants.

The words of the file decide, not the expressions read from it, so that a text
at fault still counts as a use and no second fault follows from the first.
"""

import re
from collections.abc import Iterable, Iterator, Mapping

from itembank.spec.nodes import Broken, Faults, Fields, Node, Scalar, Sequence
from itembank.values.worded import worded

_SAID = ("where", "story", "slips", "hints", "feedback", "answer")
"""Fields of a family in which a computed parameter is of use, beside `given`."""


def check_use(nodes: Mapping[str, Node], given_fields: int, faults: Faults) -> None:
    """Tells each parameter that makes no difference to a variant.

    A drawn parameter must reach `given`, by itself or through parameters that do, or the range in
    which an example is looked for, where numbers make the question; a computed one must
    at least stand in a condition or a text.  Nothing can be told where `given` lacks some of its
    fields.
    """
    node, given = nodes.get("parameters"), nodes.get("given")
    read = [nodes[name] for name in ("parameters", "given", "where") if name in nodes]
    if not isinstance(node, Fields) or not isinstance(given, Fields):
        return
    if len(given.pairs) < given_fields or any(map(_is_broken, read)):
        return
    uses = {key.text: _words_in(value) for key, value in node.pairs}
    shown = _reached(_words_in(given) | _words_in_range(nodes), uses)
    elsewhere = [_words_in(nodes[name]) for name in _SAID if name in nodes]
    conditions = _reached(set[str]().union(*elsewhere), uses)
    told = {(fault.line, fault.column) for fault in faults.found}
    for key, value in node.pairs:
        if key.text in shown or (key.line, key.column) in told:
            continue
        if key.text not in conditions:
            faults.add(key, worded("'{text}' is never used", text=key.text))
        elif not _is_computed(value):
            faults.add(
                key,
                worded("'{text}' is drawn, but nothing in 'given' depends on it", text=key.text),
            )


def _words_in_range(nodes: Mapping[str, Node]) -> set[str]:
    """The words of the range of an example, where other numbers are another question."""
    said = {name: node.text for name, node in nodes.items() if isinstance(node, Scalar)}
    differs = said.get("ask") == "an example" and said.get("same") == "numbers"
    return _words_in(nodes["answer"]) if differs and "answer" in nodes else set()


def _reached(words: set[str], uses: Mapping[str, set[str]]) -> set[str]:
    """The parameters among the words, those that they use, and so on."""
    found: set[str] = set()
    pending = words & uses.keys()
    while pending:
        name = pending.pop()
        found.add(name)
        pending |= (uses[name] & uses.keys()) - found
    return found


def _words_in(node: Node) -> set[str]:
    """All words of the texts under a node, so that a text at fault still counts as a use."""
    return {w for n in below(node) if isinstance(n, Scalar) for w in re.findall(r"\w+", n.text)}


def below(node: Node) -> Iterator[Node]:
    """A node and all values under it."""
    yield node
    children: Iterable[Node] = ()
    if isinstance(node, Sequence):
        children = node.items
    elif isinstance(node, Fields):
        children = (value for _, value in node.pairs)
    for child in children:
        yield from below(child)


def _is_broken(node: Node) -> bool:
    return any(isinstance(n, Broken) for n in below(node))


def _is_computed(node: Node) -> bool:
    return isinstance(node, Fields) and any(key.text == "value" for key, _ in node.pairs)
