"""What each format carries, as columns of one table, and how the table is told.

A cell says how the format carries a thing; or that a substitute stands in for it, where the
family declares one; or why it is refused, with an ExportError that names the item; or that no
package can say it, and that the load card tells it to be set by hand.  Tests hold the table
against what the writers do.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from exporters.package import Package
from exporters.qti2_response import FEW
from exporters.release import Count, Purpose, Release
from itembank.languages import Said, Speaker
from itembank.languages.spoken import as_worded
from itembank.values.item import LARGEST_MODULUS
from itembank.values.worded import laid_out, worded

Writer = Callable[[Release, Package, str, Purpose], tuple[Count, ...]]


@dataclass(frozen=True)
class Cell:
    """What a format does with a thing, and how or why."""

    does: Literal["carries", "substitutes", "refuses", "leaves to the card"]
    how: str


def _carries(how: str) -> Cell:
    return Cell("carries", how)


def _substitutes(why: str) -> Cell:
    return Cell("substitutes", why)


def _refuses(why: str) -> Cell:
    return Cell("refuses", why)


def _card(what: str) -> Cell:
    return Cell("leaves to the card", what)


@dataclass(frozen=True, kw_only=True)
class Abilities:
    """A column of the table.  Dialects of mathematics and purposes: the default first.

    The keys of `forms` and `scoring` are those of itembank.values.vocabulary.  `by_places`: readers
    put all lines in order or none, so where some are spare each is matched with its place.
    """

    mathematics: tuple[str, ...]
    purposes: tuple[Purpose, ...]
    forms: Mapping[str, Cell]
    scoring: Mapping[str, Cell]
    feedback: Mapping[str, Cell]
    release: Mapping[str, Cell]
    by_places: bool = False


@dataclass(frozen=True)
class Format:
    name: str
    title: Said
    write: Writer
    abilities: Abilities


_PARTS = ("forms", "scoring", "feedback", "release")

_HEADINGS = {
    "forms": worded("response forms"),
    "scoring": worded("scoring"),
    "feedback": worded("feedback"),
    "release": worded("around the items"),
}

_ROWS = {
    "random draw": worded("random draw"),
    "points": worded("points"),
    "order of questions": worded("order of questions"),
    "questions in parts": worded("questions in parts"),
    "attempts": worded("attempts"),
    "when feedback shows": worded("when feedback shows"),
    "outcomes and difficulty": worded("outcomes and difficulty"),
    "by slip": worded("by slip"),
    "worked solution": worded("worked solution"),
}
"""Rows that are no words of specs."""

_DONE = {
    "carries": worded("carries"),
    "substitutes": worded("substitutes"),
    "refuses": worded("refuses"),
    "leaves to the card": worded("leaves to the card"),
}


# ------------------------------------------------------------ the table, told


def as_json(f: Format) -> dict[str, object]:
    a = f.abilities
    return {
        "format": f.name,
        "title": Speaker().text(f.title),
        "mathematics": {"default": a.mathematics[0], "carries": list(a.mathematics)},
        "as": {"default": a.purposes[0], "carries": list(a.purposes)},
        **{
            part: {row: {"does": c.does, "how": c.how} for row, c in getattr(a, part).items()}
            for part in _PARTS
        },
    }


def lines(f: Format) -> Iterator[str]:
    """A format's column, a line a cell."""
    a = f.abilities
    yield laid_out("{format}: {title}", format=f.name, title=as_worded(f.title))
    yield worded(
        "  mathematics: {all}; {usual} unless --math says else",
        all=", ".join(a.mathematics),
        usual=a.mathematics[0],
    )
    yield worded(
        "  as: {all}; {usual} unless --as says else",
        all=", ".join(a.purposes),
        usual=a.purposes[0],
    )
    for part in _PARTS:
        yield laid_out("  {heading}", heading=_HEADINGS[part])
        for row, cell in getattr(a, part).items():
            yield laid_out(
                "    {row}: {does}: {how}",
                row=_ROWS.get(row, row),
                does=_DONE[cell.does],
                how=cell.how,
            )


def markdown(formats: Sequence[Format]) -> Iterator[str]:
    """One table; formats that carry the same share a column."""
    columns: dict[int, list[Format]] = {}
    for f in formats:
        columns.setdefault(id(f.abilities), []).append(f)
    shared = [(", ".join(f.name for f in fs), fs[0].abilities) for fs in columns.values()]
    yield "| | " + " | ".join(f"`{names}`".replace(", ", "` `") for names, _a in shared) + " |"
    yield "| --- |" + " --- |" * len(shared)
    yield "| mathematics | " + " | ".join(", ".join(a.mathematics) for _n, a in shared) + " |"
    yield "| as | " + " | ".join(", ".join(a.purposes) for _n, a in shared) + " |"
    for part in _PARTS:
        for row in getattr(shared[0][1], part):
            cells = (getattr(a, part)[row] for _names, a in shared)
            yield f"| {row} | " + " | ".join(_told(cell) for cell in cells) + " |"


def _told(cell: Cell) -> str:
    """A cell in a table: how it is carried; else what happens, and why."""
    return cell.how if cell.does == "carries" else f"{_MARKS[cell.does]}: {cell.how}"


_MARKS = {
    "substitutes": "substitute",
    "refuses": "refused",
    "leaves to the card": "by hand",
}


# ------------------------------------------------------------ the columns

_LARGEST = f"2^{LARGEST_MODULUS.bit_length() - 1}"

QTI2 = Abilities(
    mathematics=("mathml", "html", "tex", "text"),
    purposes=("quiz", "bank"),
    forms={
        "select all": _carries(worded("choice of several")),
        "select one": _carries(worded("choice of one")),
        "integer": _carries(
            worded(
                "text entry; also with + or leading zeros; of a residue every representative, "
                "but for a modulus beyond {largest} the least residue alone",
                largest=_LARGEST,
            )
        ),
        "list": _carries(
            worded(
                "text entry; commas, semicolons or spaces, braces or none, also with + or "
                "leading zeros; in increasing order, or, where the stem allows any, up to "
                "{few} values",
                few=FEW,
            )
        ),
        "set": _carries(
            worded(
                "a text entry each, in any order, any of them blank; also with + or leading "
                "zeros; every representative of a residue, for a modulus up to {largest}",
                largest=_LARGEST,
            )
        ),
        "solvable or not": _carries(worded("choice of one")),
        "order": _carries(
            worded(
                "lines to move; where some are spare, each to be paired with its place or with none"
            )
        ),
        "match": _carries(worded("pairs to make; a target may serve several")),
        "guided": _carries(worded("a text entry or a list of words in each stage")),
    },
    scoring={
        "all or nothing": _carries(worded("response processing")),
        "plus minus": _carries(worded("mapping of +1 and -1, not below 0")),
        "by stage": _carries(worded("the sum of an outcome for each stage")),
    },
    feedback={
        "by slip": _carries(
            worded("modal feedback; a slip's list of more than 4 values in increasing order alone")
        ),
        "worked solution": _carries(worded("modal feedback, after any attempt")),
    },
    release={
        "random draw": _carries(worded("a section a group, which selects")),
        "points": _carries(worded("the item's score, weighted in the test")),
        "order of questions": _carries(worded("shuffled within a section")),
        "questions in parts": _carries(
            worded("one item, each part scored alone; plain: an item a part, drawn together")
        ),
        "attempts": _carries(worded("one, in the test")),
        "when feedback shows": _card(worded("not before the quiz closes")),
        "outcomes and difficulty": _carries(worded("LOM of each item")),
    },
    by_places=True,
)

_DECLARED = worded("one answer an item; the form that the family declares, else refused")

CARTRIDGE = Abilities(
    mathematics=("html", "text", "tex", "mathml"),
    purposes=("bank", "quiz"),
    forms={
        "select all": _carries(worded("multiple response")),
        "select one": _carries(worded("multiple choice")),
        "integer": _carries(
            worded("fill in the blank; the least residue alone, without + or leading zeros")
        ),
        "list": _carries(
            worded(
                "fill in the blank; the usual spellings, without + or leading zeros; in "
                "increasing order, or, where the stem allows any, up to 3 values"
            )
        ),
        "set": _substitutes(_DECLARED),
        "solvable or not": _carries(worded("true/false, the stem says what each stands for")),
        "order": _substitutes(_DECLARED),
        "match": _substitutes(_DECLARED),
        "guided": _substitutes(_DECLARED),
    },
    scoring={
        "all or nothing": _carries(worded("SCORE set to 100")),
        "plus minus": _refuses(worded("importers know one right response and no partial score")),
        "by stage": _refuses(worded("importers know one right response and no partial score")),
    },
    feedback={
        "by slip": _carries(
            worded(
                "by option for multiple choice; else in the general feedback, with the answers "
                "that show the slip"
            )
        ),
        "worked solution": _carries(worded("general feedback")),
    },
    release={
        "random draw": _card(worded("the profile holds no selection")),
        "points": _carries(
            worded("cc_weighting, up to 99; with a half set by hand, as the load card says")
        ),
        "order of questions": _card(worded("the profile holds no order")),
        "questions in parts": _card(worded("an item a part, beside each other")),
        "attempts": _card(worded("one")),
        "when feedback shows": _card(worded("not before the quiz closes")),
        "outcomes and difficulty": _carries(worded("outcomes of the whole release, in its LOM")),
    },
)

QTI12 = replace(
    CARTRIDGE,
    release={
        **CARTRIDGE.release,
        "random draw": _carries(worded("a section a group, which selects")),
        "points": _carries(
            worded(
                "points_possible, whole or in halves; cc_weighting, up to 99, where they are whole"
            )
        ),
        "order of questions": _carries(worded("shuffled within a section")),
        "questions in parts": _carries(worded("an item a part, drawn together in a quiz")),
        "attempts": _carries(worded("one, in the quiz")),
        "outcomes and difficulty": _carries(worded("fields of each item")),
    },
)

PRINTED = Abilities(
    mathematics=("mathml", "html", "tex", "text"),
    purposes=("bank", "quiz"),
    forms={
        "select all": _carries(worded("options with letters")),
        "select one": _carries(worded("options with letters")),
        "integer": _carries(worded("a line to write on")),
        "list": _carries(worded("a line to write on")),
        "set": _carries(worded("a line for each entry")),
        "solvable or not": _carries(worded("options with letters")),
        "order": _carries(worded("lines with letters")),
        "match": _carries(worded("a line to write on for each, and the targets with letters")),
        "guided": _carries(
            worded("a line to write on, or the words to choose from, in each stage")
        ),
    },
    scoring={
        "all or nothing": _carries(worded("stated once on the sheet")),
        "plus minus": _carries(worded("stated in the question")),
        "by stage": _carries(worded("stated in the question")),
    },
    feedback={
        "by slip": _carries(worded("with the key: what to say to which answer")),
        "worked solution": _carries(worded("with the key")),
    },
    release={
        "random draw": _carries(
            worded("of a quiz: a sheet for each copy, drawn from the groups; of a bank: by hand")
        ),
        "points": _carries(worded("stated in the question and with the key")),
        "order of questions": _carries(worded("as numbered, the same on both pages")),
        "questions in parts": _carries(worded("under one number, with letters")),
        "attempts": _card(worded("one")),
        "when feedback shows": _card(worded("hand out no key before the quiz closes")),
        "outcomes and difficulty": _carries(worded("outcomes of the whole release, in its LOM")),
    },
)

TYPESET = replace(PRINTED, mathematics=("tex",))
