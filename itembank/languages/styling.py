"""Congruences as a course writes them: their modulus, their sign, the residues of an answer."""

import dataclasses
from collections.abc import Callable
from math import prod
from typing import TypeVar

from itembank.languages.saying import Said, say
from itembank.notation.tree import (
    Letter,
    Listing,
    Math,
    Minus,
    Modulo,
    Number,
    Power,
    Product,
    Relation,
    Words,
)
from itembank.values.course import Notation

Tree = TypeVar("Tree")

_MOST_DIGITS = 10_000
"""A power longer than this is not multiplied out to find residues nearest to 0."""


def styled(blocks: Tree, notation: Notation, worded: Callable[[Said], Math]) -> Tree:
    """Blocks with each congruence as the notation writes it; `worded` says one in words."""
    if notation.congruent == "words":
        return _with_each(blocks, lambda node: _in_words(node, worded))
    if notation.mod == "mod n":
        return _with_each(blocks, _bare)
    return blocks


def _with_each(node: Tree, changed: Callable[[Modulo], Math]) -> Tree:
    """A tree in which each congruence with its modulus is changed."""
    if isinstance(node, Modulo):
        return changed(node)  # type: ignore[return-value]
    if isinstance(node, tuple):
        return type(node)(_with_each(part, changed) for part in node)
    if dataclasses.is_dataclass(node) and not isinstance(node, type):
        parts = {f.name: getattr(node, f.name) for f in dataclasses.fields(node)}
        return type(node)(**{name: _with_each(part, changed) for name, part in parts.items()})
    return node


def _bare(node: Modulo) -> Math:
    """x ≡ 3 mod 7, without brackets."""
    return Words((node.inside, "mod", node.modulus))


def _in_words(node: Modulo, worded: Callable[[Said], Math]) -> Math:
    """x is congruent to 3 modulo 7.  A calculation in several steps keeps its signs."""
    match node.inside:
        case Relation((a, b), ("≡",)):
            said = say("${a}$ is congruent to ${b}$ modulo ${m}$", a=a, b=b, m=node.modulus)
        case Relation((a, b), ("≢",)):
            said = say("${a}$ is not congruent to ${b}$ modulo ${m}$", a=a, b=b, m=node.modulus)
        case _:
            return Words((node.inside, "modulo", node.modulus))
    return worded(said)


# ------------------------------------------------------------ residues of an answer


def nearest_to_zero(blocks: Tree) -> Tree:
    """An answer with x ≡ -3, 3 (mod 7) for x ≡ 3, 4 (mod 7); what is no such line stays."""
    return _with_each(blocks, _nearest_residues)


def _nearest_residues(node: Modulo) -> Modulo:
    m = _value(node.modulus)
    match node.inside:
        case Relation((Letter() as x, right), ("≡",)) if m:
            residues = right.items if isinstance(right, Listing) else (right,)
            found = [_value(residue) for residue in residues]
            if None in found:
                return node
            near = sorted((r + (m - 1) // 2) % m - (m - 1) // 2 for r in found if r is not None)
            numbers = tuple(map(Number, near))
            shown = Listing(numbers) if isinstance(right, Listing) else numbers[0]
            return Modulo(Relation((x, shown), ("≡",)), node.modulus)
    return node


def _value(node: Math) -> int | None:
    """The integer that a number, or a product of powers, is; None for anything else."""
    match node:
        case Number(n):
            return n
        case Minus(term):
            inside = _value(term)
            return None if inside is None else -inside
        case Power(Number(base), Number(exponent)) if 0 <= exponent < _MOST_DIGITS:
            return int(base**exponent)
        case Product(factors):
            found = [_value(factor) for factor in factors]
            return None if None in found else prod(n for n in found if n is not None)
    return None
