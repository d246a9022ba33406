"""The words that specs, items and packages share, each list once.

LEVELS are the difficulty words of IEEE 1484.12.1 (LOM) 5.8.  The asks and the
response forms are ours, in the words of the trade.
"""

from dataclasses import dataclass
from typing import Literal

LEVELS = ("very easy", "easy", "medium", "difficult", "very difficult")

ASKS = (
    "all solutions",
    "the solution",
    "how many",
    "the least",
    "the largest",
    "an example",
    "whether any",
    "whether true",
    "the value",
    "the steps",
    "the wrong line",
    "the missing step",
    "the next step",
    "the reason",
    "always, sometimes or never",
    "which",
)

FORMS = (
    "select all",
    "select one",
    "integer",
    "list",
    "set",
    "solvable or not",
    "order",
    "match",
    "guided",
)

FORMS_OF_ASK = {
    "all solutions": ("select all", "select one", "list", "set", "match", "guided"),
    "the solution": ("integer",),
    "how many": ("integer",),
    "the least": ("integer",),
    "the largest": ("integer",),
    "the value": ("integer", "select one", "match", "guided"),
    "an example": ("integer",),
    "whether any": ("solvable or not",),
    "whether true": ("solvable or not",),
    "the steps": ("order", "select one"),
    "the wrong line": ("select one",),
    "the missing step": ("select one",),
    "the next step": ("select one",),
    "the reason": ("select one",),
    "always, sometimes or never": ("select one",),
    "which": ("select one",),
}
"""Which response forms can carry which ask; the first is the default."""

DERIVED_FORMS = ("match", "guided")
"""The forms that ask about the derivation; not every kind of problem tells of its own."""

SCORING_RULES = ("all or nothing", "plus minus", "by stage")

CHOSEN_RULES = ("all or nothing", "plus minus")
"""The rules that a family may choose; a guided question always counts by stage."""

FORMATS = ("qti12", "cc11", "cc12", "cc13", "qti21", "qti22", "qti30", "html", "latex")

USUAL_FORMATS = ("qti21", "cc13")
"""Those written where none is named."""

DIALECTS = ("mathml", "html", "tex", "text")

PURPOSES = ("bank", "quiz")

ON_PAPER = ("html", "latex")
"""The formats that are printed."""

PAPERS = ("a4", "letter")
"""Sizes of a sheet: ISO 216, and ANSI/ASME Y14.1 A."""

PROFILES = ("full", "plain")
"""Every form that a format carries; or one choice or one entry an item, its answer complete."""

PLAIN_FORMS = ("select all", "select one", "integer", "list", "solvable or not")
"""The forms of one choice or one entry."""

FieldType = Literal["integer", "integers", "equation", "equations"]


@dataclass(frozen=True)
class KindSignature:
    """What a family of a kind may say: its `given` fields with their types, asks, slips, measures.

    An equation is polynomial = polynomial in the unknown x; an integer or the integers
    are expressions in the parameters.  `measures` are the numbers that a condition on
    the solution may name (solutions, steps, depth, ...).  `derived`: it can be put in the
    forms that ask about the derivation.  `most_degree`: the largest degree that a side of its
    equations may have, or None.  `may_be_left_out`: fields of `given` with a usual value.
    """

    name: str
    given: dict[str, FieldType]
    asks: tuple[str, ...]
    slips: tuple[str, ...]
    measures: tuple[str, ...]
    derived: bool = False
    most_degree: int | None = None
    may_be_left_out: tuple[str, ...] = ()
