"""Sheets of paper and their key: which answer belongs to a question, and what holds of a pile.

A bank is one page of questions and one of answers, of the same numbers.  A quiz has a sheet for
each copy, under its code; the key says in a row for each code what the answers are, and under
which number each of them is worked out.  Every question is judged once; where another copy has it,
it must stand there word for word.

A sheet holds no key and no identifier; neighbours in the pile share no more questions of a group
than they must; the table for graders names each question of each copy once.
"""

import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from hashlib import sha256
from io import StringIO
from itertools import chain, pairwise

from lxml import etree

from itembank.audit import typeset
from itembank.audit.container import Container
from itembank.audit.pages import page
from itembank.audit.parts import Part, apart, part_of
from itembank.audit.phrases import phrases_of
from itembank.audit.points import as_decimal, points_told
from itembank.audit.printed import RULE, number_of, of_class, short_answer, worth_of
from itembank.audit.prose import lines_of, text_of
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import Element, language_of
from itembank.values.worded import worded

_NAME = r"[A-Za-z0-9_-]+"
_QUESTIONS = re.compile(rf"questions-{_NAME}\.(?:html|tex)")
_SHEET = re.compile(rf"sheet-{_NAME}-([A-Z0-9]{{4}})\.(?:html|tex)")
_DOCUMENT = re.compile(rf"sheets-{_NAME}\.tex")
_ANSWERS = re.compile(rf"key-{_NAME}\.(?:html|tex)")
_GRADES = re.compile(rf"grades-{_NAME}\.csv")

_STAFF_ALONE = ("answer", "copies", "identifier", "key", "part", "slip", "statement", "working")
"""Classes of what is told to graders, and stands on no sheet."""

_IDENTIFIER = re.compile(r"\bitem-[0-9a-f]{16}\b")

_COLUMNS = ["student", "copy", "question", "item", "points", "of", "answer"]


@dataclass
class _Key:
    """The page of answers: by identifier, by number; the group of each; the rows of the copies."""

    answers: dict[str, Element] = field(default_factory=dict)
    numbers: dict[str, str] = field(default_factory=dict)
    """The identifier of each number."""
    groups: dict[str, int] = field(default_factory=dict)
    """The group of each identifier, counted from 0."""
    drawn: list[tuple[int, int]] = field(default_factory=list)
    """Of each group, how many of how many a student gets."""
    rows: dict[str, list[tuple[str, str, str]]] = field(default_factory=dict)
    """Of each copy, question, answer and number of the answer."""


@dataclass(frozen=True)
class _Sheet:
    """A sheet as it was met: its code, and number, identifier and points of each question."""

    code: str
    questions: tuple[tuple[str, str, str], ...]


def items(container: Container, names: list[str], findings: list[str]) -> Iterator[Element]:
    """Each question once, with its answer as its last child; findings where something is amiss."""
    sheets = [name for name in names if _SHEET.fullmatch(name)]
    banks = [name for name in names if _QUESTIONS.fullmatch(name)]
    keys = [name for name in names if _ANSWERS.fullmatch(name)]
    tables = [name for name in names if _GRADES.fullmatch(name)]
    documents = [name for name in names if _DOCUMENT.fullmatch(name)]
    sources = any(name.endswith(".tex") for name in names)
    commands = typeset.READ if sources else ()
    for name in sorted(set(names) - {*sheets, *banks, *keys, *tables, *documents, *commands}):
        findings.append(worded("{name}: expected a page of questions or of answers", name=name))
    if not names:
        return
    if len(keys) != 1 or len(banks) + bool(sheets) != 1:
        findings.append(
            worded(
                "expected questions, as one bank or as sheets, and one key; got "
                "{banks} banks, {sheets} sheets and {keys} keys",
                banks=len(banks),
                sheets=len(sheets),
                keys=len(keys),
            )
        )
        return
    if sources:
        findings += typeset.unread(container, names)
        if len(documents) != bool(sheets):
            findings.append(
                worded("expected one document of all sheets, got {n}", n=len(documents))
            )
        for name in documents:
            findings += typeset.unlisted(container, name, sheets)
    key = _key_of(container, keys[0], findings)
    pile = _Pile(container, key, findings)
    yield from pile.bank(banks[0]) if banks else pile.quiz(sheets)
    findings += pile.left_over()
    if sheets:
        findings += _alike(pile.met, key)
        findings += _misgraded(container, tables, pile.met)


def _key_of(container: Container, name: str, findings: list[str]) -> _Key:
    key = _Key()
    root = page(container, name, findings)
    for element in root.iter("h2", "section", "tr"):
        if element.tag == "tr":
            if (element.getparent().get("class") or "") == "copies":
                _read_row(key, element, name, findings)
        elif element.tag == "h2":
            after = element.getnext()
            said = "" if after is None else text_of(lines_of(after))
            numbers = [int(n) for n in re.findall(r"\d+", said)]
            if len(numbers) >= 2:
                key.drawn.append((min(numbers[:2]), max(numbers[:2])))
        elif element.get("class") == "answer":
            identifier, number = element.get("data-question", ""), number_of(element)
            if not identifier or identifier in key.answers or number in key.numbers:
                findings.append(
                    worded(
                        "{name}: expected each answer once, with identifier and number", name=name
                    )
                )
                continue
            key.answers[identifier] = element
            key.numbers[number] = identifier
            key.groups[identifier] = len(key.drawn) - 1
        else:
            findings.append(worded("{name}: expected answers alone", name=name))
    return key


def _miscounted(name: str, key: _Key) -> Iterator[str]:
    """Groups of a bank that say they hold more questions, or fewer, than stand there.

    The headings of groups that are the parts of one question stand together before all of it.
    """
    said = 0
    for g, (_choose, of) in enumerate(key.drawn):
        said += of
        there = sum(group == g for group in key.groups.values())
        if not there and g + 1 < len(key.drawn):
            continue
        if said != there:
            yield worded(
                "{name}: expected {there} questions in group {group}, got {said}",
                name=name,
                there=there,
                group=g + 1,
                said=said,
            )
        said = 0


_CELL = re.compile(r"(\d+(?: \([a-z]\))?): (.*) \[(\d+)\]", re.S)


def _read_row(key: _Key, row: Element, name: str, findings: list[str]) -> None:
    code = text_of(lines_of(row[0]))
    cells = [_CELL.fullmatch(text_of(lines_of(cell))) for cell in of_class(row, "span", "cell")]
    if code in key.rows or not cells or None in cells:
        findings.append(
            worded(
                "{name}: expected one row of answers for the copy '{code}'",
                name=name,
                code=code[:20],
            )
        )
        return
    key.rows[code] = [(m[1], m[2], m[3]) for m in cells if m]


# ------------------------------------------------------------ questions and their answers


@dataclass
class _Pile:
    """The sheets, read one after the other."""

    container: Container
    key: _Key
    findings: list[str]
    met: list[_Sheet] = field(default_factory=list)
    first: dict[str, bytes] = field(default_factory=dict)
    """How each question was set where it was met first, by identifier."""

    def bank(self, name: str) -> Iterator[Element]:
        """The questions of one page, each under the number of its answer."""
        self.findings += _miscounted(name, self.key)
        for number, question in self.questions(name):
            identifier = self.key.numbers.get(number, "")
            if not identifier:
                self.findings.append(
                    worded(
                        "{name}: question {number}: expected an answer, there is none",
                        name=name,
                        number=number,
                    )
                )
            else:
                yield from self.with_answer(name, question, identifier)

    def quiz(self, names: Sequence[str]) -> Iterator[Element]:
        """The questions of the sheets, each where it is met first."""
        codes = []
        for name in names:
            match = _SHEET.fullmatch(name)
            code = match[1] if match else ""
            codes.append(code)
            yield from self.sheet(name, code)
        if codes != list(self.key.rows):
            self.findings.append(worded("expected a row of the key for each sheet, in their order"))

    def sheet(self, name: str, code: str) -> Iterator[Element]:
        row = dict((number, (told, answer)) for number, told, answer in self.key.rows.get(code, ()))
        had: list[tuple[str, str, str]] = []
        for number, question in self.questions(name, code):
            told, answer = row.pop(number, ("", ""))
            identifier = self.key.numbers.get(answer, "")
            if not identifier:
                self.findings.append(
                    worded(
                        "{name}: question {number}: expected an answer in its row",
                        name=name,
                        number=number,
                    )
                )
                continue
            short = short_answer(question, self.key.answers[identifier])
            if _squeezed(short) != _squeezed(told):
                self.findings.append(
                    worded(
                        "{name}: question {number}: expected '{short}' in its row of the key, "
                        "got '{told}'",
                        name=name,
                        number=number,
                        short=short[:60],
                        told=told[:60],
                    )
                )
            worth = worth_of(question)
            had.append((number, identifier, as_decimal(worth)))
            yield from self.with_answer(name, question, identifier)
        if row:
            self.findings.append(
                worded(
                    "{name}: expected the questions {found} of its row",
                    name=name,
                    found=", ".join(row),
                )
            )
        self.met.append(_Sheet(code, tuple(had)))

    def questions(self, name: str, code: str = "") -> Iterator[tuple[str, Element]]:
        """The questions of a sheet with their numbers, once it is found that it tells no key."""
        root = page(self.container, name, self.findings)
        self.findings += _told_too_much(name, root, code)
        rule = _says_the_rule(root)
        asked = [section for section in root.iter("section") if section.get("class") == "question"]
        self.findings += _misadded(name, root, asked)
        before = "0"
        for question in asked:
            number = number_of(question)
            if number not in (wanted := _following(before)):
                self.findings.append(
                    worded(
                        "{name}: expected the number {wanted}, got '{number}'",
                        name=name,
                        wanted=wanted[0],
                        number=number,
                    )
                )
            before = number or wanted[0]
        self.findings += _misnumbered(name, asked)
        for question in asked:
            number = number_of(question)
            if rule:
                question.set(RULE, "once")
            yield number, question

    def with_answer(self, name: str, question: Element, identifier: str) -> Iterator[Element]:
        """The question and its answer, where it is met first; else it must be as it was there."""
        print_ = _as_set(question)
        if identifier not in self.first:
            self.first[identifier] = print_
            question.append(self.key.answers[identifier])
            yield question
        elif self.first[identifier] != print_:
            self.findings.append(
                worded(
                    "{name}: {identifier}: expected the question of the other copies",
                    name=name,
                    identifier=identifier,
                )
            )

    def left_over(self) -> Iterator[str]:
        for identifier in self.key.answers:
            if identifier in self.first:
                continue
            yield worded(
                "{identifier}: expected the question of this answer, it is not there",
                identifier=identifier,
            )


def _misnumbered(name: str, asked: Sequence[Element]) -> Iterator[str]:
    """Parts of a question that do not stand together, each under its letter."""
    found: list[tuple[str, Part | None]] = []
    for question in asked:
        number, _blank, letter = number_of(question).partition(" ")
        try:
            phrases = phrases_of(language_of(question))
            part, _stem = part_of(
                tuple(chain.from_iterable(map(lines_of, of_class(question, "div", "stem")))),
                "", phrases, paper=True,
            )  # fmt: skip
        except Unsupported as reason:
            yield worded(
                "{name}: question {number}: {reason}", name=name, number=number, reason=reason
            )
            continue
        if (f"({part.letter})" if part else "") != letter:
            said = f"part ({part.letter})" if part else "no part"
            yield worded(
                "{name}: question {number}: {said} by its stem",
                name=name,
                number=number_of(question),
                said=said,
            )
        found.append((f"question {number}", part and replace(part, variant=number)))
    yield from apart(f"{name}: ", found)


def _following(number: str) -> tuple[str, ...]:
    """What may come after the number of a question: the next; of a part the next part.

    >>> _following("2"), _following("2 (a)")
    (('3', '3 (a)'), ('2 (b)', '3', '3 (a)'))
    """
    n, _blank, letter = number.partition(" ")
    new = (str(int(n) + 1), f"{int(n) + 1} (a)")
    return (f"{n} ({chr(ord(letter[1]) + 1)})", *new) if letter else new


def _as_set(question: Element) -> bytes:
    """All that a question shows, its number aside."""
    bare = etree.tostring(question, with_tail=False)
    return sha256(re.sub(rb"<h3>.*?<span", b"<h3><span", bare, count=1, flags=re.S)).digest()


def _squeezed(text: str) -> str:
    return "".join(text.split())


# ------------------------------------------------------------ what a sheet says


def _told_too_much(name: str, root: Element, code: str) -> Iterator[str]:
    """What stands on a sheet that graders alone may read, and a code that is not its own."""
    for element in root.iter():
        if element.get("class") in _STAFF_ALONE:
            yield worded(
                "{name}: expected no key on a sheet, got {found}",
                name=name,
                found=element.get("class"),
            )
            break
    if _IDENTIFIER.search(" ".join(root.itertext())):
        yield worded("{name}: expected no identifier on a sheet", name=name)
    if code:
        said = [text_of(lines_of(p)) for p in of_class(root, "p", "copy")]
        if len(said) != 1 or code not in said[0].split():
            yield worded(
                "{name}: expected its code {code}, got '{found}'",
                name=name,
                code=code,
                found=" ".join(said)[:60],
            )


def _says_the_rule(root: Element) -> bool:
    """Whether a sheet says that a question counts as a whole unless it says otherwise."""
    told = of_class(root, "p", "rule")
    if len(told) != 1:
        return False
    try:
        rule = phrases_of(language_of(told[0])).paper.rule
    except Unsupported:
        return False
    return bool(rule.fullmatch(" ".join(text_of(lines_of(told[0])).split()).lower()))


def _misadded(name: str, root: Element, asked: Sequence[Element]) -> Iterator[str]:
    """A table of points that says other points than the questions, or another sum."""
    cells: list[list[str]] = [[], []]
    for table in (t for t in root.iter("table") if t.get("class") == "score"):
        for row, found in zip(table.iter("tr"), cells, strict=False):
            found += [text_of(lines_of(td)) for td in row.iter("td")]
    numbers, points = cells
    if not numbers:
        return
    worth = [worth_of(question) for question in asked]
    expected = [*worth, sum((w for w in worth if w is not None), Fraction())]
    if [points_told(cell) for cell in points] != expected or numbers[:-1] != [
        *map(number_of, asked)
    ]:
        wanted, got = ", ".join(map(as_decimal, expected)), ", ".join(points)
        yield worded(
            "{name}: expected the points {wanted} in the table, got {got}",
            name=name,
            wanted=wanted,
            got=got,
        )


# ------------------------------------------------------------ the pile


def _alike(met: Sequence[_Sheet], key: _Key) -> Iterator[str]:
    """Copies with too many questions of a group, and neighbours that share more than they must."""
    for sheet in met:
        for g, (choose, _of) in enumerate(key.drawn):
            had = len(_of_group(sheet, key, g))
            if had != choose:
                yield worded(
                    "copy {code}: expected {choose} questions of group {group}, got {had}",
                    code=sheet.code,
                    choose=choose,
                    group=g + 1,
                    had=had,
                )
    for one, other in pairwise(met):
        for g, (choose, of) in enumerate(key.drawn):
            shared = len(_of_group(one, key, g) & _of_group(other, key, g))
            if shared > max(0, 2 * choose - of):
                yield (
                    worded(
                        "copies {code} and {other}: expected at most {most} questions of group "
                        "{group} in both, got {shared}",
                        code=one.code,
                        other=other.code,
                        most=max(0, 2 * choose - of),
                        group=g + 1,
                        shared=shared,
                    )
                )


def _of_group(sheet: _Sheet, key: _Key, group: int) -> set[str]:
    return {i for _n, i, _points in sheet.questions if key.groups.get(i) == group}


def _misgraded(container: Container, tables: Sequence[str], met: Sequence[_Sheet]) -> Iterator[str]:
    """A table for graders that does not name each question of each copy, with its points, once."""
    if len(tables) != 1:
        yield worded("expected one table for graders, got {n}", n=len(tables))
        return
    text = b"".join(container.chunks(tables[0])).decode("utf-8-sig", "replace")
    head, *rows = list(csv.reader(StringIO(text, newline="")))
    wanted = [
        ["", sheet.code, number, identifier, "", points, ""]
        for sheet in met
        for number, identifier, points in sheet.questions
    ]
    if head != _COLUMNS or rows != wanted:
        wrong = next((row for row, other in zip(rows, wanted, strict=False) if row != other), head)
        yield worded(
            "{tables}: expected a row for each question of each copy, got {found}",
            tables=tables[0],
            found=", ".join(wrong),
        )
