"""What a student and a grader see of an item, as lines of text: what a decision is about.

A decisions file keeps these lines, so that a later reader can tell what changed since.
"""

from collections.abc import Iterator, Sequence
from difflib import unified_diff

from itembank.notation import plain
from itembank.notation.tree import Blocks
from itembank.values.item import (
    Guided,
    IntegerEntry,
    Item,
    ListEntry,
    MatchPairs,
    PutInOrder,
    Response,
    SelectAll,
    SelectOne,
    SetEntry,
    TrueFalse,
)


def seen_lines(item: Item) -> tuple[str, ...]:
    """The title, stem, options, key, scoring, feedback, worked solution and spoken form."""
    return tuple(lines(item))


def what_changed(before: Sequence[str], now: Sequence[str]) -> tuple[str, ...]:
    """The lines that were, with -, and those that are, with +; () if they are the same."""
    found = unified_diff(before, now, lineterm="", n=0)
    return tuple(f"{line[0]} {line[1:]}" for line in list(found)[2:] if not line.startswith("@@"))


UNSEEN = ("- what it was", "+ what no line of it shows")
"""A change that the lines do not show."""


def lines(item: Item) -> Iterator[str]:
    yield f"title: {item.title}"
    yield from named("question", item.stem)
    yield f"spoken: {item.spoken}"
    yield from response_lines(item.response)
    yield f"scoring: {item.scoring.rule}, {item.scoring.points}"
    for feedback in item.feedback:
        answer = ", ".join(map(str, feedback.response)) or "no solutions"
        yield from named(f"feedback to {answer}", feedback.text)
    yield from named("worked solution", item.solution)
    yield f"outcomes: {', '.join(item.outcomes)}; level: {item.level}; steps: {item.steps}"


def named(name: str, blocks: Blocks) -> Iterator[str]:
    """The lines of prose, each with the name of its part."""
    for line in plain.blocks(blocks).splitlines():
        if line.strip():
            yield f"{name}: {' '.join(line.split())}"


def response_lines(response: Response) -> Iterator[str]:
    match response:
        case SelectAll(options=options) | SelectOne(options=options):
            for option in options:
                word = "right option" if option.correct else "wrong option"
                yield f"{word} {option.identifier}: {plain.inlines(option.label)}"
        case IntegerEntry(value=value, modulus=None):
            yield f"key: {value}"
        case IntegerEntry(value=value, modulus=m):
            yield f"key: {value} or any integer congruent to it modulo {m}"
        case ListEntry(values=values, none_word=none, any_order=any_order):
            order = "in any order" if any_order else "in increasing order"
            yield f"key: {', '.join(map(str, values)) or none} ({order})"
        case SetEntry(values=values, modulus=m, entries=entries):
            yield f"key: {', '.join(map(str, values))} modulo {m}, in {entries} entries"
        case TrueFalse(truth=truth):
            yield f"key: {'true' if truth else 'false'}"
        case PutInOrder(lines=shown, order=order):
            for line in shown:
                yield f"line {line.identifier}: {plain.inlines(line.label)}"
            yield f"key: {', '.join(order)}"
        case MatchPairs(sources=sources, targets=targets, pairs=pairs):
            for choice in (*sources, *targets):
                yield f"{choice.identifier}: {plain.inlines(choice.label)}"
            yield f"key: {', '.join(pairs)}"
        case Guided(stages=stages):
            for stage in stages:
                yield f"stage: {plain.inlines(stage.prompt)}"
                yield from response_lines(stage.response)
