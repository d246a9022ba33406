"""An item as it is met from outside: read by a student, graded by its own scoring.

The readers of the formats give this; the audit asks nothing else of an item.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from itembank.audit.prose import Lines, Read
from itembank.audit.speech import Formulas

Form = Literal["any", "one", "text", "entries", "order", "pairs", "stages"]
"""Tick any number of options, choose one, type a text, or type one in each of several entries;
put the options in order, match each source with one, or fill in stages."""

Response = tuple[str, ...]
"""The identifiers ticked, or in their order, the pairs "source option", or the texts typed, "" in
an entry or a stage left blank; () for no response."""


@dataclass(frozen=True)
class Grade:
    """What the scoring gives for a response: the score, and the feedback blocks shown.

    `otherwise`: the readers that give another, by what they do.
    """

    score: Fraction
    shown: frozenset[str] = frozenset()
    otherwise: tuple[str, ...] = ()


@dataclass(frozen=True)
class SeenOption:
    identifier: str
    label: str


@dataclass(frozen=True)
class SeenStage:
    """A stage: its prompt, and the options to choose from; none where a text is typed."""

    prompt: Lines
    options: tuple[SeenOption, ...] = ()


@dataclass(frozen=True, kw_only=True)
class SeenItem:
    """What a student reads and answers, and what the package says of the answer.

    `language` is that of its markup, a BCP 47 tag.  At most `most` options can be ticked, any
    number if it is 0; of entries, how many there are.
    `declared` is the key that the package states.  `points` holds what it is worth, by
    the name of each place that says so; `full` is what the scoring gives for the key where
    that is another number (100 of 100), else None.  `statement` is what the authors say is
    asked ("x^2 = 1 mod 8; all solutions"), "" where none is carried.

    `grade` runs the item's scoring, and may raise Unsupported, as it always does of an item on
    `paper`, which a person grades by the key; `probes` are responses that
    the scoring itself compares with.  `feedback` holds the blocks that are shown by
    circumstance, by name, each to be read when it is wanted.  `exact`: the format compares
    whole texts, so that only the spellings it lists are accepted.  `sources` are what options
    are matched with, `stages` what is filled in; the stem holds no prompt of theirs.

    `unknown` tells, with its place, whatever in its document is not read: it may hide, restyle,
    replace or load something, so an item that holds any is not judged.  `formulas` are those that
    the markup marks, with what is spoken in their stead.  `worth`: what a question on paper is
    worth as a whole, where its sheet says the rule; None where its stem must say it.
    """

    identifier: str
    language: str
    title: str
    stem: Lines
    form: Form
    options: tuple[SeenOption, ...]
    most: int
    declared: Response
    points: Mapping[str, Fraction]
    full: Fraction | None
    statement: str
    grade: Callable[[Response], Grade]
    probes: tuple[Response, ...]
    exact: bool
    feedback: Mapping[str, Read]
    paper: bool = False
    worth: Fraction | None = None
    sources: tuple[SeenOption, ...] = ()
    stages: tuple[SeenStage, ...] = ()
    unknown: Callable[[], Iterable[str]] = tuple
    formulas: Callable[[], Iterable[Formulas]] = tuple
