"""What a student and a grader see of an item, as lines of text: what a decision is about.

A decisions file keeps these lines, so that a later reader can tell what changed since.
"""

from collections.abc import Iterator, Sequence
from difflib import unified_diff

from itembank.forms import form_of
from itembank.notation import plain
from itembank.notation.tree import Blocks
from itembank.values.item import Item
from itembank.values.points import decimal


def seen_lines(item: Item) -> tuple[str, ...]:
    """The title, stem, options, key, scoring, feedback, worked solution and spoken form."""
    return tuple(_lines(item))


def what_changed(before: Sequence[str], now: Sequence[str]) -> tuple[str, ...]:
    """The lines that were, with -, and those that are, with +; () if they are the same."""
    found = unified_diff(before, now, lineterm="", n=0)
    return tuple(f"{line[0]} {line[1:]}" for line in list(found)[2:] if not line.startswith("@@"))


UNSEEN = ("- what it was", "+ what no line of it shows")
"""A change that the lines do not show."""


def _lines(item: Item) -> Iterator[str]:
    yield f"title: {item.title}"
    yield from _named("question", item.stem)
    yield from _named("the question that the story puts", item.formal)
    yield f"spoken: {item.spoken}"
    yield from form_of(item.response).seen(item.response)
    yield f"scoring: {item.scoring.rule}, {decimal(item.scoring.points)}"
    for feedback in item.feedback:
        answer = ", ".join(map(str, feedback.response)) or "no solutions"
        yield from _named(f"feedback to {answer}", feedback.text)
    yield from _named("feedback to any other wrong answer", item.otherwise)
    yield from _named("feedback to the right answer", item.right)
    yield from _named("worked solution", item.solution)
    yield f"outcomes: {', '.join(item.outcomes)}; level: {item.level}; steps: {item.steps}"


def _named(name: str, blocks: Blocks) -> Iterator[str]:
    """The lines of prose, each with the name of its part."""
    for line in plain.blocks(blocks).splitlines():
        if line.strip():
            yield f"{name}: {' '.join(line.split())}"
