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

from exporters.census import Census, key, naming, place
from exporters.lom import release_lom
from exporters.package import Package
from exporters.qti1 import filled, joined, shown
from exporters.qti2 import fields, type_of
from exporters.release import (
    TOOL,
    TOOL_VERSION,
    Count,
    Group,
    Purpose,
    Release,
    caution,
    description,
    rights,
    statement,
)
from exporters.setting import Setting
from exporters.xml import DECLARATION, LOM, XSI, around, fragment, serialised
from itembank.item import (
    IntegerEntry,
    Item,
    ListEntry,
    SelectAll,
    SelectOne,
    SetEntry,
    SlipFeedback,
    TrueFalse,
)
from itembank.notation.elements import HTML, Element, Maker
from itembank.notation.tree import Inlines
from itembank.words import _, ngettext

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


def heading(n: int, item: Item) -> Element:
    return h(
        "h3",
        _("Question {n}").format(n=n),
        " ",
        h("span", {"class": "identifier"}, item.identifier),
    )


def question(n: int, item: Item, setting: Setting) -> Element:
    """What the student reads and answers."""
    return h(
        "section",
        {"class": "question", "id": item.identifier},
        heading(n, item),
        h("div", {"class": "stem"}, *setting.blocks(item.stem)),
        *answer_place(item, setting),
    )


def answer_place(item: Item, setting: Setting) -> list[Element]:
    """The options with their letters, or a line for each entry."""
    match item.response:
        case IntegerEntry() | ListEntry() | SetEntry():
            line = h("span", {"class": "line"}, "\N{NO-BREAK SPACE}")
            return [
                h("p", {"class": "entry"}, f"{prompt} ", line)
                for _name, prompt, _width in fields(item.response)
            ]
        case _:
            most = "any" if isinstance(item.response, SelectAll) else "one"
            labels = labels_of(item)
            return [
                h(
                    "ol",
                    {"class": "options", "data-choose": most},
                    *(
                        h("li", f"{letter}. ", h("span", *setting.inlines(label)))
                        for letter, label in zip(LETTERS, labels.values(), strict=False)
                    ),
                )
            ]


def labels_of(item: Item) -> dict[str, Inlines]:
    """The options by identifier, in their order; none of an item with entries."""
    match item.response:
        case SelectAll(options=options) | SelectOne(options=options):
            return {o.identifier: o.label for o in options}
        case TrueFalse(yes=yes, no=no):
            return {"true": yes, "false": no}
        case _:
            return {}


def answer(n: int, item: Item, setting: Setting) -> Element:
    """What staff reads: the answer, what it is worth, the working, the slips."""
    points = item.scoring.points
    return h(
        "section",
        {"class": "answer", "data-question": item.identifier},
        heading(n, item),
        h("p", h("span", {"class": "statement"}, statement(item))),
        h("p", h("strong", _("Answer:")), " ", h("span", {"class": "key"}, *right(item, setting))),
        h("p", {"class": "points"}, ngettext("{n} point", "{n} points", points).format(n=points)),
        h("div", {"class": "working"}, *setting.blocks(item.solution)),
        *(slip(item, found, setting) for found in item.feedback),
    )


def right(item: Item, setting: Setting) -> list[Element | str]:
    """The key, each part of it an element: options with their letters, or what is to be typed."""
    labels = labels_of(item)
    if labels:
        letters = dict(zip(labels, LETTERS, strict=False))
        parts = [
            h("span", {"class": "part"}, f"{letters[i]}. ", h("span", *setting.inlines(labels[i])))
            for i in map(str, key(item.response))
        ]
    else:
        values = [str(v) for v in key(item.response)]
        if isinstance(item.response, ListEntry):
            values = [", ".join(values) or item.response.none_word]
        parts = [h("span", {"class": "part"}, h("span", value)) for value in values]
    return [piece for part in parts for piece in (", ", part)][1:]


def slip(item: Item, found: SlipFeedback, setting: Setting) -> Element:
    """What is said to a student who answered so."""
    labels = labels_of(item)
    if labels:
        told = joined(labels[str(i)] for i in found.response)
    elif isinstance(item.response, SetEntry):
        told = joined((str(v),) for v in found.response)
    else:
        told = shown(item, found)
    return h(
        "div",
        {"class": "slip"},
        h("p", *setting.inlines(filled(_("If the answer was {answer}:"), answer=told))),
        *setting.blocks(found.text),
    )


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
            h("p", _("{course}, {term}").format(course=release.course, term=release.term)),
            *opening,
        ),
    ]


def group_heading(group: Group, items: int) -> Iterator[Element]:
    """For staff: how many of the group's questions a student gets, and what they count."""
    yield h("h2", group.title)
    told = ngettext(
        "A student gets {choose} of {n} question.",
        "A student gets {choose} of {n} questions.",
        items,
    )
    yield h("p", told.format(choose=group.choose, n=items))


def write(release: Release, package: Package, math: str, purpose: Purpose) -> tuple[Count, ...]:
    """Write all members, holding one item at a time; the questions first, then the answers."""
    setting = Setting(math, HTML)
    where = f"{FORMAT}: {release.pool_id}"
    questions, answers = f"questions-{release.name}.html", f"key-{release.name}.html"

    def paged(name: str, around_them: list[Element], counts: tuple[Count, ...]) -> Census:
        census, numbers = Census(FORMAT, type_of), count(1)
        before, after = around(around_them, where)
        with package.member(name) as out:
            out.write(b"<!DOCTYPE html>\n" + before.removeprefix(DECLARATION.encode()))
            for i, group in enumerate(release.groups):
                for element in group_heading(group, counts[i].items) if counts else ():
                    out.write(fragment(element, where))
                for item in census.items(group):
                    with naming(FORMAT, item):
                        element = (answer if counts else question)(next(numbers), item, setting)
                    out.write(fragment(element, place(FORMAT, item)))
            out.write(after)
        return census

    asked = paged(questions, page(release, release.title, ()), ())
    told = _("{title}: answers and working").format(title=release.title)
    staff = [h("p", h("strong", caution())), h("p", rights(release))]
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
