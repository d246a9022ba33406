"""Printed questions, read as a person reads them: the question on one page, its answer on another.

Nothing here is graded by a machine: the reader gives the question and the answer that staff will
grade by, and the audit proves that answer.  Questions and answers belong together by number and
identifier; one without the other is a finding.

Source: HTML Living Standard, as lxml reads it (libxml2's HTML parser knows no entities of a
document and opens no network).
"""

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import partial
from itertools import chain, islice

from lxml import html

from itembank.audit import allowed
from itembank.audit.budget import INTERACTIONS, OPTIONS, PAGE, PAGE_TAGS, refuse_many
from itembank.audit.container import Container
from itembank.audit.prose import formulas_of, lines_of, text_of
from itembank.audit.seen import Form, Grade, Response, SeenItem, SeenOption, SeenStage
from itembank.audit.shape import strange
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import Element, language_of, only

QUESTIONS = re.compile(r"questions-[\w-]+\.html", re.A)
ANSWERS = re.compile(r"key-[\w-]+\.html", re.A)


def items(container: Container, names: list[str], findings: list[str]) -> Iterator[Element]:
    """The questions in order, each with its answer as its last child; findings where one lacks."""
    asked = sections(container, names, QUESTIONS, "question", "id", findings)
    answers = sections(container, names, ANSWERS, "answer", "data-question", findings)
    for name in sorted(set(names)):
        if not QUESTIONS.fullmatch(name) and not ANSWERS.fullmatch(name):
            findings.append(f"{name}: expected a page of questions or of answers")
    for n, identifier in enumerate(asked, 1):
        if not re.search(rf"\b{n}\b", number_of(asked[identifier])):
            findings.append(f"{identifier}: expected the number {n}")
    for identifier in answers.keys() - asked.keys():
        findings.append(f"{identifier}: expected the question of this answer, it is not there")
    for identifier, question in asked.items():
        if identifier not in answers:
            findings.append(f"{identifier}: expected an answer to this question, it is not there")
            continue
        number, other = (number_of(s) for s in (question, answers[identifier]))
        if number != other:
            findings.append(f"{identifier}: expected one number, got '{number}' and '{other}'")
        question.append(answers[identifier])
        yield question


def sections(
    container: Container,
    names: list[str],
    page: re.Pattern[str],
    kind: str,
    attribute: str,
    findings: list[str],
) -> dict[str, Element]:
    """The sections of a kind on the page of this name, by identifier."""
    found: dict[str, Element] = {}
    for name in filter(page.fullmatch, names):
        root = html.document_fromstring(page_of(container, name))
        findings += islice(strange_page(name, root), TOLD)
        for section in root.iter("section"):
            identifier = section.get(attribute, "")
            if section.get("class") != kind or identifier in found or not identifier:
                findings.append(f"{name}: expected each {kind} once, with its identifier")
            else:
                found[identifier] = section
    return found


TOLD = 20
"""The most findings on one page that are written out."""

DECLARATION = re.compile(
    r"(size|margin|padding(-left)?|max-width|min-width|break-inside|text-align|list-style"
    r"|border-collapse|border-bottom|font-weight|font-family) *: *[^:{}]*"
    r"|font *: *([8-9]|1[0-9])pt[^:{}]*|font-size *: *([8-9]|1[0-9])pt"
    r"|color *: *#000|background *: *#fff|display *: *(inline-)?block"
)
"""A declaration that hides nothing: black on white, of a size to be read, where it stands."""


def strange_page(name: str, root: Element) -> Iterator[str]:
    """What of a page is not read here, its styles included."""
    for what in strange(root, allowed.page()):
        yield f"{name}: {what}"
    for style in root.iter("style"):
        for block in re.findall(r"\{([^{}]*)\}", style.text or ""):
            for declaration in filter(None, map(str.strip, block.split(";"))):
                value = " ".join(declaration.split())
                negative = re.search(r"(?<![\w-])-\s*[0-9.]", value)
                if negative or not DECLARATION.fullmatch(value):
                    yield f"{name}: the style {value[:60]}"
        if re.search(r"@(?!page|media screen)|url|expression|\\|/\*", style.text or ""):
            yield f"{name}: a style that loads or hides something"


def page_of(container: Container, name: str) -> bytes:
    """A page as a whole; PackageError for one that would fill the memory."""
    chunks: list[bytes] = []
    size = tags = 0
    for chunk in container.chunks(name):
        chunks.append(chunk)
        size, tags = size + len(chunk), tags + chunk.count(b"<")
        if size > PAGE:
            raise container.refused(f"expected a page of at most {PAGE} bytes", name)
        if tags > PAGE_TAGS:
            raise container.refused(f"expected a page of at most {PAGE_TAGS} tags", name)
    return b"".join(chunks)


def number_of(section: Element) -> str:
    """The heading of a question or an answer, with its number; "" if there is none, or two."""
    headings = list(section.iter("h3"))
    return text_of(lines_of(headings[0])) if len(headings) == 1 else ""


def found(parent: Element, tag: str, name: str | None = None) -> Element:
    """The one element of this tag, and class if one is named, below the parent."""
    below = (e for e in parent.iter(tag) if e is not parent)
    return only([e for e in below if name in (None, e.get("class"))], name or tag)


def seen_item(question: Element) -> SeenItem:
    """The item of a question that holds its answer; Unsupported if it uses what is not read."""
    answer = only([e for e in question if e.get("class") == "answer"], "answer")
    question.remove(answer)
    refuse_many("options", sum(1 for _li in question.iter("li")), OPTIONS)
    options = tuple(
        SeenOption(str(n), first_words(li)) for n, li in enumerate(question.iter("li"), 1)
    )
    entries = sum(1 for p in question.iter("p") if p.get("class") == "entry")
    sources = tuple(
        SeenOption(f"source-{n}", first_words(p))
        for n, p in enumerate(of_class(question, "p", "source"), 1)
    )
    staged = of_class(question, "p", "stage")
    refuse_many("entries or stages", max(entries, len(staged)), INTERACTIONS)
    stages = tuple(map(stage_of, staged))
    parts = [
        [text_of(lines_of(span)) for span in part.iterchildren("span")]
        for part in of_class(found(answer, "span", "key"), "span", "part")
    ]
    working = of_class(answer, "div", "working")
    points = re.match(r"\d+", text_of(lines_of(found(answer, "p", "points"))))
    form = form_of(question, entries, stages)
    return SeenItem(
        identifier=question.get("id", ""),
        language=language_of(question),
        title=text_of(lines_of(found(question, "h3"))),
        stem=lines_of(found(question, "div", "stem")),
        form=form,
        options=options,
        most=entries,
        declared=declared(form, parts, options, sources, stages),
        points={"key": Fraction(points[0])} if points else {},
        full=None,
        statement=text_of(lines_of(found(answer, "span", "statement"))),
        grade=by_a_person,
        probes=(),
        exact=False,
        feedback={f"working {n}": partial(lines_of, e) for n, e in enumerate(working, 1)},
        paper=True,
        unknown=partial(misnamed, question, answer),
        formulas=lambda: chain(formulas_of(question), formulas_of(answer)),
        sources=sources,
        stages=stages,
    )


LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def misnamed(question: Element, answer: Element) -> Iterator[str]:
    """Letters that are not A, B, C, ..., and letters of the answer that are not the option's."""
    lettered: dict[str, str] = {}
    for n, li in enumerate(question.iter("li")):
        letter = (li.text or "").strip().removesuffix(".")
        if n >= len(LETTERS) or letter != LETTERS[n]:
            yield f"the letter '{letter[:20]}' of option {n + 1}"
        lettered[letter] = first_words(li)
    for part in of_class(answer, "span", "part"):
        before = " ".join(text or "" for text in (part.text, *(e.tail for e in part)))
        named = re.search(r"([A-Z])\. *$", before.strip())
        if lettered and (
            named is None or lettered.get(named[1]) != text_of(lines_of(part[len(part) - 1]))
        ):
            yield f"the letter of the answer '{text_of(lines_of(part))[:40]}'"


def first_words(element: Element) -> str:
    """What stands in the first element within this one."""
    if not len(element):
        raise Unsupported("a line whose words do not stand in an element of their own")
    return text_of(lines_of(element[0]))


def of_class(parent: Element, tag: str, name: str) -> list[Element]:
    return [e for e in parent.iter(tag) if e.get("class") == name]


def stage_of(paragraph: Element) -> SeenStage:
    """A stage: its prompt, and the words of which one is to be marked."""
    words = of_class(paragraph, "span", "word")
    options = (SeenOption(str(n), text_of(lines_of(e))) for n, e in enumerate(words, 1))
    return SeenStage(lines_of(found(paragraph, "span", "prompt")), tuple(options))


def declared(
    form: Form,
    parts: list[list[str]],
    options: tuple[SeenOption, ...],
    sources: tuple[SeenOption, ...],
    stages: tuple[SeenStage, ...],
) -> Response:
    """The answer that is told, part by part, as a response."""
    if not all(parts):
        raise Unsupported("a part of the answer without words")
    told = [part[-1] for part in parts]
    if form == "pairs":
        named = [chosen(part[0], sources) for part in parts]
        targets = (chosen(text, options) for text in told)
        return tuple(f"{source} {target}" for source, target in zip(named, targets, strict=True))
    if form == "stages":
        if len(told) != len(stages):
            raise Unsupported(f"{len(told)} answers to {len(stages)} stages")
        return tuple(
            chosen(text, stage.options) if stage.options else text
            for text, stage in zip(told, stages, strict=True)
        )
    return tuple(chosen(text, options) for text in told) if options else tuple(told)


def by_a_person(_response: Response) -> Grade:
    raise Unsupported("a question on paper, which a person grades")


def form_of(question: Element, entries: int, stages: tuple[SeenStage, ...]) -> Form:
    if stages:
        return "stages"
    if entries:
        return "text" if entries == 1 else "entries"
    choose = found(question, "ol", "options").get("data-choose")
    return CHOOSE.get(choose, "one")


CHOOSE: dict[str | None, Form] = {"any": "any", "order": "order", "pairs": "pairs"}
"""What is done with the options, by the word of the list."""


def chosen(label: str, options: Sequence[SeenOption]) -> str:
    """The option that the answer names by its words."""
    named = [o.identifier for o in options if o.label == label]
    if len(named) != 1:
        raise Unsupported(f"an answer '{label[:60]}' that is {len(named)} of the options")
    return named[0]
