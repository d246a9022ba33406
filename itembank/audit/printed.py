"""Printed questions, read as a person reads them: the question on one page, its answer on another.

Nothing here is graded by a machine: the reader gives the question and the answer that staff will
grade by, and the audit proves that answer.  Questions and answers belong together by number and
identifier; one without the other is a finding.

Source: HTML Living Standard, as lxml reads it (libxml2's HTML parser knows no entities of a
document and opens no network).
"""

import re
from collections.abc import Iterator
from fractions import Fraction

from lxml import html

from itembank.audit.container import Container
from itembank.audit.prose import lines_of, text_of
from itembank.audit.seen import Form, Grade, Response, SeenItem, SeenOption
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import Element, only

QUESTIONS = re.compile(r"questions-[\w-]+\.html", re.A)
ANSWERS = re.compile(r"key-[\w-]+\.html", re.A)

LARGEST = 256 << 20
"""The longest page that is read, in bytes."""


def items(container: Container, names: list[str], findings: list[str]) -> Iterator[Element]:
    """The questions in order, each with its answer as its last child; findings where one lacks."""
    asked = sections(container, names, QUESTIONS, "question", "id")
    answers = sections(container, names, ANSWERS, "answer", "data-question")
    for identifier in answers.keys() - asked.keys():
        findings.append(f"{identifier}: expected the question of this answer, it is not there")
    for identifier, question in asked.items():
        if identifier not in answers:
            findings.append(f"{identifier}: expected an answer to this question, it is not there")
            continue
        number, other = (text_of(lines_of(found(s, "h3"))) for s in (question, answers[identifier]))
        if number != other:
            findings.append(f"{identifier}: expected one number, got '{number}' and '{other}'")
        question.append(answers[identifier])
        yield question


def sections(
    container: Container, names: list[str], page: re.Pattern[str], kind: str, attribute: str
) -> dict[str, Element]:
    """The sections of a kind on the page of this name, by identifier."""
    found: dict[str, Element] = {}
    for name in filter(page.fullmatch, names):
        source = b""
        for chunk in container.chunks(name):
            source += chunk
            if len(source) > LARGEST:
                raise Unsupported(f"a page of more than {LARGEST} bytes")
        root = html.document_fromstring(source)
        for section in root.iter("section"):
            if section.get("class") == kind:
                found[section.get(attribute, "")] = section
    return found


def found(parent: Element, tag: str, name: str | None = None) -> Element:
    """The one element of this tag, and class if one is named, below the parent."""
    below = (e for e in parent.iter(tag) if e is not parent)
    return only([e for e in below if name in (None, e.get("class"))], name or tag)


def seen_item(question: Element) -> SeenItem:
    """The item of a question that holds its answer; Unsupported if it uses what is not read."""
    answer = only([e for e in question if e.get("class") == "answer"], "answer")
    question.remove(answer)
    options = [
        SeenOption(str(n), text_of(lines_of(li[0]))) for n, li in enumerate(question.iter("li"), 1)
    ]
    entries = sum(1 for p in question.iter("p") if p.get("class") == "entry")
    parts = [
        text_of(lines_of(part[0]))
        for part in found(answer, "span", "key")
        if part.get("class") == "part"
    ]
    points = re.match(r"\d+", text_of(lines_of(found(answer, "p", "points"))))
    return SeenItem(
        identifier=question.get("id", ""),
        title=text_of(lines_of(found(question, "h3"))),
        stem=lines_of(found(question, "div", "stem")),
        form=form_of(question, entries),
        options=tuple(options),
        most=entries,
        declared=tuple(chosen(part, options) for part in parts) if options else tuple(parts),
        points={"key": Fraction(points[0])} if points else {},
        full=None,
        statement=text_of(lines_of(found(answer, "span", "statement"))),
        grade=by_a_person,
        probes=(),
        exact=False,
        feedback={},
        paper=True,
    )


def by_a_person(_response: Response) -> Grade:
    raise Unsupported("a question on paper, which a person grades")


def form_of(question: Element, entries: int) -> Form:
    if entries:
        return "text" if entries == 1 else "entries"
    choose = found(question, "ol", "options").get("data-choose")
    return "any" if choose == "any" else "one"


def chosen(label: str, options: list[SeenOption]) -> str:
    """The option that the answer names by its words."""
    named = [o.identifier for o in options if o.label == label]
    if len(named) != 1:
        raise Unsupported(f"an answer '{label[:60]}' that is {len(named)} of the options")
    return named[0]
