"""Printed questions: for those with no learning platform, or with paper.

    questions-POOL-TERM.html   the questions, to hand out
    key-POOL-TERM.html         the answers, the worked solutions and the slips, for staff
    imsmanifest.xml            what is in the package, with its metadata

A question has the same number and the same identifier in both.  Both pages need nothing else;
they print in black on white, and nothing is told by colour or place alone: options have letters,
and an answer is told by letter and by what it says.

Source: HTML Living Standard; IMS Content Packaging 1.1.4: imscp_v1p1.xsd.
"""

from collections.abc import Iterable, Iterator
from itertools import count
from string import Formatter

from exporters.census import Census, naming, place
from exporters.keys import key
from exporters.lom import release_lom
from exporters.package import Package
from exporters.qti1 import joined, shown
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
)
from exporters.setting import Setting, setting_of
from exporters.xml import DECLARATION, LOM, XSI, around, fragment, serialised
from itembank.forms.guided import right_text
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

FORMAT = "html"

XSD = "http://www.imsglobal.org/xsd"
CP = f"{XSD}/imscp_v1p1"

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

STYLE = """
@page { size: A4; margin: 18mm; }
body { font: 11pt/1.45 Georgia, "Times New Roman", serif; color: #000; background: #fff;
  max-width: 170mm; margin: 0 auto; }
h1 { font-size: 16pt; } h2 { font-size: 12pt; margin: 8mm 0 2mm; } h3 { font-size: 11pt; }
section { margin: 0 0 7mm; } section.question { break-inside: avoid; }
.display { margin: 2mm 0 2mm 8mm; }
.options { list-style: none; padding-left: 6mm; }
.line { display: inline-block; min-width: 45mm; border-bottom: 0.3mm solid #000; }
.identifier { font: 8pt monospace; font-weight: normal; }
table { border-collapse: collapse; } th, td { padding: 0.6mm 3mm 0.6mm 0; text-align: left; }
thead th { border-bottom: 0.3mm solid #000; }
@media screen { body { padding: 10mm; } }
"""

h = Maker(HTML)
cp = Maker(CP)


# ------------------------------------------------------------ a question, an answer


def heading(n: int, item: Item, setting: Setting) -> Element:
    return h(
        "h3",
        setting.text(say("Question {n}", n=n)),
        " ",
        h("span", {"class": "identifier"}, item.identifier),
    )


def question(n: int, item: Item, setting: Setting) -> Element:
    """What the student reads and answers."""
    return h(
        "section",
        {"class": "question", "id": item.identifier},
        heading(n, item, setting),
        h("div", {"class": "stem"}, *setting.blocks(item.stem)),
        *answer_place(item, setting),
    )


def answer_place(item: Item, setting: Setting) -> list[Element]:
    """The options with their letters, or a line for each entry."""
    match item.response:
        case IntegerEntry() | ListEntry() | SetEntry():
            return [
                h("p", {"class": "entry"}, f"{setting.text(prompt)} ", blank_line())
                for _name, prompt, _width in fields(item.response)
            ]
        case SelectAll():
            return [lettered(item, "any", setting)]
        case SelectOne() | TrueFalse():
            return [lettered(item, "one", setting)]
        case PutInOrder():
            order = setting.text(say("The letters in the right order:"))
            return [lettered(item, "order", setting), h("p", f"{order} ", blank_line())]
        case MatchPairs(sources=sources):
            return [
                *(
                    h(
                        "p",
                        {"class": "source"},
                        *sentence(
                            say("{choice} goes with (a letter): {line}"),
                            setting.language,
                            choice=h("span", *setting.inlines(source.label)),
                            line=blank_line(),
                        ),
                    )
                    for source in sources
                ),
                lettered(item, "pairs", setting),
            ]
        case Guided(stages=stages):
            return [stage_place(stage, setting) for stage in stages]


def blank_line() -> Element:
    """A line to write on."""
    return h("span", {"class": "line"}, "\N{NO-BREAK SPACE}")


def sentence(said: Said, language: str, **elements: Element) -> list[Child]:
    """A sentence with elements in its places, in the order that the language puts them."""
    found: list[Child] = []
    for words, name, _spec, _conversion in Formatter().parse(translated(language, said.template)):
        found += [words] if words else []
        found += [elements[name]] if name else []
    return found


def lettered(item: Item, choose: str, setting: Setting) -> Element:
    """The options with their letters; `choose` says what is done with them."""
    return h(
        "ol",
        {"class": "options", "data-choose": choose},
        *(
            h("li", f"{letter}. ", h("span", *setting.inlines(label)))
            for letter, label in zip(LETTERS, labels_of(item).values(), strict=False)
        ),
    )


def stage_place(stage: Stage, setting: Setting) -> Element:
    """A stage: its prompt, and a line to write on or the words of which one is to be marked."""
    prompt = h("span", {"class": "prompt"}, *setting.inlines(stage.prompt))
    if isinstance(stage.response, ListEntry):
        return h("p", {"class": "stage"}, prompt, " ", blank_line())
    words: list[Child] = []
    for option in stage.response.options:
        words += [" ☐ ", h("span", {"class": "word"}, *setting.inlines(option.label))]
    return h("p", {"class": "stage"}, prompt, *words)


def labels_of(item: Item) -> dict[str, Inlines]:
    """The options by identifier, in their order; none of an item with entries."""
    match item.response:
        case SelectAll(options=options) | SelectOne(options=options):
            return {o.identifier: o.label for o in options}
        case TrueFalse(yes=yes, no=no):
            return {"true": yes, "false": no}
        case PutInOrder(lines=lines):
            return {line.identifier: line.label for line in lines}
        case MatchPairs(targets=targets):
            return {target.identifier: target.label for target in targets}
        case _:
            return {}


def answer(n: int, item: Item, setting: Setting) -> Element:
    """What staff reads: the answer, what it is worth, the working, the slips."""
    points, told = item.scoring.points, h("strong", setting.text(say("Answer:")))
    return h(
        "section",
        {"class": "answer", "data-question": item.identifier},
        heading(n, item, setting),
        h("p", h("span", {"class": "statement"}, statement(item))),
        h("p", told, " ", h("span", {"class": "key"}, *right(item, setting))),
        h("p", {"class": "points"}, setting.text(counted("{n} point", "{n} points", points))),
        h("div", {"class": "working"}, *setting.blocks(item.solution)),
        *(slip(item, found, setting) for found in item.feedback),
        *([otherwise(item, setting)] if item.otherwise else []),
        *([right_answer(item, setting)] if item.right else []),
    )


def right(item: Item, setting: Setting) -> list[Child]:
    """The key, each part of it an element: options with their letters, or what is to be typed."""
    parts = [h("span", {"class": "part"}, *part) for part in key_parts(item, setting)]
    between = " → " if isinstance(item.response, PutInOrder) else ", "
    return [piece for part in parts for piece in (between, part)][1:]


def key_parts(item: Item, setting: Setting) -> Iterator[list[Child]]:
    """What is told of each part of the key: each thing to read in a span of its own."""
    labels = labels_of(item)
    letters = dict(zip(labels, LETTERS, strict=False))

    def told(label: Inlines) -> Element:
        return h("span", *setting.inlines(label))

    match item.response:
        case MatchPairs(sources=sources, pairs=pairs):
            for source, pair in zip(sources, pairs, strict=True):
                target = pair.split()[1]
                yield [told(source.label), f": {letters[target]}. ", told(labels[target])]
        case Guided(stages=stages):
            for n, stage in enumerate(stages, 1):
                yield [f"{n}: ", told(stage_answer(stage, right_text(stage.response)))]
        case ListEntry():
            yield [told((right_text(item.response),))]
        case _:
            for value in map(str, key(item.response)):
                if labels:
                    yield [f"{letters[value]}. ", told(labels[value])]
                else:
                    yield [told((value,))]


def stage_answer(stage: Stage, text: str) -> Inlines:
    """What a text stands for in a stage: the words of an option, or itself."""
    if isinstance(stage.response, SelectOne):
        return next(o.label for o in stage.response.options if o.identifier == text)
    return (text,)


def slip(item: Item, found: SlipFeedback, setting: Setting) -> Element:
    """What is said to a student who answered so."""
    told = say("If the answer was {answer}:", answer=wrong_answer(item, found, setting))
    return h(
        "div",
        {"class": "slip"},
        h("p", *setting.inlines(setting.speaker.inlines(told))),
        *setting.blocks(found.text),
    )


def otherwise(item: Item, setting: Setting) -> Element:
    """What is said to every other wrong answer."""
    told = h("p", setting.text(say("After any other wrong answer:")))
    return h("div", {"class": "slip"}, told, *setting.blocks(item.otherwise))


def right_answer(item: Item, setting: Setting) -> Element:
    """What is said to a right answer."""
    told = h("p", setting.text(say("After the right answer:")))
    return h("div", {"class": "slip"}, told, *setting.blocks(item.right))


def wrong_answer(item: Item, found: SlipFeedback, setting: Setting) -> Inlines:
    """The answer of a slip as a person reads it."""
    labels = labels_of(item)
    given = tuple(map(str, found.response))
    match item.response:
        case PutInOrder():
            letters = dict(zip(labels, LETTERS, strict=False))
            return (", ".join(letters[i] for i in given),)
        case MatchPairs(sources=sources):
            return joined(
                (*source.label, " → ", *labels[pair.split()[1]])
                for source, pair in zip(sources, given, strict=True)
            )
        case Guided(stages=stages):
            (n,) = (i for i, text in enumerate(given) if text)
            answer = stage_answer(stages[n], given[n])
            return setting.speaker.inlines(say("{answer} in stage {n}", answer=answer, n=n + 1))
        case SetEntry():
            return joined((text,) for text in given)
        case _:
            return joined(labels[i] for i in given) if labels else shown(item, found)


# ------------------------------------------------------------ the pages


def page(release: Release, title: str, opening: Iterable[Element]) -> list[Element]:
    """The elements around what a page holds."""
    head = h(
        "head",
        h("meta", {"charset": "utf-8"}),
        h("meta", {"name": "viewport", "content": "width=device-width, initial-scale=1"}),
        h("meta", {"name": "generator", "content": f"{TOOL} {TOOL_VERSION}"}),
        h("meta", {"name": "description", "content": description(release)}),
        h("title", title),
        h("style", STYLE),
    )
    return [
        h("html", {"lang": release.language}, head),
        h(
            "body",
            h("h1", title),
            h("p", course_and_term(release.course, release.term, release.language)),
            *opening,
        ),
    ]


def group_heading(group: Group, items: int, speaker: Speaker) -> Iterator[Element]:
    """For staff: how many of the group's questions a student gets, and what they count."""
    yield h("h2", group.title)
    told = counted(
        "A student gets {choose} of {n} question.",
        "A student gets {choose} of {n} questions.",
        items,
        choose=group.choose,
    )
    yield h("p", speaker.text(told))


def write(release: Release, package: Package, math: str, purpose: Purpose) -> tuple[Count, ...]:
    """Write all members, holding one item at a time; the questions first, then the answers."""
    speaker = Speaker(release.language)
    where = f"{FORMAT}: {release.pool_id}"
    questions, answers = f"questions-{release.name}.html", f"key-{release.name}.html"

    def paged(name: str, around_them: list[Element], counts: tuple[Count, ...]) -> Census:
        census, numbers = Census(FORMAT, type_of), count(1)

        def numbered(item: Item) -> bytes:
            setting = setting_of(math, HTML, item.language)
            with naming(FORMAT, item):
                element = (answer if counts else question)(next(numbers), item, setting)
            if item.language != release.language:
                element = h("div", {"lang": item.language}, element)
            return fragment(element, place(FORMAT, item))

        before, after = around(around_them, where)
        with package.member(name) as out:
            out.write(b"<!DOCTYPE html>\n" + before.removeprefix(DECLARATION.encode()))
            for i, group in enumerate(release.groups):
                for element in group_heading(group, counts[i].items, speaker) if counts else ():
                    out.write(fragment(element, where))
                for _passed, data in census.written(group, numbered):
                    out.write(data)
            out.write(after)
        return census

    asked = paged(questions, page(release, release.title, ()), ())
    told = speaker.text(say("{title}: answers and working", title=release.title))
    staff = [h("p", h("strong", caution(release.language))), h("p", rights(release))]
    paged(answers, page(release, told, staff), tuple(asked.counts))
    outcomes = dict.fromkeys(o for g in release.groups for item in g.items for o in item.outcomes)
    package.add(
        "imsmanifest.xml", serialised(manifest(release, outcomes, questions, answers), where)
    )
    return tuple(asked.counts)


def manifest(release: Release, outcomes: Iterable[str], *names: str) -> Element:
    return cp(
        "manifest",
        {
            "xmlns:xsi": XSI,
            "xsi:schemaLocation": (f"{CP} {XSD}/imscp_v1p1.xsd {LOM} {XSD}/imsmd_loose_v1p3p2.xsd"),
            "identifier": f"manifest-{release.name}",
        },
        cp(
            "metadata",
            cp("schema", "IMS Content"),
            cp("schemaversion", "1.1.4"),
            release_lom(release, outcomes),
        ),
        cp("organizations"),
        cp(
            "resources",
            *(
                cp(
                    "resource",
                    {
                        "identifier": name.removesuffix(".html"),
                        "type": "webcontent",
                        "href": name,
                    },
                    cp("file", {"href": name}),
                )
                for name in names
            ),
        ),
    )
