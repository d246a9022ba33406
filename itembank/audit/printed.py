"""A printed question, read as a person reads it: the question on a sheet, its answer in the key.

Nothing here is graded by a machine: the reader gives the question and the answer that staff will
grade by, and the audit proves that answer.  Which answer belongs to a question, and what else
holds of sheets, `sheets.py` says.
"""

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import partial

from itembank.audit.budget import INTERACTIONS, OPTIONS, refuse_many
from itembank.audit.points import points_told
from itembank.audit.prose import formulas_of, lines_of, read_once, text_of
from itembank.audit.seen import Form, Grade, Response, SeenItem, SeenOption, SeenStage
from itembank.audit.speech import Formulas
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import Element, language_of, only
from itembank.values.worded import worded


def _found(parent: Element, tag: str, name: str | None = None) -> Element:
    """The one element of this tag, and class if one is named, below the parent."""
    below = (e for e in parent.iter(tag) if e is not parent)
    return only([e for e in below if name in (None, e.get("class"))], name or tag)


def seen_item(question: Element) -> SeenItem:
    """The item of a question that holds its answer; Unsupported if it uses what is not read."""
    answer = only([e for e in question if e.get("class") == "answer"], "answer")
    question.remove(answer)
    refuse_many("options", sum(1 for _li in question.iter("li")), OPTIONS)
    options = tuple(
        SeenOption(str(n), _first_words(li)) for n, li in enumerate(question.iter("li"), 1)
    )
    entries = sum(1 for p in question.iter("p") if p.get("class") == "entry")
    sources = tuple(
        SeenOption(f"source-{n}", _first_words(p))
        for n, p in enumerate(of_class(question, "p", "source"), 1)
    )
    staged = of_class(question, "p", "stage")
    refuse_many("entries or stages", max(entries, len(staged)), INTERACTIONS)
    stages = tuple(map(_stage_of, staged))
    parts = [
        [text_of(lines_of(span)) for span in part.iterchildren("span")]
        for part in of_class(_found(answer, "span", "key"), "span", "part")
    ]
    points = points_told(text_of(lines_of(_found(answer, "p", "points"))))
    worth = worth_of(question)
    form = _form_of(question, entries, stages)
    return SeenItem(
        identifier=answer.get("data-question", ""),
        language=language_of(question),
        title=text_of(lines_of(_found(question, "h3"))),
        stem=lines_of(_found(question, "div", "stem")),
        form=form,
        options=options,
        most=entries,
        declared=_declared(form, parts, options, sources, stages),
        points={
            **({"key": points} if points is not None else {}),
            **({"heading": worth} if worth is not None else {}),
        },
        worth=worth if question.get(RULE) else None,
        full=None,
        statement=text_of(lines_of(_found(answer, "span", "statement"))),
        grade=by_a_person,
        probes=(),
        exact=False,
        feedback={
            f"{kind} {n}": read_once(e)
            for kind in (WORKING, "slip")
            for n, e in enumerate(of_class(answer, "div", kind), 1)
        },
        paper=True,
        unknown=partial(_misnamed, question, answer),
        formulas=lambda: [Formulas(partial(formulas_of, e)) for e in (question, answer)],
        sources=sources,
        stages=stages,
    )


WORKING = "working"
"""How the name of a worked solution begins; remarks on answers are slips."""

_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

RULE = "data-rule"
"""Set on a question whose sheet says that its points are given for the whole answer, or 0."""


def worth_of(question: Element) -> Fraction | None:
    """The points in the heading of a question, in brackets; None where none stand there."""
    for worth in of_class(question, "span", "worth"):
        if (told := points_told(text_of(lines_of(worth)))) is not None:
            return told
    return None


def short_answer(question: Element, answer: Element) -> str:
    """The key as a row of copies tells it: letters where there are any, else what is written."""
    told = []
    for part in of_class(answer, "span", "part"):
        before = " ".join(text or "" for text in (part.text, *(e.tail for e in part)))
        named = re.search(r"([A-Z])\. *$", before.strip())
        told.append(named[1] if named else text_of(lines_of(part[len(part) - 1])))
    return ("; " if of_class(question, "p", "stage") else ", ").join(told)


def number_of(section: Element) -> str:
    """The number in the heading of a question or an answer; "" for none, or two headings."""
    headings = list(section.iter("h3"))
    number = _NUMBERED.search(text_of(lines_of(headings[0]))) if len(headings) == 1 else None
    return number[0] if number else ""


_NUMBERED = re.compile(r"\b\d+\b(?: \([a-z]\))?")
"""The number of a question; of a part with its letter."""


def _misnamed(question: Element, answer: Element) -> Iterator[str]:
    """Letters that are not A, B, C, ..., letters of the answer that are not the option's.

    And another name over the answer than that of its question.
    """
    for name in of_class(answer, "span", "identifier"):
        if text_of(lines_of(name)) != answer.get("data-question", ""):
            yield worded("the answer to '{found}'", found=text_of(lines_of(name))[:40])
    lettered: dict[str, str] = {}
    for n, li in enumerate(question.iter("li")):
        letter = (li.text or "").strip().removesuffix(".")
        if n >= len(_LETTERS) or letter != _LETTERS[n]:
            yield worded(
                "the letter '{letter}' of option {option}", letter=letter[:20], option=n + 1
            )
        lettered[letter] = _first_words(li)
    for part in of_class(answer, "span", "part"):
        before = " ".join(text or "" for text in (part.text, *(e.tail for e in part)))
        named = re.search(r"([A-Z])\. *$", before.strip())
        if lettered and (
            named is None or lettered.get(named[1]) != text_of(lines_of(part[len(part) - 1]))
        ):
            yield worded("the letter of the answer '{found}'", found=text_of(lines_of(part))[:40])


def _first_words(element: Element) -> str:
    """What stands in the first element within this one."""
    if not len(element):
        raise Unsupported(worded("a line whose words do not stand in an element of their own"))
    return text_of(lines_of(element[0]))


def of_class(parent: Element, tag: str, name: str) -> list[Element]:
    return [e for e in parent.iter(tag) if e.get("class") == name]


def _stage_of(paragraph: Element) -> SeenStage:
    """A stage: its prompt, and the words of which one is to be marked."""
    words = of_class(paragraph, "span", "word")
    options = (SeenOption(str(n), text_of(lines_of(e))) for n, e in enumerate(words, 1))
    return SeenStage(lines_of(_found(paragraph, "span", "prompt")), tuple(options))


def _declared(
    form: Form,
    parts: list[list[str]],
    options: tuple[SeenOption, ...],
    sources: tuple[SeenOption, ...],
    stages: tuple[SeenStage, ...],
) -> Response:
    """The answer that is told, part by part, as a response."""
    if not all(parts):
        raise Unsupported(worded("a part of the answer without words"))
    told = [part[-1] for part in parts]
    if form == "pairs":
        named = [_chosen(part[0], sources) for part in parts]
        targets = (_chosen(text, options) for text in told)
        return tuple(f"{source} {target}" for source, target in zip(named, targets, strict=True))
    if form == "stages":
        if len(told) != len(stages):
            raise Unsupported(
                worded("{n} answers to {stages} stages", n=len(told), stages=len(stages))
            )
        return tuple(
            _chosen(text, stage.options) if stage.options else text
            for text, stage in zip(told, stages, strict=True)
        )
    return tuple(_chosen(text, options) for text in told) if options else tuple(told)


def by_a_person(_response: Response) -> Grade:
    raise Unsupported(worded("a question on paper, which a person grades"))


def _form_of(question: Element, entries: int, stages: tuple[SeenStage, ...]) -> Form:
    if stages:
        return "stages"
    if entries:
        return "text" if entries == 1 else "entries"
    choose = _found(question, "ol", "options").get("data-choose")
    return _CHOOSE.get(choose, "one")


_CHOOSE: dict[str | None, Form] = {"any": "any", "order": "order", "pairs": "pairs"}
"""What is done with the options, by the word of the list."""


def _chosen(label: str, options: Sequence[SeenOption]) -> str:
    """The option that the answer names by its words."""
    named = [o.identifier for o in options if o.label == label]
    if len(named) != 1:
        raise Unsupported(
            worded("an answer '{label}' that is {n} of the options", label=label[:60], n=len(named))
        )
    return named[0]
