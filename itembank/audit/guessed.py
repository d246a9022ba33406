"""What guessers score on a finished package: its questions as a student meets them.

Questions with one title but for its number are taken to be of one family.  Where no family tells
its form, a response is named as the ask and what is typed or chosen tell it.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from itembank.audit.budget import CHARACTERS, WEIGHED
from itembank.audit.container import Container
from itembank.audit.contents import Contents
from itembank.audit.phrases import phrases_of
from itembank.audit.prose import Formula, Lines, text_of
from itembank.audit.question import Asked, asked, congruences
from itembank.audit.seen import SeenItem
from itembank.audit.unsupported import Unsupported
from itembank.guessing.figures import ENOUGH, Figures, Tally
from itembank.guessing.question import Answer, Option, Question, as_meant
from itembank.values.worded import worded

NUMBERED = re.compile(r" \(\d+\)$| \d+(?=\)$)")
_WHOLE = re.compile(r"-?[0-9]+")

_DECIDED = ("whether any", "whether true")
"""Asks that are answered by true or false."""

_CHOSEN = {"any": "select all", "order": "order", "pairs": "match"}


@dataclass(frozen=True)
class Guessed:
    """The figures of the questions of one title, in one form."""

    title: str
    figures: Figures


def guessed(path: Path) -> tuple[Guessed, ...]:
    """The figures in the order of the package; what is not understood is left out.

    Of more than ENOUGH questions of one title and form the first are met.

    Raises PackageError if the file is no package, or not a safe one.
    """
    tallies: dict[tuple[str, str], Tally] = {}
    for title, question, key in _understood(path):
        tally = tallies.setdefault((title, question.form), Tally(question.form))
        if tally.questions < ENOUGH:
            tally.meet([(question, key)])
    return tuple(Guessed(title, tally.figures()) for (title, _form), tally in tallies.items())


_Met = tuple[str, Question, Answer]


def _understood(path: Path) -> Iterator[_Met]:
    """Title, question and key of each item that is read and asks what is known."""
    with Container(path) as container:
        for element, reader in Contents(container).items():
            try:
                yield _met(reader(element))
            except Unsupported:
                continue


def _met(item: SeenItem) -> _Met:
    """An item with its declared key; Unsupported for a stem that is not understood."""
    stem = asked(item.stem, phrases_of(item.language), worth=item.worth)
    form = form_of(item, stem)
    rows = tuple(formula.text for formula in congruences(item.stem))
    marked = () if rows else tuple(_formulas(item.stem))
    shown = rows or marked or (text_of(item.stem[:1]),)
    if stem.claim and not marked:
        shown = (*shown, stem.claim)
    numbers = tuple(int(n) for text in shown for n in _WHOLE.findall(text.replace("-", " ")))
    kind = type(stem.question).__name__.casefold()
    ask, rows = as_meant(kind, stem.ask, rows, numbers)
    placed = form == "order" and bool(item.sources)
    options = item.sources if placed else item.options
    question = Question(
        form=form,
        ask=ask,
        rows=rows,
        numbers=numbers,
        options=tuple(Option(o.identifier, o.label.replace("−", "-")) for o in options),
        sources=() if placed else tuple(source.identifier for source in item.sources),
        some=stem.not_every,
        modulus=stem.question.modulus if _is_residue(form, stem) else None,
        offers_none=bool(stem.none) and form != "set",
    )
    return NUMBERED.sub("", item.title), question, _key_of(item, question)


def form_of(item: SeenItem, stem: Asked) -> str:
    """The form by the name of this room; Unsupported for stages, which are no one answer."""
    if len(item.options) > WEIGHED:
        raise Unsupported(
            worded("{n} options, {weighed} are weighed", n=len(item.options), weighed=WEIGHED)
        )
    match item.form:
        case "one":
            return "solvable or not" if stem.ask in _DECIDED else "select one"
        case "text":
            if stem.ask == "an example":
                raise Unsupported(worded("any of several numbers, of which a package names one"))
            return "list" if stem.ask == "all solutions" else "integer"
        case "entries":
            return "set"
        case "stages":
            raise Unsupported("stages")
        case "pairs" if stem.ask == "the steps":
            return "order"
    return _CHOSEN[item.form]


def _is_residue(form: str, stem: Asked) -> bool:
    """Whether residues are typed; one integer is a residue where others count, or it solves."""
    return form != "integer" or stem.any_representative or stem.ask == "the solution"


def _formulas(stem: Lines) -> Iterator[str]:
    """The formulas that are marked as such."""
    return (part.text for line in stem for part in line if isinstance(part, Formula))


def _key_of(item: SeenItem, question: Question) -> Answer:
    """The declared key, in the terms of a guesser."""
    if question.form == "order" and item.sources:
        return _placed_lines(item)
    if question.form == "solvable or not":
        return ("true" if item.declared[0] == item.options[0].identifier else "false",)
    if item.options:
        offered = [option.identifier for option in item.options]
        if question.form in ("select all", "select one"):
            return tuple(name for name in offered if name in item.declared)
        return item.declared
    if any(len(text) > CHARACTERS for text in item.declared):
        raise Unsupported(
            worded("a key of more than {characters} characters", characters=CHARACTERS)
        )
    typed = [int(n) for text in item.declared for n in _WHOLE.findall(text.replace("−", "-"))]
    m = question.modulus
    return tuple(sorted(n % m if m else n for n in typed))


def _placed_lines(item: SeenItem) -> Answer:
    """The lines that have a place, in the order of the places; the last of these is none."""
    places = {target.identifier: n for n, target in enumerate(item.options[:-1])}
    pairs = (pair.partition(" ") for pair in item.declared)
    return tuple(n for _at, n in sorted((places[t], s) for s, _, t in pairs if t in places))
