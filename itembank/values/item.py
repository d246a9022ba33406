"""The item: a composed question, frozen; what it asks and how it is worded, and their hashes.

An item holds all that a student, a grader or a reviewer meets, in values that
no format owns: prose and mathematics as notation trees, responses as integers
or option identifiers.  An exporter turns it into a format and computes nothing.

What a question *is* (its problem, ask, form, key, scoring, and slips by name and answer) and
where it was drawn give it its identifier, so that a mended sentence keeps its place on a
platform and in results. Each
facet that a reviewer signs has a hash of its own, over all that the facet is about: a sign-off
binds to it (AERA, APA & NCME, Standards 2014, 4.0: evidence of each step), and only what a
change touches is asked for again. `fingerprint` is the hash of everything together.
"""

import json
from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256
from typing import Literal

from itembank.notation.tree import Blocks, Inlines
from itembank.values.points import Points, plain

# ------------------------------------------------------------ responses

LARGEST_MODULUS = 2**30
"""Up to it any representative can count: no number on the way to a residue leaves 31 bits."""


Plain = int | str | bool | None | tuple["Plain", ...]
"""What a question is made of apart from its words: numbers, names, and tuples of them."""


@dataclass(frozen=True, kw_only=True)
class Option:
    """One option of a choice.  `residues` is what it claims: one residue or value, or a whole set.

    `none` marks the option "no solutions".  `slips` names the student errors that
    lead to a wrong option; a right option has none.
    """

    identifier: str
    label: Inlines
    residues: tuple[int, ...] | tuple[tuple[int, int], ...]
    correct: bool
    none: bool = False
    slips: tuple[str, ...] = ()

    @property
    def question(self) -> Plain:
        return (self.identifier, self.residues, self.correct, self.none, self.slips)


@dataclass(frozen=True, kw_only=True)
class SelectAll:
    """Tick every right option, and nothing else; options in increasing order, "none" last."""

    form = "select all"
    options: tuple[Option, ...]

    @property
    def question(self) -> Plain:
        return tuple(option.question for option in self.options)


@dataclass(frozen=True, kw_only=True)
class SelectOne:
    """Choose the one right option; the options are sets, or values, in increasing order."""

    form = "select one"
    options: tuple[Option, ...]

    @property
    def question(self) -> Plain:
        return tuple(option.question for option in self.options)


@dataclass(frozen=True, kw_only=True)
class IntegerEntry:
    """Type one integer.  If `modulus` is given every representative of value mod modulus counts.

    `others` count as well, where any of several is asked for: increasing, all above value.

    `least_stem` is then the stem for a format that can take the least residue alone, as all
    must beyond LARGEST_MODULUS.
    """

    form = "integer"
    value: int
    modulus: int | None = None
    least_stem: Blocks = ()
    others: tuple[int, ...] = ()

    @property
    def values(self) -> tuple[int, ...]:
        """All that count, increasing; of a residue the least that does."""
        return (self.value, *self.others)

    @property
    def question(self) -> Plain:
        if self.others:
            return (self.value, self.modulus, self.others)
        return (self.value, self.modulus)


@dataclass(frozen=True, kw_only=True)
class ListEntry:
    """Type the least residues in one entry, in increasing order (any order if `any_order`).

    `values` is empty when there is no solution; then the word `none_word` is to be typed.
    Commas, semicolons and spaces separate; braces and spaces are forgiven.
    """

    form = "list"
    values: tuple[int, ...]
    modulus: int
    none_word: str
    any_order: bool = False

    @property
    def question(self) -> Plain:
        return (self.values, self.modulus, self.any_order)


@dataclass(frozen=True, kw_only=True)
class SetEntry:
    """Type the solutions, one to an entry: in any order, any representative of each.

    There are `entries`, more than solutions; those to spare stay blank.  `values` are the least
    residues, increasing, at least one.
    """

    form = "set"
    values: tuple[int, ...]
    modulus: int
    entries: int

    @property
    def question(self) -> Plain:
        return (self.values, self.modulus, self.entries)


@dataclass(frozen=True, kw_only=True)
class TrueFalse:
    """Say whether a claim holds: `truth` is the right answer; the labels of yes and no."""

    form = "solvable or not"
    truth: bool
    yes: Inlines
    no: Inlines

    @property
    def question(self) -> Plain:
        return self.truth


@dataclass(frozen=True, kw_only=True)
class Choice:
    """What can be chosen, moved or matched, under a name of its own."""

    identifier: str
    label: Inlines


def _names(choices: tuple[Choice, ...]) -> Plain:
    return tuple(choice.identifier for choice in choices)


@dataclass(frozen=True, kw_only=True)
class PutInOrder:
    """Put the lines, shown in another order, in the one right order of their identifiers.

    A line that `order` does not name is spare: it does not belong, and stays out.  Where there is
    one, `not_used` is what the place of such a line is called, and `by_places` how to answer where
    each line is matched with its place.
    """

    form = "order"
    lines: tuple[Choice, ...]
    order: tuple[str, ...]
    not_used: Inlines = ()
    by_places: Blocks = ()

    @property
    def spare(self) -> tuple[str, ...]:
        """The lines that do not belong, as they are shown."""
        shown = (line.identifier for line in self.lines)
        return tuple(name for name in shown if name not in self.order)

    @property
    def question(self) -> Plain:
        return (_names(self.lines), self.order)


@dataclass(frozen=True, kw_only=True)
class MatchPairs:
    """Match each source with one target, which may serve several.

    `pairs` holds the right one for each source, in their order: "source target".
    """

    form = "match"
    sources: tuple[Choice, ...]
    targets: tuple[Choice, ...]
    pairs: tuple[str, ...]

    @property
    def question(self) -> Plain:
        return (_names(self.sources), _names(self.targets), self.pairs)


@dataclass(frozen=True, kw_only=True)
class Stage:
    """One stage of a guided question: its prompt, and what is typed or chosen there."""

    prompt: Inlines
    response: ListEntry | SelectOne


@dataclass(frozen=True, kw_only=True)
class Guided:
    """Stages that lead to the answer, each with a response of its own, none told by another."""

    form = "guided"
    stages: tuple[Stage, ...]

    @property
    def question(self) -> Plain:
        return tuple((s.response.form, s.response.question) for s in self.stages)


Response = (
    SelectAll
    | SelectOne
    | IntegerEntry
    | ListEntry
    | SetEntry
    | TrueFalse
    | PutInOrder
    | MatchPairs
    | Guided
)

# ------------------------------------------------------------ scoring, feedback


@dataclass(frozen=True, kw_only=True)
class Scoring:
    """`points` for the key.

    all or nothing: anything else scores 0.
    plus minus: SelectAll only; each right tick +1, each wrong tick -1, not below 0,
    scaled so that the key scores `points` (which must then be the number of right options).
    by stage: Guided only; 1 for each stage that is right (`points` is their number).
    All or nothing may count halves; the others count whole points.
    """

    rule: Literal["all or nothing", "plus minus", "by stage"] = "all or nothing"
    points: Points = 1


@dataclass(frozen=True, kw_only=True)
class SlipFeedback:
    """What a student reads who answered as these slips would; it never prints the key.

    `response` in the form's own terms: option identifiers (SelectAll: exactly the ticked
    ones; SelectOne, TrueFalse: the one chosen, TrueFalse "true" or "false"), or the integers
    typed (IntegerEntry: one; ListEntry, SetEntry: all, increasing; () for "no solutions").
    PutInOrder: the identifiers of the lines that were used, as they were put; MatchPairs: a pair
    for each source; Guided: a text for each stage, "" for the stages in which nothing went wrong.
    """

    slips: tuple[str, ...]
    response: tuple[str, ...] | tuple[int, ...]
    text: Blocks


# ------------------------------------------------------------ the item


@dataclass(frozen=True, kw_only=True)
class Provenance:
    """Where an item comes from; with the tool's version it draws the same variant again."""

    family: str
    version: int
    seed: str
    index: int

    @property
    def stream(self) -> str:
        """The name of what it was drawn from."""
        return f"{self.family}/v{self.version}/{self.seed}"


@dataclass(frozen=True, kw_only=True)
class Item:
    """A question complete.

    statement: the mathematics in plain notation, one line each; it parses back.
    ask: "all solutions", "how many", ... (itembank.values.vocabulary.ASKS).
    stem: what the student reads, up to the response; spoken: the same in words.
    otherwise: what is said to a wrong answer to which no slip leads; () where there is none.
    right: what is said to a right answer, before the worked solution; () for nothing.
    formal: the question in the words of its kind, where a story stands in its place in the stem;
    for reviewers alone. () where the stem puts it.
    solution: the worked solution, shown after the attempt (general feedback).
    outcomes: course outcome ids; level: a LOM difficulty word; steps: measured effort.
    plain: the same question in the form that stands in where a format cannot carry this one.
    edition: the language, where it is not the first of its pool; it ends the identifier then,
    so that two packages never meet on one platform.
    """

    title: str
    statement: tuple[str, ...]
    kind: str
    ask: str
    stem: Blocks
    spoken: str
    response: Response
    scoring: Scoring
    feedback: tuple[SlipFeedback, ...]
    solution: Blocks
    outcomes: tuple[str, ...]
    level: str
    steps: int
    language: str
    provenance: Provenance
    plain: "Item | None" = None
    edition: str = ""
    otherwise: Blocks = ()
    right: Blocks = ()
    formal: Blocks = ()

    @property
    def question(self) -> Plain:
        """What the question is, whatever its words: what its identifier is made of."""
        return (
            self.statement,
            self.kind,
            self.ask,
            (self.response.form, self.response.question),
            (self.scoring.rule, plain(self.scoring.points)),
            tuple((slip.slips, self._without_words(slip.response)) for slip in self.feedback),
            self.plain.question if self.plain else None,
        )

    def _without_words(self, response: tuple[Plain, ...]) -> Plain:
        """A response of a stage by stage question, the word for no solution as in no language."""
        if not isinstance(self.response, Guided):
            return response
        typed = [s.response for s in self.response.stages if isinstance(s.response, ListEntry)]
        none = {entry.none_word for entry in typed}
        return tuple("none" if text in none else text for text in response)

    @cached_property
    def fingerprint(self) -> str:
        """SHA-256 (hexadecimal) of everything above."""
        from itembank.values.codec import written

        return sha256(written(self)).hexdigest()

    @cached_property
    def facets(self) -> dict[str, str]:
        """For each facet that a reviewer signs, the hash of what it is about."""
        from itembank.values.codec import written

        labels = self.response, self.plain.response if self.plain else None
        about: dict[str, tuple[object, ...]] = {
            "key": (self.question,),
            "wording": (
                self.language, self.title, self.stem, labels, self.solution,
                self.outcomes, self.level, self.steps,
                self.plain.stem if self.plain else None,
                *((self.formal,) if self.formal else ()),
            ),
            "distractors and feedback": (
                labels, self.feedback, self.plain and self.plain.feedback,
                *((self.otherwise, self.plain and self.plain.otherwise) if self.otherwise else ()),
                *((self.right, self.plain and self.plain.right) if self.right else ()),
            ),
            "accessibility": (self.stem, self.spoken),
        }  # fmt: skip
        return {name: sha256(written(parts)).hexdigest() for name, parts in about.items()}

    @cached_property
    def identifier(self) -> str:
        """A name for this question in any package: valid as xs:ID, 's' for stable.

        It holds where the question was drawn, so that one that comes again after its rest does
        not meet that of an earlier term on the platform, nor its results.
        """
        drawn = self.provenance
        asked = (self.question, drawn.family, drawn.version, drawn.seed, drawn.index)
        name = "item-" + sha256(canonical(asked)).hexdigest()[:16]
        return f"{name}-{self.edition}" if self.edition else name


def canonical(value: object) -> bytes:
    """Plain values, each in its place, as JSON in UTF-8.

    TypeError for sets, fractions and the like; a float has no place in an item.
    """
    return _CANONICAL.encode(value).encode()


def _refused(node: object) -> object:
    raise TypeError(f"no canonical form for {type(node).__name__}")


_CANONICAL = json.JSONEncoder(
    default=_refused, ensure_ascii=False, separators=(",", ":"), check_circular=False
)
