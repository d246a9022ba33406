"""Questions of a package that are answered in several parts, as its own files show them.

What `parts.py` does for the items of a pool; here all that is known is what the audit reads.
"""

import re
from collections.abc import Iterator

from itembank.audit.prose import Lines, text_of
from itembank.audit.seen import SeenItem, SeenOption, SeenStage
from itembank.languages import say
from itembank.notation.elements import Element
from itembank.review.parts import Part, chosen, typed
from itembank.review.writer import Writer

_NOT_USED = "not-used"
"""The place of a line that the key leaves out."""


def fields(page: Writer, seen: SeenItem) -> list[Element]:
    """A labelled field for each part, with no key."""
    name = seen.identifier
    if seen.form == "order":
        places = [(str(n), str(n)) for n in range(1, len(seen.options) + 1)]
        if len(seen.declared) < len(seen.options):
            places.append((_NOT_USED, page.text(say("not used"))))
        return [
            chosen(f"{name}-{n}", [line.label, " ", page.text(say("Place:"))], places)
            for n, line in enumerate(seen.options, 1)
        ]
    if seen.form == "pairs":
        return [
            chosen(
                f"{name}-{n}",
                [source.label, " ", page.text(say("goes with"))],
                _labels(seen.options),
            )
            for n, source in enumerate(seen.sources, 1)
        ]
    return [_stage_field(f"{name}-{n}", stage) for n, stage in enumerate(seen.stages, 1)]


def _stage_field(name: str, stage: SeenStage) -> Element:
    if stage.options:
        return chosen(name, [_one_line(stage.prompt)], _labels(stage.options))
    return typed(name, [_one_line(stage.prompt)])


def _labels(options: tuple[SeenOption, ...]) -> list[tuple[str, str]]:
    return [(option.identifier, option.label) for option in options]


def _one_line(prompt: Lines) -> str:
    return " ".join(text_of(prompt).split())


def key_data(seen: SeenItem) -> list[Part]:
    """The key of each part: a choice, or a list with the word for none."""
    if seen.form == "order":
        places = {name: str(n) for n, name in enumerate(seen.declared, 1)}
        return [{"choice": places.get(line.identifier, _NOT_USED)} for line in seen.options]
    if seen.form == "pairs":
        goes_with = dict(pair.split(" ", 1) for pair in seen.declared if " " in pair)
        return [{"choice": goes_with.get(source.identifier, "")} for source in seen.sources]
    return [
        {"choice": text} if stage.options else {"list": re.findall(r"\d+", text), "none": text}
        for stage, text in zip(seen.stages, seen.declared, strict=False)
    ]


def told_key(seen: SeenItem) -> list[str]:
    """The key, a line each part."""
    names = {o.identifier: o.label for o in (*seen.options, *seen.sources)}
    if seen.form == "order":
        return [names.get(name, name) for name in seen.declared]
    if seen.form == "pairs":
        return [" → ".join(names.get(n, n) for n in pair.split(" ")) for pair in seen.declared]
    return [
        f"{_one_line(stage.prompt)} {dict(_labels(stage.options)).get(text, text)}"
        for stage, text in zip(seen.stages, seen.declared, strict=False)
    ]


def shown_lines(seen: SeenItem) -> Iterator[str]:
    """What there is to choose from or to fill in, and the key."""
    for option in (*seen.sources, *seen.options):
        yield f"{option.identifier}: {option.label}"
    for stage in seen.stages:
        yield f"stage: {_one_line(stage.prompt)}"
        yield from (f"{option.identifier}: {option.label}" for option in stage.options)
    yield from (f"key: {line}" for line in told_key(seen))
