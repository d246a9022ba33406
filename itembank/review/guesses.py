"""The table of the first page: how far the looks of the questions give their keys away."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction

from itembank.guessing.figures import Figures
from itembank.languages import Said, say
from itembank.notation.elements import Element
from itembank.review import vocabulary
from itembank.review.writer import QUOTED, Writer, h

Row = tuple[str, Figures]
"""A family, or the title of its questions, and what guessers score on them."""

_ABOUT = say(
    "What students score who have learned test-taking and not the subject: on average over the"
    " questions of this packet, without arithmetic and with one number substituted. Chance is a"
    " blind guess. Of few questions a habit may be right by accident."
)


def guesses(page: Writer, rows: Sequence[Row], wanted: Mapping[str, str]) -> Iterator[Element]:
    """The table, and below it why a family wants to be guessed; nothing where nobody can guess."""
    shown = [(name, figures) for name, figures in rows if figures.best]
    if shown:
        yield h("h3", page.text(say("What guessing is worth")))
        yield h("p", page.text(_ABOUT))
        yield h("div", {"class": "wide"}, _table(page, shown))
        yield from _reasons(page, [name for name, _figures in shown], wanted)


def _table(page: Writer, rows: Iterable[Row]) -> Element:
    """The easiest to guess first."""
    names = (
        say("Family"), say("Form"), say("Items"), say("Chance"), say("Best guess"),
        say("How it is guessed"), say("One substitution"),
    )  # fmt: skip
    easiest_first = sorted(rows, key=lambda row: -row[1].above_chance)
    return h(
        "table",
        {"class": "guesses"},
        h("thead", h("tr", *(h("th", {"scope": "col"}, page.text(name)) for name in names))),
        h("tbody", *(_row_of(page, name, figures) for name, figures in easiest_first)),
    )


def _row_of(page: Writer, name: str, figures: Figures) -> Element:
    best, once = figures.best, figures.once
    return h(
        "tr",
        h("th", {"scope": "row"}, name),
        h("td", page.text(vocabulary.FORMS[figures.form])),
        h("td", {"class": "number"}, str(figures.questions)),
        h("td", {"class": "number"}, _percent(page, figures.chance)),
        h("td", {"class": "number"}, _percent(page, best.share if best else None)),
        h("td", page.text(best.name) if best else ""),
        h("td", {"class": "number"}, _percent(page, once.share if once else None)),
    )


def _percent(page: Writer, share: Fraction | None) -> str:
    """In whole percent, halves up; a little is told as such."""
    if share is None:
        return ""
    whole = (200 * share.numerator + share.denominator) // (2 * share.denominator)
    return page.text(say("less than 1 %") if share and not whole else say("{n} %", n=whole))


def _reasons(page: Writer, families: Iterable[str], wanted: Mapping[str, str]) -> Iterator[Element]:
    """What a family says of why it wants to be guessed, in its own words."""
    found = [(family, wanted[family]) for family in dict.fromkeys(families) if family in wanted]
    if found:
        yield h("p", page.text(say("Families that want it so, in the words of their authors:")))
        yield h(
            "ul",
            *(h("li", *page.around(_named(family), [words])) for family, words in found),
        )


def _named(family: str) -> Said:
    return say("{family}: {words}", family=family, words=QUOTED)
