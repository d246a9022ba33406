"""Questions in parts: each part is shown by itself, and all of one variant stand together.

A stem says which part it is, "Part (b) of 3.", below the scenario that its parts share. A part that
is missing, that stands in another place than its letter, or that belongs to another variant is a
finding, in the order of the items and in the sections of a test.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from itembank.audit.phrases import Phrases
from itembank.audit.prose import Line, Lines, text_of
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import Element
from itembank.values.worded import worded

_TITLED = re.compile(r" \(([^()]*)\) \(([a-z])\)$")
"""How the title of a part ends: with what names its variant, and its letter."""

_FIRST = "a"


@dataclass(frozen=True)
class Part:
    """Which part of how many a question is; what its title calls the variant, its scenario."""

    letter: str
    of: int
    variant: str
    scenario: str


def part_of(stem: Lines, title: str, phrases: Phrases, paper: bool) -> tuple[Part | None, Lines]:
    """The part that a stem says it is, None for none; and the stem without that sentence.

    Raises Unsupported for two such sentences, for one that no question of so many parts has, and,
    but for paper, which has numbers, for a title that names another letter.
    """
    found = [(i, m) for i, line in enumerate(stem) if (m := _said(line, phrases))]
    titled = None if paper else _TITLED.search(title)
    if not found:
        if titled:
            raise Unsupported(
                worded(
                    "the title of a part, '{title}', and a stem that names none", title=title[-20:]
                )
            )
        return None, stem
    if len(found) > 1:
        raise Unsupported(worded("a stem that says twice which part it is"))
    at, match = found[0]
    letter, of = match[1], int(match[2][:3])
    if not 2 <= of <= 9 or ord(letter) - ord(_FIRST) >= of:
        raise Unsupported(worded("a part ({letter}) of {of}", letter=letter, of=of))
    if not paper and (titled is None or titled[2] != letter):
        raise Unsupported(
            worded(
                "a title that does not end with the letter of its part, ({letter})", letter=letter
            )
        )
    scenario = " ".join(text_of(stem[:at]).split())
    variant = titled[1] if titled else ""
    return Part(letter, of, variant, scenario), (*stem[:at], *stem[at + 1 :])


def _said(line: Line, phrases: Phrases) -> re.Match[str] | None:
    return phrases.stem.part.fullmatch(" ".join(text_of((line,)).split()).lower())


# ------------------------------------------------------------ together, and in order


def apart(where: str, found: Sequence[tuple[str, Part | None]]) -> Iterator[str]:
    """What is wrong with the order of items, each with the part that it is."""
    for variant, together in groupby(found, key=lambda one: one[1] and one[1].variant):
        if variant is not None:
            yield from _incomplete(where, list(together))


def _incomplete(where: str, found: Sequence[tuple[str, Part | None]]) -> Iterator[str]:
    """What is wrong with items of one variant that stand beside each other."""
    parts = [(name, part) for name, part in found if part is not None]
    of, scenario = parts[0][1].of, parts[0][1].scenario
    wanted = [chr(ord(_FIRST) + n) for n in range(of)]
    letters = [part.letter for _name, part in parts]
    if letters != wanted:
        told = ", ".join(f"({letter})" for letter in letters)
        yield worded(
            "{where}{parts}: expected the parts (a) to ({wanted}) together, got {told}",
            where=where,
            parts=parts[0][0],
            wanted=wanted[-1],
            told=told,
        )
    for name, part in parts:
        if (part.of, part.scenario) != (of, scenario):
            yield worded(
                "{where}{name}: expected a part with the scenario of part ({letters})",
                where=where,
                name=name,
                letters=letters[0],
            )


def misplaced(name: str, root: Element, parts: Mapping[str, Part | None]) -> Iterator[str]:
    """What is wrong with the sections of a test: parts stand in a section of their own, whole and
    in their order, and nothing else does."""
    for section in root.iter("{*}assessmentSection"):
        items = section.iterchildren("{*}assessmentItemRef")
        refs = [ref.get("identifier", "") for ref in items]
        own = [(ref, parts.get(ref)) for ref in refs]
        inside = section.getparent() is not None and section.getparent().tag == section.tag
        if not inside:
            yield from (
                f"{name}: {ref}: expected the parts of a question in a section of their own"
                for ref, part in own
                if part is not None
            )
        elif (
            None in (part for _ref, part in own)
            or len({part.variant for _ref, part in own if part}) != 1
        ):
            yield worded(
                "{name}: section {section}: expected parts of one question",
                name=name,
                section=section.get("identifier"),
            )
        else:
            yield from _incomplete(f"{name}: ", own)


def first_of_each(found: Iterable[tuple[str, Part | None]]) -> dict[str, Part | None]:
    """By identifier, where one stands twice the first."""
    by_name: dict[str, Part | None] = {}
    for name, part in found:
        by_name.setdefault(name, part)
    return by_name
