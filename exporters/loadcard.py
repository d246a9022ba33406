"""The load card: one printed page for the coordinator.

It tells what no package can carry, so that somebody must set it by hand, and
what should have arrived, so that somebody can compare.  A page of HTML that
needs nothing else, A4, black on white.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from exporters.formats import FORMATS
from exporters.in_parts import IN_ONE
from exporters.release import (
    Count,
    Group,
    Release,
    Together,
    Written,
    caution,
    course_and_term,
    together,
)
from itembank.languages import Said, Speaker, counted, say
from itembank.languages.catalogue import own_name
from itembank.notation.elements import HTML, Element, Maker, written
from itembank.values.errors import ExportError
from itembank.values.points import points
from itembank.values.vocabulary import ON_PAPER
from itembank.values.worded import worded

h = Maker(HTML)

STYLE = """
@page { size: A4; margin: 9mm 15mm; }
* { box-sizing: border-box; }
body { font: 8.5pt/1.24 "Helvetica Neue", Arial, sans-serif; color: #111; margin: 0 auto;
  max-width: 180mm; }
h1 { font-size: 15pt; line-height: 1.2; margin: 0; }
h2 { font-size: 10pt; margin: 2.2mm 0 0.6mm; }
p { margin: 0 0 1.4mm; }
.course { color: #444; margin-top: 0.6mm; }
.place { border: 0.25mm solid #111; padding: 0.4mm 2mm; margin-top: 1.2mm; }
.place p { margin: 0; }
.caution { border-left: 1mm solid #111; padding: 0.2mm 0 0.2mm 3mm; margin: 1.6mm 0; }
table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; vertical-align: top; padding: 0.2mm 2mm 0.2mm 0;
  border-bottom: 0.2mm solid #bbb; }
th { font-weight: 600; border-bottom-color: #111; }
tfoot td { font-weight: 600; border-bottom: 0; }
.number { text-align: right; padding-right: 4mm; font-variant-numeric: tabular-nums; }
.number:last-child { padding-right: 0; }
td.hash { font: 6.5pt/1.2 ui-monospace, "DejaVu Sans Mono", monospace; overflow-wrap: anywhere; }
ul { list-style: none; margin: 0; padding: 0; columns: 2; column-gap: 6mm; }
li { break-inside: avoid; position: relative; padding-left: 5.5mm; margin-bottom: 0.6mm; }
li::before { content: ""; position: absolute; left: 0; top: 0.7mm; width: 3mm; height: 3mm;
  border: 0.25mm solid #111; }
.receipt td { height: 6.2mm; width: 50%; border: 0.2mm solid #888; padding: 0.8mm 1.5mm;
  font-size: 8pt; color: #444; }
.receipt .tall { height: 9mm; }
@media screen { body { padding: 12mm 0; } }
"""


def load_card(release: Release, packages: Sequence[Written]) -> bytes:
    """The page for one release and the packages written of it, at least one.

    Those that were written of it before stand on it too.  Raises ExportError if the packages do
    not hold the same numbers of items, those that count nothing aside; a quiz on paper holds those
    that its copies have.
    """
    packages = _in_order(packages, release.beside)
    whole = [package for package in packages if not _is_pile(package)]
    counts = _all_groups(whole or packages)
    for package in whole[1:]:
        if _numbers(_scored(package.counts)) != _numbers(_scored(whole[0].counts)):
            raise ExportError(
                worded(
                    "load card: expected packages of one release, got {file} with {numbers} items "
                    "by group and {got} with {other_numbers}",
                    file=whole[0].file,
                    numbers=_numbers(whole[0].counts),
                    got=package.file,
                    other_numbers=_numbers(package.counts),
                )
            )
    speaker = Speaker(release.language)
    title = speaker.text(say("Load card: {title}", title=release.title))
    course = course_and_term(release.course, release.term, release.language)
    page = h(
        "html",
        {"lang": release.language},
        h(
            "head",
            h("meta", {"charset": "utf-8"}),
            h("title", title),
            h("style", STYLE),
        ),
        h(
            "body",
            h("h1", title),
            h("p", {"class": "course"}, course),
            *_for_whom(release, speaker),
            *_boxed(_its_place(release), speaker),
            h("p", {"class": "caution"}, caution(release.language)),
            heading(say("What you received"), speaker),
            *(h("p", speaker.text(said)) for said in _which_one(packages)),
            _packages_table(packages, speaker),
            heading(say("What to set by hand: no package can carry all of it"), speaker),
            _groups_table(release, counts, speaker),
            heading(say("Before students see it"), speaker),
            h("ul", *(h("li", speaker.text(step)) for step in _steps(release, packages))),
            heading(say("Receipt"), speaker),
            _receipt(speaker),
        ),
    )
    return ("<!DOCTYPE html>\n" + written([page])).encode()


def _is_pile(package: Written) -> bool:
    """Whether a package is a pile of sheets, each with a part of the questions."""
    return package.format in ON_PAPER and package.purpose == "quiz"


def _for_whom(release: Release, speaker: Speaker) -> list[Element]:
    """Which students get these packages, where others get the same in another language."""
    if len(release.languages) < 2:
        return []
    told = say(
        "Language of these packages: {language}. The same questions are made in these languages:"
        " {languages}. Each student gets them in one language alone; results of all languages"
        " count together.",
        language=own_name(release.language),
        languages=", ".join(map(own_name, release.languages)),
    )
    return [h("p", {"class": "language"}, speaker.text(told))]


def _in_order(packages: Sequence[Written], before: Sequence[Written]) -> list[Written]:
    """The packages of this time and of before, each file once, in the order of the formats."""
    files = {package.file: package for package in (*before, *packages)}
    places = list(FORMATS)
    return sorted(files.values(), key=lambda one: (places.index(one.format), one.file))


def _its_place(release: Release) -> list[Said]:
    """What this release stands for, what stands for it, and which students get it."""
    told: list[Said] = []
    if release.withdrawn:
        told.append(
            counted(
                "{n} question of this release has been withdrawn since: {names}. Load it only to"
                " look into what was sat.",
                "{n} questions of this release have been withdrawn since: {names}. Load it only to"
                " look into what was sat.",
                len(release.withdrawn),
                names=", ".join(release.withdrawn),
            )
        )
    if release.replaced_by:
        told.append(say("The release {release} has taken its place.", release=release.replaced_by))
    if release.replaces:
        told.append(
            say(
                "Replaces {release}: where that is loaded, hide its quiz and its question bank"
                " before this is loaded. Students who have sat it already are scored again by the"
                " note for rescoring.",
                release=release.replaces,
            )
        )
    if release.form in release.forms:
        n, place = len(release.forms), release.forms.index(release.form) + 1
        told.append(
            say(
                "Form {form} of {n}. Each student sits one form alone. Who sits which: count the"
                " list of students from 1; this form is for the numbers {first}, {second},"
                " {third} and so on, each {n} after the last.",
                form=release.form,
                n=n,
                first=place,
                second=place + n,
                third=place + 2 * n,
            )
        )
    return told


def _boxed(told: Sequence[Said], speaker: Speaker) -> list[Element]:
    paragraphs = [h("p", speaker.text(said)) for said in told]
    return [h("div", {"class": "place"}, *paragraphs)] if paragraphs else []


def _which_one(packages: Sequence[Written]) -> list[Said]:
    """Of several packages one is loaded; which, is a question of what the platform can do."""
    loaded = [package for package in packages if package.format not in _PRINTED_FORMATS]
    if len(loaded) < 2:
        return []
    return [
        say(
            "Load one of these packages: they hold the same questions. Take the last of the list"
            " whose format the platform imports, whose types of question it keeps and whose"
            " mathematics it shows; try it with the steps below, and take the one before it where"
            " a step fails."
        )
    ]


_PRINTED_FORMATS = ("html",)
"""What is printed and never loaded."""


def _all_groups(packages: Sequence[Written]) -> tuple[Count, ...]:
    """The groups of the package that has the most: one with groups that only show something."""
    return max((package.counts for package in packages), key=lambda counts: len(counts))


def _scored(counts: Iterable[Count]) -> list[Count]:
    """The groups that count, without those that only show something."""
    return [count for count in counts if count.group.points > 0]


def heading(said: Said, speaker: Speaker) -> Element:
    return h("h2", speaker.text(said))


def _numbers(counts: Iterable[Count]) -> list[int]:
    return [count.items for count in counts]


def _packages_table(packages: Sequence[Written], speaker: Speaker) -> Element:
    return table(
        speaker,
        ((say("Package"), ""), (say("Items"), "number"), (say("By type"), ""), ("SHA-256", "hash")),
        (
            (
                f"{package.file} ({_how_written(package, speaker)})",
                str(sum(n for count in package.counts for n in count.types.values())),
                _by_type(package.counts, speaker),
                package.sha256,
            )
            for package in packages
        ),
    )


def _how_written(package: Written, speaker: Speaker) -> str:
    """The format and what was chosen for it: "Common Cartridge 1.3, question bank, ..."."""
    uses = {"bank": say("question bank"), "quiz": say("quiz")}
    told: list[Said] = [FORMATS[package.format].title, uses[package.purpose]]
    told.append(say("mathematics as {dialect}", dialect=package.math))
    if package.profile == "plain":
        told.append(say("plain profile"))
    return ", ".join(map(speaker.text, told))


def _by_type(counts: Iterable[Count], speaker: Speaker) -> str:
    """The items of a package by the format's types: "multiple choice: 12; true/false: 4"."""
    types: Counter[Said] = Counter()
    for count in counts:
        types.update(count.types)
    return "; ".join(f"{speaker.text(name)}: {n}" for name, n in types.items())


_CANARY = "canary"
"""What stands for a family where items are no author's."""


def _named(group: Group) -> str:
    """The title with the family's id, which an author gave; canaries have none."""
    return group.title if group.family == _CANARY else f"{group.title}: {group.family}"


def _groups_table(release: Release, counts: Sequence[Count], speaker: Speaker) -> Element:
    """A row a group: how many of its items each student draws, and what they count."""
    rows = [
        (
            _named(count.group),
            str(count.items),
            str(count.group.choose),
            speaker.halves(count.group.points),
            speaker.halves(count.group.choose * count.group.points),
        )
        for count in counts
    ]
    questions = sum(count.group.choose for count in counts)
    drawn = say("Each student gets") if release.form else say("Draw at random")
    total = (
        say("Sum"),
        str(sum(_numbers(counts))),
        str(questions),
        "",
        speaker.halves(release.points),
    )
    return table(
        speaker,
        (
            (say("Question group"), ""),
            (say("Items in it"), "number"),
            (drawn, "number"),
            (say("Points each"), "number"),
            (say("Points"), "number"),
        ),
        rows,
        total,
    )


Text = Said | str
"""A message, or what no language changes."""


def table(
    speaker: Speaker,
    columns: Sequence[tuple[Text, str]],
    rows: Iterable[Sequence[Text]],
    foot: Sequence[Text] = (),
) -> Element:
    """Rows of text under headings; a column is its heading and its class."""
    classes = [{"class": name} if name else {} for _heading, name in columns]

    def row(tag: str, cells: Sequence[Text]) -> Element:
        texts = (speaker.text(cell) if isinstance(cell, Said) else cell for cell in cells)
        return h("tr", *(h(tag, dict(c), text) for c, text in zip(classes, texts, strict=True)))

    return h(
        "table",
        h("thead", row("th", [heading for heading, _name in columns])),
        h("tbody", *(row("td", cells) for cells in rows)),
        *([h("tfoot", row("td", foot))] if foot else []),
    )


def _steps(release: Release, packages: Sequence[Written]) -> list[Said]:
    """What to do, in order, each to be ticked off."""
    return [
        *_import_steps(packages),
        say("Compare the numbers of items by type with those above."),
        *_draw_steps(release, packages),
        say("Check that the quiz counts {points} points in all.", points=release.points),
        say("Attempts: one."),
        say("Order of questions: shuffled. Order of options: not shuffled."),
        say("During the attempt: show no feedback and no right answers."),
        say("Feedback, worked solution and key: hidden until the quiz has closed for everyone."),
        *_canary_steps(_all_groups(packages)),
        *_half_steps(packages),
        *_steps_of_parts(release, packages),
        *_cartridge_steps(packages),
        *_pointer_steps(packages),
        say("Open one question of each type: formulas must show as mathematics, with their signs."),
        say("As a student, answer right, wrong, partly and not at all; compare the scores."),
        say("A second person opens the quiz as a student."),
    ]


def _import_steps(packages: Sequence[Written]) -> list[Said]:
    """How a package arrives, by what it was written as; what is printed is none."""
    uses = {package.purpose for package in packages if package.format not in _PRINTED_FORMATS}
    if uses == {"bank"}:
        return [say("Import into a course without students, as a question bank.")]
    if uses == {"quiz"}:
        return [say("Import into a course without students: it arrives as a quiz, not yet open.")]
    if not uses:
        return []
    return [
        say(
            "Import into a course without students: a quiz arrives as a quiz, a question bank among"
            " the questions."
        )
    ]


def _draw_steps(release: Release, packages: Sequence[Written]) -> list[Said]:
    """Where questions are drawn: by hand of a bank, checked in a quiz; a form has no draw."""
    uses = {package.purpose for package in packages if package.format not in _PRINTED_FORMATS}
    told: list[Said] = []
    if release.form:
        if "bank" in uses:
            told.append(say("Question bank: put every question into the quiz, with its points."))
        if "quiz" in uses:
            told.append(say("Quiz: check that it asks every question, in any order."))
        return told
    if "bank" in uses:
        told.append(say("Make one random draw for each row of the table, with its points."))
    if "quiz" in uses:
        told.append(
            say(
                "Quiz: check that it draws from each row as many as the table says; a platform that"
                " shows all instead needs the draws made by hand."
            )
        )
    return told


def _canary_steps(counts: Iterable[Count]) -> list[Said]:
    """What to do with the groups that count nothing; without one, how to come by it."""
    shown = [
        say(
            "Open “{title}” first: every sign must show, every way to answer must work; then leave"
            " it out of the quiz.",
            title=count.group.title,
        )
        for count in counts
        if count.group.points == 0
    ]
    new = say("New to this platform? Load a package written with --canary first.")
    return shown or [new]


def _cartridge_steps(packages: Sequence[Written]) -> list[Said]:
    """Some platforms keep one right answer of a multiple response, whatever the package says."""
    if say("multiple response") not in _types_of(packages):
        return []
    return [
        say(
            "Multiple response: check that every right option is marked; some platforms keep"
            " the first alone."
        )
    ]


def _steps_of_parts(release: Release, packages: Sequence[Written]) -> list[Said]:
    """What keeps the parts of a variant together, where a package cannot."""
    loaded = [package for package in packages if package.format not in _PRINTED_FORMATS]
    told: list[Said] = []
    for groups in together(release.groups):
        if len(groups.groups) > 1:
            told += _steps_of_whole(groups, loaded)
    return told


def _steps_of_whole(groups: Together, packages: Sequence[Written]) -> Iterator[Said]:
    """The same of one question in parts: where it is one item, and where it is an item a part."""
    names = {
        "title": groups.title,
        "parts": ", ".join(f"({group.part})" for group in groups.groups),
    }
    types = {
        (package.purpose, name)
        for package in packages
        for count in package.counts
        if count.group.family == groups.groups[0].family
        for name in count.types
    }
    if IN_ONE in {name for _purpose, name in types}:
        yield say(
            "“{title}” is one item with its parts, {parts}, where it counts as a question in parts:"
            " draw it as one question, which counts {points} points in all.",
            points=points(sum((group.points for group in groups.groups), Fraction())),
            **names,
        )
    apart = {purpose for purpose, name in types if name != IN_ONE}
    if "bank" in apart:
        yield say(
            "“{title}” has parts, {parts}, which stay together and in their order: draw a"
            " variant by its number, with all parts, not part by part.",
            **names,
        )
    elif apart:
        yield say(
            "“{title}” has parts, {parts}: check that a student gets all parts of one variant, in"
            " their order.",
            **names,
        )


def _half_steps(packages: Sequence[Written]) -> list[Said]:
    """Cartridges know whole points alone: what counts halves is set by hand."""
    if all(not package.format.startswith("cc") for package in packages):
        return []
    return [
        say(
            "The cartridge carries whole points alone: set the points of “{title}” by hand,"
            " {points} each.",
            title=_named(count.group),
            points=count.group.points,
        )
        for count in _all_groups(packages)
        if isinstance(count.group.points, Fraction)
    ]


def _pointer_steps(packages: Sequence[Written]) -> list[Said]:
    """Some platforms let lines be moved, and pairs be made, with a pointer alone."""
    if {say("put in order"), say("match")}.isdisjoint(_types_of(packages)):
        return []
    return [
        say(
            "Put in order, match: try them with the keyboard alone; where that does not do, load"
            " the plain profile for students who need it."
        )
    ]


def _types_of(packages: Sequence[Written]) -> set[Said]:
    return {name for package in packages for count in package.counts for name in count.types}


def _receipt(speaker: Speaker) -> Element:
    """The form to fill in and to file."""
    fields = (
        (say("Date"), say("Course and quiz")),
        (say("Numbers of items by type after import"), say("Points in all")),
        (say("Loaded by"), say("Opened as a student by")),
    )
    deviations, signed = say("Deviations"), say("Reviewed and signed for use by (name, date)")
    return h(
        "table",
        {"class": "receipt"},
        h(
            "tbody",
            *(h("tr", *(h("td", speaker.text(field)) for field in row)) for row in fields),
            h("tr", h("td", {"class": "tall", "colspan": "2"}, speaker.text(deviations))),
            h("tr", h("td", {"colspan": "2"}, speaker.text(signed))),
        ),
    )
