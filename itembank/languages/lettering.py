"""Other letters in what is said: everything is written of the unknown x."""

import dataclasses
from collections.abc import Callable, Mapping
from functools import cache
from typing import TypeVar

from itembank.languages.saying import Said
from itembank.notation.tree import Letter, Number

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
    kind: Callable[..., Tree] = type(node)
    if isinstance(node, Letter):
        return kind(names.get(node.name, node.name), node.primes)
    if isinstance(node, Said):
        letters = _composed(dict(node.letters), names)
        return kind(node.template, node.slots, node.plural, node.n, letters)
    if isinstance(node, tuple):
        return kind([relettered(part, names) for part in node])
    if isinstance(node, Number | str | int):
        return node
    parts = names_of_fields(kind)
    return kind(*[relettered(getattr(node, part), names) for part in parts]) if parts else node


@cache
def names_of_fields(kind: Callable[..., object]) -> tuple[str, ...]:
    """Of what a formula, a message or a block consists; () for what has no parts."""
    if not isinstance(kind, type) or not dataclasses.is_dataclass(kind):
        return ()
    return tuple(field.name for field in dataclasses.fields(kind))


def _composed(first: Mapping[str, str], then: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """The one exchange that does both, the first and then the other."""
    return tuple({**then, **{a: then.get(b, b) for a, b in first.items()}}.items())
