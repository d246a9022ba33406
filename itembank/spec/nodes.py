"""The tree of a spec file, whose values know where they stand, and the faults found in it.

Lines and columns count from 1, in characters.  Scalars stay text: what a field
expects decides how one is read, and `Scalar.type` keeps what YAML 1.1 takes a
bare word for, so that `title: no` is found out and not turned to False.
"""

import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from difflib import get_close_matches

from itembank.values.errors import Fault
from itembank.values.worded import joined, laid_out, worded

MOST_DIGITS = 400
"""The longest integer anywhere in a spec."""

DECIMAL = re.compile(r"-?(0|[1-9][0-9]*)")


@dataclass(frozen=True, kw_only=True)
class Node:
    """A value of the file; `name` is its dotted name (parameters.p.prime[1]), "" at the top."""

    line: int
    column: int
    name: str


@dataclass(frozen=True, kw_only=True)
class Scalar(Node):
    """A piece of text.

    type: what YAML 1.1 takes it for, one of TYPES; always "text" in quotes.
    inset: how far its first character stands from its beginning (1 in quotes), or None
    if the file spells it otherwise (folded lines, escapes).
    """

    text: str
    type: str
    quoted: bool
    inset: int | None

    def column_of(self, offset: int) -> int:
        """The column of a character of the text; of the whole where that cannot be told."""
        return self.column if self.inset is None else self.column + self.inset + offset


@dataclass(frozen=True, kw_only=True)
class Sequence(Node):
    items: tuple[Node, ...]


@dataclass(frozen=True, kw_only=True)
class Fields(Node):
    """A mapping: its keys, in the order of the file, with their values."""

    pairs: tuple[tuple[Scalar, Node], ...]


@dataclass(frozen=True, kw_only=True)
class Broken(Node):
    """A value whose fault has been told already."""


@dataclass
class Faults:
    """The faults of one file, as they are found."""

    path: str
    found: list[Fault] = field(default_factory=list)

    def add(self, node: Node, message: str, offset: int | None = None) -> None:
        """A fault at a node (or at a character of its text), prefixed with the node's name."""
        column = node.column
        if isinstance(node, Scalar) and offset is not None:
            column = node.column_of(offset)
        text = message
        if node.name:
            text = laid_out("{field}: {message}", field=node.name, message=message)
        self.found.append(Fault(self.path, node.line, column, text))

    def mismatch(self, node: Node, expected: str, advice: str = "") -> None:
        """Something else stands here than what was expected."""
        if not isinstance(node, Broken):
            message = worded(
                "expected {expected}, found {described}",
                expected=expected,
                described=_described(node),
            )
            self.add(node, joined("; ", [message, advice] if advice else [message]))


def _described(node: Node) -> str:
    """What stands here, as a message says it: the text 'abc', the integer 12, a list."""
    match node:
        case Scalar(type="nothing", text=text):
            if not text:
                return worded("nothing")
            return worded("{text}, which stands for nothing", text=text)
        case Scalar(type="text", text=text):
            if not text.strip():
                return worded("an empty text")
            return worded("the text '{text}'", text=short(text))
        case Scalar(type="integer", text=text):
            return worded("the integer {text}", text=short(text))
        case Scalar(type="truth value", text=text):
            return worded("the truth value {text}", text=short(text))
        case Scalar(type=kind, text=text):
            return worded("the {kind} {text}", kind=THINGS.get(kind, kind), text=short(text))
        case Sequence(items=()):
            return worded("an empty list")
        case Sequence():
            return worded("a list")
        case _:
            return worded("fields")


def short(text: str, most: int = 40) -> str:
    """The text, cut to a length that a message can bear."""
    flat = " ".join(text.split())
    return flat if len(flat) <= most else flat[: most - 3] + "..."


_MEANT = {
    "hard": "difficult",
    "very hard": "very difficult",
    "simple": "easy",
    "very simple": "very easy",
    "moderate": "medium",
    "kind": "problem",
    "conditions": "where",
    "quadratic": "polynomial",
    "cubic": "polynomial",
    "crt": "system",
    "multiple choice": "select one",
    "multiple response": "select all",
    "checkboxes": "select all",
    "number": "integer",
    "all": "all solutions",
}
"""What people write for a word of the standard."""

_ALIKE = 0.75
"""How much alike a word must be to a part of another."""


def near_miss(word: str, words: Iterable[str]) -> str | None:
    """The word that was probably meant, if one is near: itself, or one with such a part.

    >>> near_miss("hard", ["easy", "difficult"]), near_miss("sign-eror", ["sum", "error-of-sign"])
    ('difficult', 'error-of-sign')
    """
    by_lower = {w.lower(): w for w in words}
    if (meant := _MEANT.get(word.lower())) in by_lower:
        return meant
    close = get_close_matches(word.lower(), by_lower, n=1)
    if close:
        return by_lower[close[0]]
    parts = {part: w for w in reversed([*by_lower.values()]) for part in _parts_of(w)}
    for part in _parts_of(word):
        if near := get_close_matches(part, parts, n=1, cutoff=_ALIKE):
            return parts[near[0]]
    return None


def _parts_of(word: str) -> list[str]:
    """The longer parts of a name of several words."""
    parts = word.lower().replace("_", "-").split("-")
    return [part for part in parts if len(part) >= 4] if len(parts) > 1 else []


THINGS = {
    "ask": worded("ask"),
    "family": worded("family"),
    "field": worded("field"),
    "form": worded("form"),
    "form of this family": worded("form of this family"),
    "function": worded("function"),
    "kind of problem": worded("kind of problem"),
    "letter": worded("letter"),
    "level": worded("level"),
    "measure": worded("measure"),
    "name": worded("name"),
    "date": worded("date"),
    "number": worded("number"),
    "parameter": worded("parameter"),
    "scoring rule": worded("scoring rule"),
    "residues": worded("residues"),
    "modulus": worded("modulus"),
    "slip": worded("slip"),
    "substitute": worded("substitute"),
    "use": worded("use"),
    "way to combine": worded("way to combine"),
    "way to inverses": worded("way to inverses"),
    "way to lift": worded("way to lift"),
    "way to roots": worded("way to roots"),
    "way to write congruences": worded("way to write congruences"),
    "word": worded("word"),
}
"""What a word of a file is, as a message says it."""


def unknown(what: str, word: str, words: Collection[str]) -> str:
    """The message on a word that is not one of `words`: the near miss, or else all of them."""
    thing = THINGS.get(what, what)
    if near := near_miss(word, words):
        return worded(
            "unknown {thing} '{word}'; did you mean '{near}'?",
            thing=thing,
            word=short(word),
            near=near,
        )
    return worded(
        "unknown {thing} '{word}'; expected one of: {words}",
        thing=thing,
        word=short(word),
        words=", ".join(words) or worded("none"),
    )
