r"""Questions in LaTeX: sources that compile with pdflatex and lualatex, and no class of their own.

As a bank:

    questions-POOL-TERM.tex      the questions, to be compiled
    key-POOL-TERM.tex            the answers, the worked solutions and the slips, for staff
    preamble.tex                 class, page and fonts: to be replaced by one's own
    paper.tex                    the commands in which questions and keys are written

As a quiz:

    sheets-POOL-TERM.tex         all copies, to be compiled
    sheet-POOL-TERM-CODE.tex     a copy: heading, table of points, questions
    key-POOL-TERM.tex            the answers of each copy, then each question for graders
    grades-POOL-TERM.csv         the table that graders fill

and in both imsmanifest.xml, what is in the package, with its metadata.  No question is parted by
a page; the pages of a copy are counted to its last, at the second run.  `paper.tex` needs amsmath
and array, `preamble.tex` geometry.  For printing on both sides of the paper say `twoside` in the
preamble: then every copy begins on a sheet of its own.

Source: LaTeX2e, `source2e` (labels, page styles, minipage).
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from importlib.resources import files
from itertools import islice

from exporters import html
from exporters.census import Census, place
from exporters.grades import grades
from exporters.package import Package
from exporters.paper import (
    LETTERS,
    Copy,
    Numbering,
    between_parts,
    copies,
    handed_out,
    key_parts,
    labels_of,
    numbered,
    room,
    short_key,
    wrong_answer,
)
from exporters.qti2 import fields, type_of
from exporters.release import (
    Count,
    Group,
    Purpose,
    Release,
    caution,
    course_and_term,
    rights,
    statement,
    together,
)
from exporters.xml import encoded
from itembank.forms.paper import RULE, on_paper
from itembank.languages import Said, Speaker, counted, say
from itembank.notation import latex
from itembank.notation.tree import Blocks
from itembank.values.errors import ExportError, NotationError
from itembank.values.item import (
    Guided,
    IntegerEntry,
    Item,
    ListEntry,
    MatchPairs,
    PutInOrder,
    SelectAll,
    SelectOne,
    SetEntry,
    SlipFeedback,
    Stage,
    TrueFalse,
)
from itembank.values.points import Points
from itembank.values.worded import laid_out

_FORMAT = "latex"

_PAPER = "paper.tex"
_PREAMBLE = "preamble.tex"

_SIZES = {"a4": "a4paper", "letter": "letterpaper"}

_HELD = ("\ue000", "\ue001")
"""Stand for a place in a sentence while it is said, and are never written."""

_PARTED = re.compile("([\ue000\ue001])")


def _command(name: str, *arguments: str) -> str:
    r"""\ibname{...}{...}"""
    return rf"\ib{name}" + "".join(f"{{{argument}}}" for argument in arguments)


def _environment(name: str, *lines: str, arguments: Sequence[str] = ()) -> str:
    given = "".join(f"{{{argument}}}" for argument in arguments)
    return "\n".join((rf"\begin{{ib{name}}}{given}", *lines, rf"\end{{ib{name}}}"))


def _told(said: Said, speaker: Speaker) -> str:
    return latex.inlines(speaker.inlines(said))


def _filled(said: Said, speaker: Speaker, *sources: str) -> str:
    """A sentence whose slots were given the marks of _HELD, with these sources in their places."""
    source = ""
    for part in speaker.inlines(said):
        for piece in _PARTED.split(part) if isinstance(part, str) else (part,):
            if piece in _HELD:
                source += sources[_HELD.index(piece)]
            else:
                source += latex.inlines((piece,))
    return source


# ------------------------------------------------------------ a question


def _question(n: str, item: Item, working: bool = False) -> str:
    """What the student reads and answers; on a sheet with room for the working.

    A number is written under the working, an option marked above it.
    """
    speaker = Speaker(item.language)
    points = item.scoring.points
    millimetres = room(item) if working else 0
    places = tuple(_answer_place(item, speaker))
    return _environment(
        "question",
        _environment("stem", latex.blocks(on_paper(item)).rstrip()),
        *(places if labels_of(item) else ()),
        *([_command("room", f"{millimetres}mm")] if millimetres else []),
        *(() if labels_of(item) else places),
        arguments=(
            _told(say("Question {n}", n=n), speaker),
            _told(counted("({n} point)", "({n} points)", points), speaker),
        ),
    )


def _answer_place(item: Item, speaker: Speaker) -> Iterator[str]:
    """The options with their letters, or a line for each entry."""
    match item.response:
        case IntegerEntry() | ListEntry() | SetEntry():
            for _name, prompt, _width in fields(item.response):
                yield _command("entry", _told(prompt, speaker))
        case SelectAll():
            yield _lettered(item, "any")
        case SelectOne() | TrueFalse():
            yield _lettered(item, "one")
        case PutInOrder():
            yield _lettered(item, "order")
            yield _command("order", _told(say("The letters in the right order:"), speaker))
        case MatchPairs(sources=sources):
            goes = say("{choice} goes with (a letter): {line}", choice=_HELD[0], line=_HELD[1])
            for source in sources:
                choice = _command("choice", latex.inlines(source.label))
                yield _command("source", _filled(goes, speaker, choice, _command("blank")))
            yield _lettered(item, "pairs")
        case Guided(stages=stages):
            for stage in stages:
                yield _stage_place(stage)


def _lettered(item: Item, choose: str) -> str:
    """The options with their letters; `choose` says what is done with them."""
    return _environment(
        "options",
        *(
            _command("option", letter, latex.inlines(label))
            for letter, label in zip(LETTERS, labels_of(item).values(), strict=False)
        ),
        arguments=(choose,),
    )


def _stage_place(stage: Stage) -> str:
    """A stage: its prompt, and a line to write on or the words of which one is to be marked."""
    prompt = latex.inlines(stage.prompt)
    if isinstance(stage.response, ListEntry):
        return _command("stage", prompt)
    words = (_command("word", latex.inlines(o.label)) for o in stage.response.options)
    return _command("stagewords", prompt, "".join(words))


# ------------------------------------------------------------ an answer


def _answer(n: str, item: Item, heading: Said) -> str:
    """What staff reads: the answer, what it is worth, the working, the slips."""
    speaker = Speaker(item.language)
    points = item.scoring.points
    return _environment(
        "answer",
        _command("statement", latex.text(statement(item))),
        _command("key", _told(say("Answer:"), speaker), _right(item)),
        _command("points", _told(counted("{n} point", "{n} points", points), speaker)),
        _environment("working", latex.blocks(item.solution).rstrip()),
        *(_slip(item, found, speaker) for found in item.feedback),
        *_said_after(say("After any other wrong answer:"), item.otherwise, speaker),
        *_said_after(say("After the right answer:"), item.right, speaker),
        arguments=(_told(heading, speaker), item.identifier),
    )


def _right(item: Item) -> str:
    """The key, each part of it a command: options with their letters, or what is to be written."""
    parts = (
        _command(
            "part",
            "" if part.of is None else latex.inlines(part.of),
            latex.text(part.mark),
            latex.inlines(part.says),
        )
        for part in key_parts(item)
    )
    return latex.text(between_parts(item)).join(parts)


def _slip(item: Item, found: SlipFeedback, speaker: Speaker) -> str:
    """What is written beside such an answer, and which slips lead to it."""
    said = say(
        "If the answer was {answer} ({slips}):",
        answer=wrong_answer(item, found, speaker),
        slips=", ".join(found.slips),
    )
    return _environment("slip", _command("when", _told(said, speaker)), _body(found.text))


def _said_after(said: Said, blocks: Blocks, speaker: Speaker) -> Iterator[str]:
    if blocks:
        yield _environment("slip", _command("when", _told(said, speaker)), _body(blocks))


def _body(blocks: Blocks) -> str:
    return latex.blocks(blocks).rstrip()


# ------------------------------------------------------------ the documents


def _document(release: Release, *content: str) -> str:
    """A document that can be compiled; its pages say which of how many they are."""
    counting = _filled(
        say("page {n} of {last}", n=_HELD[0], last=_HELD[1]), Speaker(release.language), "#1", "#2"
    )
    return "\n".join(
        (
            rf"\PassOptionsToPackage{{{_SIZES[release.paper]}}}{{geometry}}",
            r"\input{preamble}",
            r"\input{paper}",
            rf"\renewcommand*\ibpage[2]{{{counting}}}",
            r"\begin{document}",
            _command("language", release.language),
            *content,
            r"\end{document}",
            "",
        )
    )


def _heading(release: Release, title: str) -> list[str]:
    line = course_and_term(release.course, release.term, release.language)
    return [_command("title", latex.text(title)), _command("line", latex.text(line))]


def _told_once(release: Release) -> list[str]:
    """What holds for all questions: the rule by which they count, and what the course says."""
    rule = _command("rule", _told(RULE, Speaker(release.language)))
    if not release.instructions:
        return [rule]
    return [rule, _command("instructions", latex.text(release.instructions))]


def _sheet(release: Release, copy: Copy) -> str:
    """A copy: heading, table of points, what holds for all questions, and these."""
    speaker = Speaker(release.language)
    code = _command("code", copy.code)
    which = _filled(say("Copy {code}", code=_HELD[0]), speaker, code)
    if release.form:
        which = _told(say("Form {name}", name=release.form), speaker) + ". " + which
    points = [(n, drawn.item.scoring.points) for n, drawn in copy.numbered]
    copied = _environment(
        "sheet",
        *_heading(release, release.title),
        _command("copy", which),
        _command("name", _told(say("Name:"), speaker)),
        *_score_tables(points, speaker),
        *_told_once(release),
        *(_question(n, drawn.item, working=True) for n, drawn in copy.numbered),
        arguments=(copy.code,),
    )
    return _command("language", release.language) + "\n" + copied


def _score_tables(points: Sequence[tuple[str, Points]], speaker: Speaker) -> Iterator[str]:
    """Question, points, and a cell to write in what was scored; the sum at the end."""
    columns = [(n, latex.text(speaker.halves(worth))) for n, worth in points]
    total = speaker.halves(sum(worth for _n, worth in points))
    columns.append((_told(say("Sum"), speaker), latex.text(total)))
    heads = [_told(said, speaker) for said in (say("Question"), say("Points"), say("Scored"))]
    for some in html.in_tables(columns):
        numbers, worth = zip(*some, strict=True)
        rows = (numbers, worth, ("~",) * len(numbers))
        yield _environment(
            "score",
            *(
                " & ".join((head, *row)) + r" \\ \hline"
                for head, row in zip(heads, rows, strict=True)
            ),
            arguments=("|l|" + "c|" * len(numbers),),
        )


def _group_heading(group: Group, items: int, speaker: Speaker) -> Iterator[str]:
    """For staff: how many of the group's questions a student gets, and what they count."""
    yield _command("group", latex.text(group.title))
    said = counted(
        "A student gets {choose} of {n} question.",
        "A student gets {choose} of {n} questions.",
        items,
        choose=group.choose,
    )
    yield _command("draw", _told(said, speaker))


def _copies_table(
    dealt: Sequence[Copy], numbers: Mapping[str, int], speaker: Speaker
) -> Iterator[str]:
    """For graders: of each copy the answers as its sheet has them, each with its place below."""
    yield _command("group", _told(say("The copies"), speaker))
    yield _command("line", _told(html.HOW_TO_FIND, speaker))
    for copy in dealt:
        cells = (
            _command(
                "cell",
                n,
                latex.inlines(short_key(drawn.item)),
                str(numbers[drawn.item.identifier]),
            )
            for n, drawn in copy.numbered
        )
        yield _command("row", copy.code, " ".join(cells))


def _for_staff(release: Release, speaker: Speaker) -> list[str]:
    title = _told(say("{title}: answers and working", title=release.title), speaker)
    line = course_and_term(release.course, release.term, release.language)
    return [
        _command("title", title),
        _command("line", latex.text(line)),
        _command("line", rf"\textbf{{{latex.text(caution(release.language))}}}"),
        _command("line", latex.text(rights(release))),
    ]


# ------------------------------------------------------------ the package


def write(release: Release, package: Package, _math: str, purpose: Purpose) -> tuple[Count, ...]:
    """Write all members; ExportError for an item with characters that the fonts do not have."""
    where = f"{_FORMAT}: {release.pool_id}"
    try:
        written = _write_quiz if purpose == "quiz" else _write_bank
        return written(release, package, where)
    except NotationError as error:
        raise ExportError(laid_out("{where}: {error}", where=where, error=error)) from None


def _write_bank(release: Release, package: Package, where: str) -> tuple[Count, ...]:
    """All questions, then all answers, holding one item at a time."""
    speaker = Speaker(release.language)
    questions, answers = f"questions-{release.name}.tex", f"key-{release.name}.tex"
    census, numbers = Census(_FORMAT, type_of), Numbering()

    def asked(item: Item) -> bytes:
        return _source_of(item, _question(numbers.next(item), item))

    opening = (*_heading(release, release.title), *_told_once(release))
    with package.member(questions) as out:
        before, after = _parted(_document(release, *opening, _GAP))
        out.write(encoded(before, where))
        for groups in together(release.groups):
            for row in census.of_all(groups, lambda _group: asked):
                for _group, _passed, data in row:
                    out.write(data)
        out.write(encoded(after, where))
    again, numbers_again = Census(_FORMAT, type_of), Numbering()

    def answered(item: Item) -> bytes:
        n = numbers_again.next(item)
        return _source_of(item, _answer(n, item, say("Question {n}", n=n)))

    with package.member(answers) as out:
        before, after = _parted(_document(release, *_for_staff(release, speaker), _GAP))
        out.write(encoded(before, where))
        counts = iter(census.counts)
        for groups in together(release.groups):
            for found in islice(counts, len(groups.groups)):
                for line in _group_heading(found.group, found.items, speaker):
                    out.write(encoded(line + "\n", where))
            for row in again.of_all(groups, lambda _group: answered):
                for _group, _passed, data in row:
                    out.write(data)
        out.write(encoded(after, where))
    outcomes = dict.fromkeys(o for g in release.groups for item in g.items for o in item.outcomes)
    _add_the_rest(release, package, outcomes, [questions, answers])
    return tuple(census.counts)


def _write_quiz(release: Release, package: Package, where: str) -> tuple[Count, ...]:
    """A source for each copy, a document of all of them, the key, and the table for graders."""
    speaker = Speaker(release.language)
    dealt = list(copies(release))
    numbers = numbered(dealt)
    names = [f"sheet-{release.name}-{copy.code}" for copy in dealt]
    for copy, name in zip(dealt, names, strict=True):
        package.add(f"{name}.tex", encoded(_sheet(release, copy) + "\n", where))
    sheets, key = f"sheets-{release.name}.tex", f"key-{release.name}.tex"
    inputs = (rf"\input{{{name}}}" for name in names)
    package.add(sheets, encoded(_document(release, *inputs), where))
    census = Census(_FORMAT, type_of)

    def answered(item: Item) -> bytes:
        n = str(numbers[item.identifier])
        return _source_of(item, _answer(n, item, say("Answer {n}", n=n)))

    with package.member(key) as out:
        opening = (*_for_staff(release, speaker), *_copies_table(dealt, numbers, speaker))
        before, after = _parted(_document(release, *opening, _GAP))
        out.write(encoded(before, where))
        for group, whole in zip(handed_out(release, dealt), release.groups, strict=True):
            for line in _group_heading(group, len(tuple(whole.items)), speaker):
                out.write(encoded(line + "\n", where))
            for _passed, data in census.written(group, answered):
                out.write(data)
        out.write(encoded(after, where))
    table = f"grades-{release.name}.csv"
    package.add(table, grades(dealt))
    outcomes = dict.fromkeys(o for c in dealt for drawn in c.questions for o in drawn.item.outcomes)
    _add_the_rest(
        release, package, outcomes, [sheets, *(f"{name}.tex" for name in names), key, table]
    )
    return tuple(census.counts)


_GAP = "\ue002"


def _parted(text: str) -> tuple[str, str]:
    """What stands before and after the gap."""
    before, after = text.split(_GAP)
    return before, after.removeprefix("\n")


def _source_of(item: Item, source: str) -> bytes:
    """The bytes of an item's source; an item that cannot be set is refused by its name."""
    return encoded(source + "\n", place(_FORMAT, item))


def _add_the_rest(
    release: Release, package: Package, outcomes: Iterable[str], names: Sequence[str]
) -> None:
    """The preamble, the commands, and the manifest of all files."""
    for name in (_PREAMBLE, _PAPER):
        package.add(name, (files("exporters") / "tex" / name).read_bytes())
    html.add_manifest(release, package, outcomes, [*names, _PREAMBLE, _PAPER])
