"""A formula as a shape with places for its numbers, so that each shape is set once.

Most formulas of a pool differ from others in their digits alone: x^2 + 9x + 5 ≡ 0 (mod 117) and
x^2 + 7x + 3 ≡ 0 (mod 63). Where numbers stand, how many digits they have and which of them are
negative decides how a formula is set; so do 0, ±1, ±2 and ±3 themselves (a square, a cube), which
are part of a shape. A formula is set with a mark in the place of every other number; to set one of
the same shape its digits are put there.
"""

import re
from collections import OrderedDict
from collections.abc import Callable, Iterator
from dataclasses import fields
from functools import cache
from operator import itemgetter
from typing import Any

from itembank.notation.tree import Letter, Math, Number, Product, Relation, Sum

_TOLD = 3
"""Numbers up to this size are part of a shape."""

_MARKS = range(0xE000, 0xF8FF)
"""Characters of private use, one a number of a formula."""

_MARK = re.compile(f"([{chr(_MARKS[0])}-{chr(_MARKS[-1])}])\\1*")

Key = tuple[object, ...]
Render = Callable[[Math], str]


class _Place(int):
    """A number of which a mark is written, as often as it has digits; no other is equal to it."""

    mark: str

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Place) and (int(self), self.mark) == (int(other), other.mark)

    def __hash__(self) -> int:
        return hash((int(self), self.mark))

    def __str__(self) -> str:
        return "-" * (self < 0) + self.mark

    def __format__(self, spec: str) -> str:
        return format(str(self), spec)

    def __neg__(self) -> "_Place":
        return _place(-int(self), self.mark)


def _place(n: int, mark: str) -> _Place:
    found = _Place(n)
    found.mark = mark
    return found


# ------------------------------------------------------------ the shape of a tree


def key_of(node: Math, numbers: list[str]) -> Key:
    """The shape of a tree; its numbers, the told ones aside, are added to the list by their digits.

    Two trees with one key differ in nothing but numbers of as many digits and the same sign.
    """
    key: list[object] = []
    _walk(node, key, numbers)
    return tuple(key)


def _walk(node: Any, key: list[object], numbers: list[str]) -> None:
    kind: Any = type(node)
    if kind is Number:
        n: int = node.value
        if -_TOLD <= n <= _TOLD:
            key.append(n)
        else:
            digits = str(abs(n))
            numbers.append(digits)
            key.append((n < 0, len(digits)))
    elif kind is Letter:
        key.append(Letter)
        key.append(node.name)
        key.append(node.primes)
    elif kind is Sum:
        terms = node.terms
        key.append(Sum)
        key.append(len(terms))
        for sign, term in terms:
            key.append(sign)
            _walk(term, key, numbers)
    elif kind is Product:
        key.append(Product)
        key.append(node.dot)
        _walk(node.factors, key, numbers)
    elif kind is Relation:
        key.append(Relation)
        key.append(node.signs)
        _walk(node.sides, key, numbers)
    elif kind is tuple:
        key.append(len(node))
        for part in node:
            _walk(part, key, numbers)
    elif kind in (str, int, bool):
        key.append(node)
    else:
        key.append(kind)
        for name in _names_of_fields(kind):
            _walk(getattr(node, name), key, numbers)


@cache
def _names_of_fields(kind: type[Any]) -> tuple[str, ...]:
    """The parts of a node; a product and a relation have theirs in the order of `_walk`."""
    names = tuple(field.name for field in fields(kind))
    return names[::-1] if kind in (Product, Relation) else names


def _marked(node: Any, marks: Iterator[int]) -> Any:
    """The tree with a mark in the place of each number not told, in the order of `_walk`."""
    kind: Any = type(node)
    if kind is Number:
        if -_TOLD <= node.value <= _TOLD:
            return node
        return Number(_place(node.value, chr(next(marks)) * len(str(abs(node.value)))))
    if kind is tuple:
        return tuple([_marked(part, marks) for part in node])
    if kind in (str, int, bool):
        return node
    return kind(**{name: _marked(getattr(node, name), marks) for name in _names_of_fields(kind)})


# ------------------------------------------------------------ what is set


class Shapes:
    """What a dialect writes for formulas, each shape once; at most `most` shapes are held."""

    def __init__(self, render: Render, most: int) -> None:
        self.render = render
        self.most = most
        self.known: OrderedDict[Key, Callable[[list[str]], str]] = OrderedDict()

    def written(self, node: Math) -> str:
        """The formula as `render` writes it."""
        numbers: list[str] = []
        key = key_of(node, numbers)
        fill = self.known.get(key)
        if fill is None:
            if len(numbers) > len(_MARKS) or any(map(_is_marked, key)):
                return self.render(node)
            if len(self.known) == self.most:
                self.known.popitem(last=False)
            fill = self.known[key] = self._filling(node, len(numbers))
        return fill(numbers)

    def _filling(self, node: Math, n: int) -> Callable[[list[str]], str]:
        """What puts the digits of n numbers in their places."""
        if not n:
            text = self.render(node)
            return lambda _numbers: text
        pieces = _MARK.split(self.render(_marked(node, iter(_MARKS))))
        template = "%s".join(piece.replace("%", "%%") for piece in pieces[::2])
        order = [ord(mark) - _MARKS[0] for mark in pieces[1::2]]
        if len(order) == 1:
            (only,) = order
            return lambda numbers: template % numbers[only]
        digits_of = itemgetter(*order)
        return lambda numbers: template % digits_of(numbers)


def _is_marked(part: object) -> bool:
    """Whether characters that serve as marks stand in a formula's own words."""
    return isinstance(part, str) and bool(_MARK.search(part))
