"""The load card: one printed page for whoever loads the packages.

It tells what no package can carry, so that somebody must set it by hand, and
what should have arrived, so that somebody can compare.  A page of HTML that
needs nothing else, A4, black on white.
"""

from collections import Counter
from collections.abc import Iterable, Sequence

from exporters.formats import FORMATS
from exporters.release import Count, Release, Written, caution
from itembank.languages.words import _
from itembank.notation.elements import HTML, Element, Maker, written
from itembank.values.errors import ExportError

h = Maker(HTML)

STYLE = """
@page { size: A4; margin: 11mm 15mm; }
* { box-sizing: border-box; }
body { font: 8.5pt/1.28 "Helvetica Neue", Arial, sans-serif; color: #111; margin: 0 auto;
  max-width: 180mm; }
h1 { font-size: 15pt; line-height: 1.2; margin: 0; }
h2 { font-size: 10pt; margin: 3.2mm 0 1mm; }
p { margin: 0 0 1.4mm; }
.course { color: #444; margin-top: 0.6mm; }
.caution { border-left: 1mm solid #111; padding: 0.4mm 0 0.4mm 3mm; margin: 3mm 0; }
table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; vertical-align: top; padding: 0.35mm 2mm 0.35mm 0;
  border-bottom: 0.2mm solid #bbb; }
th { font-weight: 600; border-bottom-color: #111; }
tfoot td { font-weight: 600; border-bottom: 0; }
.number { text-align: right; padding-right: 4mm; font-variant-numeric: tabular-nums; }
.number:last-child { padding-right: 0; }
td.hash { font: 7pt/1.25 ui-monospace, "DejaVu Sans Mono", monospace; overflow-wrap: anywhere; }
ul { list-style: none; margin: 0; padding: 0; columns: 2; column-gap: 6mm; }
li { break-inside: avoid; position: relative; padding-left: 5.5mm; margin-bottom: 0.9mm; }
li::before { content: ""; position: absolute; left: 0; top: 0.7mm; width: 3mm; height: 3mm;
  border: 0.25mm solid #111; }
.receipt td { height: 7mm; width: 50%; border: 0.2mm solid #888; padding: 0.8mm 1.5mm;
  font-size: 8pt; color: #444; }
.receipt .tall { height: 11mm; }
@media screen { body { padding: 12mm 0; } }
"""


def load_card(release: Release, packages: Sequence[Written]) -> bytes:
    """The page for one release and the packages written of it, at least one.

    Raises ExportError if the packages do not hold the same numbers of items.
    """
    counts = packages[0].counts
    for package in packages[1:]:
        if numbers(package.counts) != numbers(counts):
            raise ExportError(
                f"load card: expected packages of one release, got {packages[0].file} with"
                f" {numbers(counts)} items by group and {package.file} with"
                f" {numbers(package.counts)}"
            )
    page = h(
        "html",
        {"lang": release.language},
        h(
            "head",
            h("meta", {"charset": "utf-8"}),
            h("title", _("Load card: {title}").format(title=release.title)),
            h("style", STYLE),
        ),
        h(
            "body",
            h("h1", _("Load card: {title}").format(title=release.title)),
            h("p", {"class": "course"}, f"{release.course}, {release.term}"),
            h("p", {"class": "caution"}, caution()),
            h("h2", _("What you received")),
            packages_table(packages),
            h("h2", _("What to set by hand: no package can carry all of it")),
            groups_table(release, counts),
            h("h2", _("Before students see it")),
            h("ul", *(h("li", line) for line in steps(release, packages))),
            h("h2", _("Receipt")),
            receipt(),
        ),
    )
    return ("<!DOCTYPE html>\n" + written([page])).encode()


def numbers(counts: Iterable[Count]) -> list[int]:
    return [count.items for count in counts]


def packages_table(packages: Sequence[Written]) -> Element:
    return table(
        ((_("Package"), ""), (_("Items"), "number"), (_("By type"), ""), ("SHA-256", "hash")),
        (
            (
                f"{package.file} ({how_written(package)})",
                str(sum(numbers(package.counts))),
                by_type(package.counts),
                package.sha256,
            )
            for package in packages
        ),
    )


def how_written(package: Written) -> str:
    """The format and what was chosen for it: "Common Cartridge 1.3, question bank, ..."."""
    uses = {"bank": _("question bank"), "quiz": _("quiz")}
    told = [FORMATS[package.format].title, uses[package.purpose]]
    told.append(_("mathematics as {dialect}").format(dialect=package.math))
    if package.profile == "plain":
        told.append(_("plain profile"))
    return ", ".join(told)


def by_type(counts: Iterable[Count]) -> str:
    """The items of a package by the format's types: "multiple choice: 12; true/false: 4"."""
    types: Counter[str] = Counter()
    for count in counts:
        types.update(count.types)
    return "; ".join(f"{name}: {n}" for name, n in types.items())


def groups_table(release: Release, counts: Sequence[Count]) -> Element:
    """A row a group: how many of its items each student draws, and what they count."""
    rows = [
        (
            count.group.title,
            str(count.items),
            str(count.group.choose),
            str(count.group.points),
            str(count.group.choose * count.group.points),
        )
        for count in counts
    ]
    questions = sum(count.group.choose for count in counts)
    total = (_("Sum"), str(sum(numbers(counts))), str(questions), "", str(release.points))
    return table(
        (
            (_("Question group"), ""),
            (_("Items in it"), "number"),
            (_("Draw at random"), "number"),
            (_("Points each"), "number"),
            (_("Points"), "number"),
        ),
        rows,
        total,
    )


def table(
    columns: Sequence[tuple[str, str]], rows: Iterable[Sequence[str]], foot: Sequence[str] = ()
) -> Element:
    """Rows of text under headings; a column is its heading and its class."""
    classes = [{"class": name} if name else {} for _heading, name in columns]

    def row(tag: str, cells: Sequence[str]) -> Element:
        return h("tr", *(h(tag, dict(c), text) for c, text in zip(classes, cells, strict=True)))

    return h(
        "table",
        h("thead", row("th", [heading for heading, _name in columns])),
        h("tbody", *(row("td", cells) for cells in rows)),
        *([h("tfoot", row("td", foot))] if foot else []),
    )


def steps(release: Release, packages: Sequence[Written]) -> list[str]:
    """What to do, in order, each to be ticked off."""
    return [
        _("Import into a course without students, as a question bank."),
        _("Compare the numbers of items by type with those above."),
        _("Make one random draw for each row of the table, with its points."),
        _("Check that the quiz counts {points} points in all.").format(points=release.points),
        _("Attempts: one."),
        _("Order of questions: shuffled. Order of options: not shuffled."),
        _("During the attempt: show no feedback and no right answers."),
        _("Feedback, worked solution and key: hidden until the quiz has closed for everyone."),
        *canary_steps(packages[0].counts),
        *cartridge_steps(packages),
        *pointer_steps(packages),
        _("Open one question of each type: formulas must show as mathematics, with their signs."),
        _("As a student, answer right, wrong, partly and not at all; compare the scores."),
        _("A second person opens the quiz as a student."),
    ]


def canary_steps(counts: Iterable[Count]) -> list[str]:
    """What to do with the groups that count nothing; without one, how to come by it."""
    shown = [
        _(
            "Open “{title}” first: every sign must show, every way to answer must work; then leave"
            " it out of the quiz."
        ).format(title=count.group.title)
        for count in counts
        if count.group.points == 0
    ]
    new = _("New to this platform? Load a package written with --canary first.")
    return shown or [new]


def cartridge_steps(packages: Sequence[Written]) -> list[str]:
    """Some platforms keep one right answer of a multiple response, whatever the package says."""
    if _("multiple response") not in types_of(packages):
        return []
    return [
        _(
            "Multiple response: check that every right option is marked; some platforms keep"
            " the first alone."
        )
    ]


def pointer_steps(packages: Sequence[Written]) -> list[str]:
    """Some platforms let lines be moved, and pairs be made, with a pointer alone."""
    if {_("put in order"), _("match")}.isdisjoint(types_of(packages)):
        return []
    return [
        _(
            "Put in order, match: try them with the keyboard alone; where that does not do, load"
            " the plain profile for students who need it."
        )
    ]


def types_of(packages: Sequence[Written]) -> set[str]:
    return {name for package in packages for count in package.counts for name in count.types}


def receipt() -> Element:
    """The form to fill in and to file."""
    fields = (
        (_("Date"), _("Course and quiz")),
        (_("Numbers of items by type after import"), _("Points in all")),
        (_("Loaded by"), _("Opened as a student by")),
    )
    return h(
        "table",
        {"class": "receipt"},
        h(
            "tbody",
            *(h("tr", *(h("td", field) for field in row)) for row in fields),
            h("tr", h("td", {"class": "tall", "colspan": "2"}, _("Deviations"))),
            h("tr", h("td", {"colspan": "2"}, _("Reviewed and signed for use by (name, date)"))),
        ),
    )
