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
from itembank.values.item import LARGEST_MODULUS

Writer = Callable[[Release, Package, str, Purpose], tuple[Count, ...]]


@dataclass(frozen=True)
class Cell:
    """What a format does with a thing, and how or why."""

    does: Literal["carries", "substitutes", "refuses", "leaves to the card"]
    how: str


def carries(how: str) -> Cell:
    return Cell("carries", how)


def substitutes(why: str) -> Cell:
    return Cell("substitutes", why)


def refuses(why: str) -> Cell:
    return Cell("refuses", why)


def card(what: str) -> Cell:
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


PARTS = ("forms", "scoring", "feedback", "release")

HEADINGS = {
    "forms": "Response forms",
    "scoring": "Scoring",
    "feedback": "Feedback",
    "release": "Around the items",
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
            for part in PARTS
        },
    }


def lines(f: Format) -> Iterator[str]:
    """A format's column, a line a cell."""
    a = f.abilities
    yield f"{f.name}: {Speaker().text(f.title)}"
    yield f"  mathematics: {', '.join(a.mathematics)}; {a.mathematics[0]} unless --math says else"
    yield f"  as: {', '.join(a.purposes)}; {a.purposes[0]} unless --as says else"
    for part in PARTS:
        yield f"  {HEADINGS[part].lower()}"
        for row, cell in getattr(a, part).items():
            yield f"    {row}: {cell.does}: {cell.how}"


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
    for part in PARTS:
        for row in getattr(shared[0][1], part):
            cells = (getattr(a, part)[row] for _names, a in shared)
            yield f"| {row} | " + " | ".join(told(cell) for cell in cells) + " |"


def told(cell: Cell) -> str:
    """A cell in a table: how it is carried; else what happens, and why."""
    return cell.how if cell.does == "carries" else f"{MARKS[cell.does]}: {cell.how}"


MARKS = {
    "substitutes": "substitute",
    "refuses": "refused",
    "leaves to the card": "by hand",
}


# ------------------------------------------------------------ the columns

LARGEST = f"2^{LARGEST_MODULUS.bit_length() - 1}"

QTI2 = Abilities(
    mathematics=("mathml", "html", "tex", "text"),
    purposes=("quiz", "bank"),
    forms={
        "select all": carries("choice of several"),
        "select one": carries("choice of one"),
        "integer": carries(
            "text entry; also with + or leading zeros; of a residue every representative, but for"
            f" a modulus beyond {LARGEST} the least residue alone"
        ),
        "list": carries(
            "text entry; commas, semicolons or spaces, braces or none, also with + or leading"
            f" zeros; in increasing order, or, where the stem allows any, up to {FEW} values"
        ),
        "set": carries(
            "a text entry each, in any order, any of them blank; also with + or leading zeros;"
            f" every representative of a residue, for a modulus up to {LARGEST}"
        ),
        "solvable or not": carries("choice of one"),
        "order": carries(
            "lines to move; where some are spare, each to be paired with its place or with none"
        ),
        "match": carries("pairs to make; a target may serve several"),
        "guided": carries("a text entry or a list of words in each stage"),
    },
    scoring={
        "all or nothing": carries("response processing"),
        "plus minus": carries("mapping of +1 and -1, not below 0"),
        "by stage": carries("the sum of an outcome for each stage"),
    },
    feedback={
        "by slip": carries(
            "modal feedback; a slip's list of more than 4 values in increasing order alone"
        ),
        "worked solution": carries("modal feedback, after any attempt"),
    },
    release={
        "random draw": carries("a section a group, which selects"),
        "points": carries("the item's score, weighted in the test"),
        "order of questions": carries("shuffled within a section"),
        "attempts": carries("one, in the test"),
        "when feedback shows": card("not before the quiz closes"),
        "outcomes and difficulty": carries("LOM of each item"),
    },
    by_places=True,
)

DECLARED = "one answer an item; the form that the family declares, else refused"

CARTRIDGE = Abilities(
    mathematics=("html", "text", "tex", "mathml"),
    purposes=("bank", "quiz"),
    forms={
        "select all": carries("multiple response"),
        "select one": carries("multiple choice"),
        "integer": carries(
            "fill in the blank; the least residue alone, without + or leading zeros"
        ),
        "list": carries(
            "fill in the blank; the usual spellings, without + or leading zeros; in increasing"
            " order, or, where the stem allows any, up to 3 values"
        ),
        "set": substitutes(DECLARED),
        "solvable or not": carries("true/false, the stem says what each stands for"),
        "order": substitutes(DECLARED),
        "match": substitutes(DECLARED),
        "guided": substitutes(DECLARED),
    },
    scoring={
        "all or nothing": carries("SCORE set to 100"),
        "plus minus": refuses("importers know one right response and no partial score"),
        "by stage": refuses("importers know one right response and no partial score"),
    },
    feedback={
        "by slip": carries(
            "by option for multiple choice; else in the general feedback, with the answers"
            " that show the slip"
        ),
        "worked solution": carries("general feedback"),
    },
    release={
        "random draw": card("the profile holds no selection"),
        "points": carries("cc_weighting, up to 99; with a half set by hand, as the load card says"),
        "order of questions": card("the profile holds no order"),
        "attempts": card("one"),
        "when feedback shows": card("not before the quiz closes"),
        "outcomes and difficulty": carries("outcomes of the whole release, in its LOM"),
    },
)

QTI12 = replace(
    CARTRIDGE,
    release={
        **CARTRIDGE.release,
        "random draw": carries("a section a group, which selects"),
        "points": carries(
            "points_possible, whole or in halves; cc_weighting, up to 99, where they are whole"
        ),
        "order of questions": carries("shuffled within a section"),
        "attempts": carries("one, in the quiz"),
        "outcomes and difficulty": carries("fields of each item"),
    },
)

PRINTED = Abilities(
    mathematics=("mathml", "html", "tex", "text"),
    purposes=("bank", "quiz"),
    forms={
        "select all": carries("options with letters"),
        "select one": carries("options with letters"),
        "integer": carries("a line to write on"),
        "list": carries("a line to write on"),
        "set": carries("a line for each entry"),
        "solvable or not": carries("options with letters"),
        "order": carries("lines with letters"),
        "match": carries("a line to write on for each, and the targets with letters"),
        "guided": carries("a line to write on, or the words to choose from, in each stage"),
    },
    scoring={
        "all or nothing": carries("stated once on the sheet"),
        "plus minus": carries("stated in the question"),
        "by stage": carries("stated in the question"),
    },
    feedback={
        "by slip": carries("with the key: what to say to which answer"),
        "worked solution": carries("with the key"),
    },
    release={
        "random draw": carries(
            "of a quiz: a sheet for each copy, drawn from the groups; of a bank: by hand"
        ),
        "points": carries("stated in the question and with the key"),
        "order of questions": carries("as numbered, the same on both pages"),
        "attempts": card("one"),
        "when feedback shows": card("hand out no key before the quiz closes"),
        "outcomes and difficulty": carries("outcomes of the whole release, in its LOM"),
    },
)

TYPESET = replace(PRINTED, mathematics=("tex",))
