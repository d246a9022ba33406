"""The items of a package, each as plain values: what is shown, the key, the points, the scores.

For comparing packages and for judging writing; nothing of the package stays open behind it.
"""

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

from itembank.audit.container import Container
from itembank.audit.contents import Contents
from itembank.audit.phrases import phrases_of
from itembank.audit.prose import text_of
from itembank.audit.question import Asked, asked
from itembank.audit.seen import Form, Grade, Response, SeenItem
from itembank.audit.unsupported import Unsupported
from itembank.values.worded import worded, wording

_LETTERS = str.maketrans({"−": "-", "’": "'", "“": '"', "”": '"', "\u2062": "", "\u2061": ""})
_RAISED = re.compile("[⁰¹²³⁴⁵⁶⁷⁸⁹]+")
_SPACES = re.compile(r"\s+")


@dataclass(frozen=True, kw_only=True)
class Met:
    """An item as it was met.  `key`: the labels of the right options, or the text to type.

    Of an item on paper `scores` and `misleading` are empty: a person grades it.  `asked` is None
    where the stem is not understood, `why` then says so.  `scores` holds, by
    what is answered in labels, the share of the full score, `told` the names of the feedback.
    `feedback` holds texts by name, `misleading` the names of those that a right answer does not
    show.
    """

    identifier: str
    language: str
    title: str
    stem: str
    form: Form
    options: tuple[str, ...]
    most: int
    key: tuple[str, ...]
    points: tuple[Fraction, ...]
    asked: Asked | None
    why: str
    scores: Mapping[tuple[str, ...], Fraction]
    feedback: Mapping[str, str]
    misleading: frozenset[str]
    told: Mapping[tuple[str, ...], frozenset[str]] = field(default_factory=dict)


def items_met(path: Path) -> Iterator[Met | str]:
    """The items in the order of the package; for one that cannot be read, a line that says why.

    Raises PackageError if the file is no package, or not a safe one.
    """
    with Container(path) as container:
        for element, reader in Contents(container).items():
            try:
                yield _met(reader(element))
            except Unsupported as reason:
                name = (
                    element.get("identifier")
                    or element.get("ident")
                    or element.get("id")
                    or "an item"
                )
                yield worded("{name}: cannot be read: {reason}", name=name, reason=reason)


def _met(seen: SeenItem) -> Met:
    try:
        question, why = asked(seen.stem, phrases_of(seen.language), worth=seen.worth), ""
    except Unsupported as reason:
        question, why = None, wording(reason)
    labels = {o.identifier: o.label for o in seen.options}
    right = None if seen.paper else seen.grade(seen.declared)
    graded = {} if seen.paper else _grades(seen, labels)
    return Met(
        identifier=seen.identifier,
        language=seen.language,
        title=seen.title,
        stem=text_of(seen.stem),
        form=seen.form,
        options=tuple(labels.values()),
        most=seen.most,
        key=tuple(labels.get(part, part) for part in seen.declared),
        points=tuple(sorted(set(seen.points.values()))),
        asked=question,
        why=why,
        scores={a: g.score / right.score for a, g in graded.items()}
        if right and right.score
        else {},
        told={answer: grade.shown for answer, grade in graded.items()},
        feedback={name: told.text() for name, told in seen.feedback.items()},
        misleading=frozenset(seen.feedback) - right.shown if right else frozenset(),
    )


def _grades(seen: SeenItem, labels: Mapping[str, str]) -> Mapping[tuple[str, ...], Grade]:
    """The grades of the key, of nothing, and of whatever differs a little, by labels."""
    order: Callable[[Iterable[str]], Iterable[str]] = sorted if seen.form == "any" else tuple
    return {
        tuple(order(bare(labels.get(part, part)) for part in response)): seen.grade(response)
        for response in dict.fromkeys(_responses(seen))
    }


def _responses(seen: SeenItem) -> Iterator[Response]:
    yield seen.declared
    yield ()
    every = tuple(o.identifier for o in seen.options)
    for option in every:
        yield (option,)
        if seen.form == "any":
            yield tuple(i for i in every if (i in seen.declared) != (i == option))
    yield from seen.probes
    if seen.form == "entries":
        for probe in seen.probes:
            yield from _beside(probe, seen.most)


def _beside(probe: Response, entries: int) -> Iterator[Response]:
    """A set with one left out, from the first entry on and up to the last; one more, in each entry.

    A condition of several entries may be told the wrong one of these for the set itself.
    """
    blank = ("",) * (entries - len(probe))
    for i in range(len(probe)):
        rest = probe[:i] + probe[i + 1 :]
        yield rest
        yield ("", *blank, *rest)
    for place in range(entries if blank else 0):
        yield (*probe[:place], *blank[: max(0, place - len(probe))], "0", *probe[place:])


def bare(text: str) -> str:
    """The text without what platforms change freely: spaces, kinds of minus, raised digits."""
    raised = _RAISED.sub(lambda m: "^" + unicodedata.normalize("NFKC", m[0]), text)
    return _SPACES.sub("", raised.translate(_LETTERS)).casefold()
