"""Other letters in what is said: everything is written of the unknown x."""

import dataclasses
from collections.abc import Mapping
from typing import TypeVar

from itembank.languages.saying import Said
from itembank.notation.tree import Letter

UNKNOWN = "x"
"""The unknown in which everything is written."""

Tree = TypeVar("Tree")


def in_letter(told: Tree, letter: str) -> Tree:
    """What is told, with another unknown for x.

    Where that letter is in use beside x (r + 7t when the unknown is t), x takes its place, or F
    where it names a function.
    """
    if letter == UNKNOWN:
        return told
    return relettered(told, {UNKNOWN: letter, letter: "F" if letter in "fgh" else UNKNOWN})


def relettered(node: Tree, names: Mapping[str, str]) -> Tree:
    """Formulas, messages, blocks, or tuples of them, with letters exchanged all at once."""
    if isinstance(node, Letter):
        return dataclasses.replace(node, name=names.get(node.name, node.name))
    if isinstance(node, Said):
        return dataclasses.replace(node, letters=_composed(dict(node.letters), names))
    if isinstance(node, tuple):
        return type(node)(relettered(part, names) for part in node)
    if dataclasses.is_dataclass(node) and not isinstance(node, type):
        parts = {f.name: getattr(node, f.name) for f in dataclasses.fields(node)}
        return type(node)(**{name: relettered(part, names) for name, part in parts.items()})
    return node


def _composed(first: Mapping[str, str], then: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """The one exchange that does both, the first and then the other."""
    return tuple({**then, **{a: then.get(b, b) for a, b in first.items()}}.items())
