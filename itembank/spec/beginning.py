"""A family file to change: what a shipped one says, with a word on each field."""

import re
from collections.abc import Collection, Mapping

from itembank.spec.shapes import ID, LONGEST_ID
from itembank.values.described import ASKED, IN_FORM
from itembank.values.vocabulary import (
    DERIVED_FORMS,
    FORMS_OF_ASK,
    LEVELS,
    KindSignature,
)

_SCHEMA = "# yaml-language-server: $schema="

_WORDS: Mapping[str, str] = {
    "id": "the name of this file",
    "version": "1 more whenever other variants are to be drawn",
    "title": "staff read it",
    "problem": "`itembank kinds` lists all kinds",
    "outcomes": "of your course, words joined by hyphens",
    "level": " | ".join(LEVELS),
    "parameters": "drawn in this order; each may depend on those before it; also: except, value",
    "where": "sets of parameters that fail one of these are passed over",
    "given": "in these parameters; the unknown is x; write 2*x, p^2, // and %",
    "small": "why there are few variants; without it fewer than 200 are a fault",
}

_ABOUT_LINES = ("the steps", "the wrong line", "the missing step", "the next step", "the reason")
"""Asks about the solution instead of the answer, from which nobody begins."""

_HARDER = ("\nlevel: difficult", "\nlevel: very difficult", "\nforms: [guided", "\nforms: [match")

_OF_ITS_OWN = ("whether any", "whether true", "an example")
"""Asks with needs of their own, from which nobody begins either."""

_OTHERWISE = (
    *(f"\nask: {ask}" for ask in (*_ABOUT_LINES, *_OF_ITS_OWN)),
    "\nparts:",
    "\nspare:",
    *_HARDER,
)

_LEFT_OUT = ("about", "shown as", "guessing")
"""Fields of the shipped family that say what is true of it alone."""


def is_id(word: str) -> bool:
    """Whether a family may have this id."""
    return len(word) <= LONGEST_ID and re.fullmatch(ID, word) is not None


def plainest(texts: Collection[str]) -> str:
    """Of some family files the shortest, of those that ask for an answer and have many variants."""
    return min(texts, key=lambda text: (sum(map(text.count, ("\nsmall:", *_OTHERWISE))), len(text)))


def begun(id_: str, kind: KindSignature, text: str, schema: str) -> str:
    """The text of a new family of a kind, after that of a shipped one; `schema` is its address."""
    asks = " | ".join(kind.asks)
    words = {**_WORDS, "ask": asks, "forms": _forms_of(text, kind)}
    lines = [
        f"{_SCHEMA}{schema}",
        f"# Change what you like, then: itembank check {id_}.yaml",
        f"# See it: itembank show {id_}.yaml --watch. Words: itembank kinds {kind.name}",
    ]
    for block in _with_forms(_blocks_of(text)):
        name = block[0].partition(":")[0]
        if name in _LEFT_OUT:
            continue
        if name == "id":
            block = [f"id: {id_}"]
        if name == "version":
            block = ["version: 1"]
        lines += ["", *([f"# {words[name]}"] if name in words else []), *block]
    return "\n".join(lines) + "\n"


def _with_forms(blocks: list[list[str]]) -> list[list[str]]:
    """The blocks, with the form that is meant where none is named."""
    if any(block[0].startswith("forms:") for block in blocks):
        return blocks
    place = next(n for n, block in enumerate(blocks) if block[0].startswith("ask:"))
    usual = FORMS_OF_ASK[_asked_in("\n".join(blocks[place]))][0]
    return [*blocks[: place + 1], [f"forms: [{usual}]"], *blocks[place + 1 :]]


def _asked_in(text: str) -> str:
    """The ask of a family file."""
    ask = next(line for line in text.splitlines() if line.startswith("ask:"))
    return ask.partition(":")[2].strip().strip("\"'")


def _forms_of(text: str, kind: KindSignature) -> str:
    """The forms of the ask of a family file."""
    name = _asked_in(text)
    forms = [f for f in FORMS_OF_ASK[name] if kind.derived or f not in DERIVED_FORMS]
    told = "; ".join(f"{form}: {IN_FORM[form]}" for form in forms)
    return f"{name} asks for {ASKED[name]}\n# {told}"


def _blocks_of(text: str) -> list[list[str]]:
    """The lines of a file, those of each field together; comments before them are left out."""
    blocks: list[list[str]] = []
    for line in text.splitlines():
        if line and not line[0].isspace() and not line.startswith(("#", "-", "}", "]")):
            blocks.append([line])
        elif blocks and not line.startswith("#") and line.strip():
            blocks[-1].append(line)
    return blocks
