"""Printed questions: for those with no learning platform, or with paper.

As a bank, all questions in a list:

    questions-POOL-TERM.html     the questions, to hand out
    key-POOL-TERM.html           the answers, the worked solutions and the slips, for staff

As a quiz, a sheet for each copy:

    sheet-POOL-TERM-CODE.html    what a student gets: heading, table of points, questions
    key-POOL-TERM.html           the answers of each copy, then each question for graders
    grades-POOL-TERM.csv         the table that graders fill

and in both imsmanifest.xml, what is in the package, with its metadata.

A question of a bank has one number on both pages; one of a quiz has a number on its sheet, and
the row of the copy says which answer of the key is its own.  Identifiers stand in the key alone.
Pages need nothing else; they print in black on white, and nothing is told by colour or place
alone: options have letters, and an answer is told by letter and by what it says.

Source: HTML Living Standard; CSS Paged Media 3, 5 (margin boxes, counters of pages); IMS Content
Packaging 1.1.4: imscp_v1p1.xsd.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import islice
from string import Formatter

from exporters.census import Census, naming, place
from exporters.grades import grades
from exporters.lom import release_lom
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
    TOOL,
    TOOL_VERSION,
    Count,
    Group,
    Purpose,
    Release,
    caution,
    course_and_term,
    description,
    rights,
    statement,
    together,
)
from exporters.setting import Setting, setting_of
from exporters.xml import DECLARATION, LOM, XSI, around, fragment, serialised
from itembank.forms.paper import RULE, on_paper
from itembank.languages import Said, Speaker, counted, say
from itembank.languages.catalogue import translated
from itembank.notation.elements import HTML, Child, Element, Maker
from itembank.notation.tree import Inlines
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

_FORMAT = "html"

_XSD = "http://www.imsglobal.org/xsd"
_CP = f"{_XSD}/imscp_v1p1"

_STYLE = """
@page { size: %s; margin: 18mm; }
body { font: 11pt/1.45 Georgia, "Times New Roman", serif; color: #000; background: #fff;
  max-width: 170mm; margin: 0 auto; }
h1 { font-size: 16pt; } h2 { font-size: 12pt; margin: 8mm 0 2mm; } h3 { font-size: 11pt; }
section { margin: 0 0 7mm; } section.question { break-inside: avoid; }
.display { margin: 2mm 0 2mm 8mm; }
.options { list-style: none; padding-left: 6mm; }
.line { display: inline-block; min-width: 45mm; border-bottom: 0.3mm solid #000; }
.identifier { font: 8pt monospace; font-weight: normal; }
.worth { font-weight: normal; } .slip p:first-child { font-style: italic; }
table { border-collapse: collapse; } th, td { padding: 0.6mm 3mm 0.6mm 0; text-align: left; }
thead th { border-bottom: 0.3mm solid #000; } tr { break-inside: avoid; }
table.score { margin: 2mm 0; } .score th, .score td { border: 0.3mm solid #000; padding: 1mm;
  min-width: 8mm; text-align: center; }
@media screen { body { padding: 10mm; } }
"""

_SHEET_STYLE = """
@page { @bottom-center { content: counter(page) " / " counter(pages); } }
"""
"""Of a sheet of its own, whose pages are counted."""

_ROOM_STYLE = "".join(f".room-{n} {{ height: {n}mm; }}\n" for n in range(10, 101, 10))

_SIZES = {"a4": "A4", "letter": "letter"}

_h = Maker(HTML)
_cp = Maker(_CP)


# ------------------------------------------------------------ a question


def _question(n: str, item: Item, setting: Setting, working: bool = False) -> Element:
    """What the student reads and answers; on a sheet with room for the working.

    A number is written under the working, an option marked above it.
    """
    points = item.scoring.points
    worth = setting.text(counted("({n} point)", "({n} points)", points))
    millimetres = room(item) if working else 0
    places = _answer_place(item, setting)
    return _h(
        "section",
        {"class": "question"},
        _h(
            "h3", setting.text(say("Question {n}", n=n)), " ", _h("span", {"class": "worth"}, worth)
        ),
        _h("div", {"class": "stem"}, *setting.blocks(on_paper(item))),
        *(places if labels_of(item) else []),
        *([_h("div", {"class": f"room-{millimetres}"})] if millimetres else []),
        *([] if labels_of(item) else places),
    )


def _answer_place(item: Item, setting: Setting) -> list[Element]:
    """The options with their letters, or a line for each entry."""
    match item.response:
        case IntegerEntry() | ListEntry() | SetEntry():
            return [
                _h("p", {"class": "entry"}, f"{setting.text(prompt)} ", _blank_line())
                for _name, prompt, _width in fields(item.response)
            ]
        case SelectAll():
            return [_lettered(item, "any", setting)]
        case SelectOne() | TrueFalse():
            return [_lettered(item, "one", setting)]
        case PutInOrder():
            order = setting.text(say("The letters in the right order:"))
            return [_lettered(item, "order", setting), _h("p", f"{order} ", _blank_line())]
        case MatchPairs(sources=sources):
            return [
                *(
                    _h(
                        "p",
                        {"class": "source"},
                        *_sentence(
                            say("{choice} goes with (a letter): {line}"),
                            setting.language,
                            choice=_h("span", *setting.inlines(source.label)),
                            line=_blank_line(),
                        ),
                    )
                    for source in sources
                ),
                _lettered(item, "pairs", setting),
            ]
        case Guided(stages=stages):
            return [_stage_place(stage, setting) for stage in stages]


def _blank_line() -> Element:
    """A line to write on."""
    return _h("span", {"class": "line"}, "\N{NO-BREAK SPACE}")


def _sentence(said: Said, language: str, **elements: Element) -> list[Child]:
    """A sentence with elements in its places, in the order that the language puts them."""
    found: list[Child] = []
    for words, name, _spec, _conversion in Formatter().parse(translated(language, said.template)):
        found += [words] if words else []
        found += [elements[name]] if name else []
    return found


def _lettered(item: Item, choose: str, setting: Setting) -> Element:
    """The options with their letters; `choose` says what is done with them."""
    return _h(
        "ol",
        {"class": "options", "data-choose": choose},
        *(
            _h("li", f"{letter}. ", _h("span", *setting.inlines(label)))
            for letter, label in zip(LETTERS, labels_of(item).values(), strict=False)
        ),
    )


def _stage_place(stage: Stage, setting: Setting) -> Element:
    """A stage: its prompt, and a line to write on or the words of which one is to be marked."""
    prompt = _h("span", {"class": "prompt"}, *setting.inlines(stage.prompt))
    if isinstance(stage.response, ListEntry):
        return _h("p", {"class": "stage"}, prompt, " ", _blank_line())
    words: list[Child] = []
    for option in stage.response.options:
        words += [" ☐ ", _h("span", {"class": "word"}, *setting.inlines(option.label))]
    return _h("p", {"class": "stage"}, prompt, *words)


# ------------------------------------------------------------ an answer


def _answer(n: str, item: Item, heading: Said, setting: Setting) -> Element:
    """What staff reads: the answer, what it is worth, the working, the slips."""
    points, told = item.scoring.points, _h("strong", setting.text(say("Answer:")))
    return _h(
        "section",
        {"class": "answer", "data-question": item.identifier},
        _h("h3", setting.text(heading), " ", _h("span", {"class": "identifier"}, item.identifier)),
        _h("p", _h("span", {"class": "statement"}, statement(item))),
        _h("p", told, " ", _h("span", {"class": "key"}, *_right(item, setting))),
        _h("p", {"class": "points"}, setting.text(counted("{n} point", "{n} points", points))),
        _h("div", {"class": "working"}, *setting.blocks(item.solution)),
        *(_slip(item, found, setting) for found in item.feedback),
        *([_otherwise(item, setting)] if item.otherwise else []),
        *([_right_answer(item, setting)] if item.right else []),
    )


def _right(item: Item, setting: Setting) -> list[Child]:
    """The key, each part of it an element: options with their letters, or what is to be written."""

    def told(inlines: Inlines) -> Element:
        return _h("span", *setting.inlines(inlines))

    parts = [
        _h(
            "span",
            {"class": "part"},
            *([told(part.of)] if part.of is not None else []),
            *([part.mark] if part.mark else []),
            told(part.says),
        )
        for part in key_parts(item)
    ]
    return [piece for part in parts for piece in (between_parts(item), part)][1:]


def _slip(item: Item, found: SlipFeedback, setting: Setting) -> Element:
    """What is written beside such an answer, and which slips lead to it."""
    told = say(
        "If the answer was {answer} ({slips}):",
        answer=wrong_answer(item, found, setting.speaker),
        slips=", ".join(found.slips),
    )
    return _h(
        "div",
        {"class": "slip"},
        _h("p", *setting.inlines(setting.speaker.inlines(told))),
        *setting.blocks(found.text),
    )


def _otherwise(item: Item, setting: Setting) -> Element:
    """What is said to every other wrong answer."""
    told = _h("p", setting.text(say("After any other wrong answer:")))
    return _h("div", {"class": "slip"}, told, *setting.blocks(item.otherwise))


def _right_answer(item: Item, setting: Setting) -> Element:
    """What is said to a right answer."""
    told = _h("p", setting.text(say("After the right answer:")))
    return _h("div", {"class": "slip"}, told, *setting.blocks(item.right))


# ------------------------------------------------------------ the pages


def _page(
    release: Release, title: str, opening: Iterable[Element], style: str = ""
) -> list[Element]:
    """The elements around what a page holds."""
    head = _h(
        "head",
        _h("meta", {"charset": "utf-8"}),
        _h("meta", {"name": "viewport", "content": "width=device-width, initial-scale=1"}),
        _h("meta", {"name": "generator", "content": f"{TOOL} {TOOL_VERSION}"}),
        _h("meta", {"name": "description", "content": description(release)}),
        _h("title", title),
        _h("style", _STYLE % _SIZES[release.paper] + style),
    )
    return [
        _h("html", {"lang": release.language}, head),
        _h(
            "body",
            _h("h1", title),
            _h("p", course_and_term(release.course, release.term, release.language)),
            *opening,
        ),
    ]


def _told_once(release: Release, speaker: Speaker) -> list[Element]:
    """What holds for all questions: the rule by which they count, and what the course says."""
    return [
        _h("p", {"class": "rule"}, speaker.text(RULE)),
        *(
            [_h("p", {"class": "instructions"}, release.instructions)]
            if release.instructions
            else []
        ),
    ]


def _sheet_heading(release: Release, copy: Copy, speaker: Speaker) -> list[Element]:
    """Which form and copy it is, where the name stands, what each question is worth."""
    points = [(n, drawn.item.scoring.points) for n, drawn in copy.numbered]
    return [
        _h("p", {"class": "copy"}, *_which_copy(release, copy, speaker)),
        _h("p", speaker.text(say("Name:")), " ", _blank_line()),
        *_score_tables(points, speaker),
        *_told_once(release, speaker),
    ]


def _which_copy(release: Release, copy: Copy, speaker: Speaker) -> list[Child]:
    told = _sentence(say("Copy {code}"), release.language, code=_h("strong", copy.code))
    if release.form:
        form = speaker.text(say("Form {name}", name=release.form))
        return [f"{form}. ", *told]
    return told


_COLUMNS = 15
"""The most questions side by side in a table of points."""

_COLUMNS_OF_PARTS = 9
"""As many where some are parts of a question, 12 (a)."""


def in_tables(columns: Sequence[tuple[str, str]]) -> Iterator[Sequence[tuple[str, str]]]:
    """The columns of each table of points, as many as have room beside each other."""
    n = _COLUMNS_OF_PARTS if any("(" in number for number, _points in columns) else _COLUMNS
    for at in range(0, len(columns), n):
        yield columns[at : at + n]


def _score_tables(points: Sequence[tuple[str, Points]], speaker: Speaker) -> Iterator[Element]:
    """Question, points, and a cell to write in what was scored; the sum at the end."""
    columns = [(n, speaker.halves(worth)) for n, worth in points]
    columns.append((speaker.text(say("Sum")), speaker.halves(sum(worth for _n, worth in points))))
    heads = (say("Question"), say("Points"), say("Scored"))
    for some in in_tables(columns):
        rows = [*zip(*some, strict=True)]
        rows.append(("\N{NO-BREAK SPACE}",) * len(rows[0]))
        yield _h(
            "table",
            {"class": "score"},
            *(
                _h(
                    "tr",
                    _h("th", {"scope": "row"}, speaker.text(told)),
                    *(_h("td", cell) for cell in row),
                )
                for told, row in zip(heads, rows, strict=True)
            ),
        )


def _group_heading(group: Group, items: int, speaker: Speaker) -> Iterator[Element]:
    """For staff: how many of the group's questions a student gets, and what they count."""
    yield _h("h2", group.title)
    told = counted(
        "A student gets {choose} of {n} question.",
        "A student gets {choose} of {n} questions.",
        items,
        choose=group.choose,
    )
    yield _h("p", speaker.text(told))


def _copies_table(
    dealt: Sequence[Copy], numbers: Mapping[str, int], math: str, speaker: Speaker
) -> Iterator[Element]:
    """For graders: of each copy the answers as its sheet has them, each with its place below."""
    yield _h("h2", speaker.text(say("The copies")))
    yield _h("p", speaker.text(HOW_TO_FIND))
    yield _h("table", {"class": "copies"}, *(_copy_row(copy, numbers, math) for copy in dealt))


HOW_TO_FIND = say(
    "Of each copy: question, answer, and in square brackets the number of the answer below, which "
    "has the worked solution and what to write beside wrong answers."
)


def _copy_row(copy: Copy, numbers: Mapping[str, int], math: str) -> Element:
    cells: list[Child] = []
    for n, drawn in copy.numbered:
        item = drawn.item
        setting = setting_of(math, HTML, item.language)
        cells += [
            _h(
                "span",
                {"class": "cell"},
                f"{n}: ",
                _h("strong", *setting.inlines(short_key(item))),
                f" [{numbers[item.identifier]}]",
            ),
            " ",
        ]
    return _h("tr", _h("th", {"scope": "row"}, copy.code), _h("td", *cells))


# ------------------------------------------------------------ the package


def write(release: Release, package: Package, math: str, purpose: Purpose) -> tuple[Count, ...]:
    """Write all members: of a bank holding one item at a time, the questions before the answers."""
    if purpose == "quiz":
        return _write_quiz(release, package, math)
    speaker = Speaker(release.language)
    where = f"{_FORMAT}: {release.pool_id}"
    questions, answers = f"questions-{release.name}.html", f"key-{release.name}.html"

    def paged(name: str, around_them: list[Element], counts: tuple[Count, ...]) -> Census:
        census, numbering = Census(_FORMAT, type_of), Numbering()

        def numbered_item(item: Item) -> bytes:
            setting, n = setting_of(math, HTML, item.language), numbering.next(item)
            with naming(_FORMAT, item):
                element = (
                    _answer(n, item, say("Question {n}", n=n), setting)
                    if counts
                    else _question(n, item, setting)
                )
            return fragment(_in_language(element, item, release), place(_FORMAT, item))

        before, after = around(around_them, where)
        with package.member(name) as out:
            out.write(b"<!DOCTYPE html>\n" + before.removeprefix(DECLARATION.encode()))
            at = iter(counts)
            for groups in together(release.groups):
                for found in islice(at, len(groups.groups)):
                    for element in _group_heading(found.group, found.items, speaker):
                        out.write(fragment(element, where))
                for row in census.of_all(groups, lambda _group: numbered_item):
                    for _group, _passed, data in row:
                        out.write(data)
            out.write(after)
        return census

    asked = paged(questions, _page(release, release.title, _told_once(release, speaker)), ())
    told = speaker.text(say("{title}: answers and working", title=release.title))
    paged(answers, _page(release, told, _for_staff(release)), tuple(asked.counts))
    outcomes = dict.fromkeys(o for g in release.groups for item in g.items for o in item.outcomes)
    add_manifest(release, package, outcomes, [questions, answers])
    return tuple(asked.counts)


def _write_quiz(release: Release, package: Package, math: str) -> tuple[Count, ...]:
    """A sheet for each copy, the key of all of them, and the table that graders fill."""
    speaker = Speaker(release.language)
    where = f"{_FORMAT}: {release.pool_id}"
    dealt = list(copies(release))
    numbers = numbered(dealt)
    names = []
    for copy in dealt:
        name = f"sheet-{release.name}-{copy.code}.html"
        opening = _sheet_heading(release, copy, speaker)
        before, after = around(
            _page(release, release.title, opening, _SHEET_STYLE + _ROOM_STYLE), where
        )
        with package.member(name) as out:
            out.write(b"<!DOCTYPE html>\n" + before.removeprefix(DECLARATION.encode()))
            for n, drawn in copy.numbered:
                item = drawn.item
                with naming(_FORMAT, item):
                    element = _question(n, item, setting_of(math, HTML, item.language), True)
                out.write(fragment(_in_language(element, item, release), place(_FORMAT, item)))
            out.write(after)
        names.append(name)
    census = Census(_FORMAT, type_of)
    key_name = f"key-{release.name}.html"
    told = speaker.text(say("{title}: answers and working", title=release.title))
    opening = [*_for_staff(release), *_copies_table(dealt, numbers, math, speaker)]
    before, after = around(_page(release, told, opening), where)

    def answered(item: Item) -> bytes:
        n = str(numbers[item.identifier])
        setting = setting_of(math, HTML, item.language)
        with naming(_FORMAT, item):
            element = _answer(n, item, say("Answer {n}", n=n), setting)
        return fragment(_in_language(element, item, release), place(_FORMAT, item))

    with package.member(key_name) as out:
        out.write(b"<!DOCTYPE html>\n" + before.removeprefix(DECLARATION.encode()))
        for group, all_of_it in zip(handed_out(release, dealt), release.groups, strict=True):
            for element in _group_heading(group, len(tuple(all_of_it.items)), speaker):
                out.write(fragment(element, where))
            for _passed, data in census.written(group, answered):
                out.write(data)
        out.write(after)
    table = f"grades-{release.name}.csv"
    package.add(table, grades(dealt))
    outcomes = dict.fromkeys(o for c in dealt for drawn in c.questions for o in drawn.item.outcomes)
    add_manifest(release, package, outcomes, [*names, key_name, table])
    return tuple(census.counts)


def _in_language(element: Element, item: Item, release: Release) -> Element:
    """The element with the language of its item, where that is not the page's."""
    return (
        element
        if item.language == release.language
        else _h("div", {"lang": item.language}, element)
    )


def _for_staff(release: Release) -> list[Element]:
    return [_h("p", _h("strong", caution(release.language))), _h("p", rights(release))]


def add_manifest(
    release: Release, package: Package, outcomes: Iterable[str], names: Sequence[str]
) -> None:
    where = f"{_FORMAT}: {release.pool_id}"
    package.add("imsmanifest.xml", serialised(_manifest(release, outcomes, names), where))


def _manifest(release: Release, outcomes: Iterable[str], names: Iterable[str]) -> Element:
    return _cp(
        "manifest",
        {
            "xmlns:xsi": XSI,
            "xsi:schemaLocation": (
                f"{_CP} {_XSD}/imscp_v1p1.xsd {LOM} {_XSD}/imsmd_loose_v1p3p2.xsd"
            ),
            "identifier": f"manifest-{release.name}",
        },
        _cp(
            "metadata",
            _cp("schema", "IMS Content"),
            _cp("schemaversion", "1.1.4"),
            release_lom(release, outcomes),
        ),
        _cp("organizations"),
        _cp(
            "resources",
            *(
                _cp(
                    "resource",
                    {
                        "identifier": name.rpartition(".")[0],
                        "type": "webcontent",
                        "href": name,
                    },
                    _cp("file", {"href": name}),
                )
                for name in names
            ),
        ),
    )
