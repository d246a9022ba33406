"""Questions in parts as one item of QTI 2.x or 3.0: what its versions have in common.

What is told before the parts stands once, then a block for each part: its stem and its fields.
A part keeps whatever it has as an item alone, fields, key, scoring and feedback, under names that
end with its letter (RESPONSE_a, SCORE_a, FEEDBACK_a), so that it is scored as if it stood alone.
SCORE is the sum of what the parts score; where a part counts a half it is looked up in a table of
all that they can score, since one reader writes computed fractions in the manner of its country.
Feedback begins with the letter of its part.

Some rows stay items in their order: where that table would be long, where parts are weighed
otherwise in a test than each says, and where their scenarios differ.  So do all in the plain
profile, which is read by platforms that take one interaction an item.

Source: IMS Question & Test Interoperability Assessment Test, Section and Item Information Model
2.1: 6 (composite items), 7.2 (identifiers of choices and of variables: each once in an item).
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from math import prod
from string import ascii_lowercase

from exporters.census import Census, Passed
from exporters.package import Deflated
from exporters.release import Group, Release, Together
from itembank.languages import Speaker, say
from itembank.notation.elements import Attributes, Child, Element, Maker
from itembank.notation.tree import Blocks
from itembank.values.item import Item
from itembank.values.parts import name_of_all, whole_of
from itembank.values.points import Points, points
from itembank.values.vocabulary import LEVELS

Piece = tuple[Deflated, bytes]
"""The document of an item, and its resource in the manifest."""

IN_ONE = say("question in parts")
"""What the load card counts such an item as."""


_MOST = 64
"""The most rows of a table of scores: six parts that are right or wrong."""


@dataclass(frozen=True)
class Part:
    """A part of a question: its item, and what is read in its own block."""

    letter: str
    item: Item
    own: Blocks


@dataclass(frozen=True)
class Whole:
    """A variant in parts, to be written as one item; common: what is read before the parts."""

    common: Blocks
    parts: tuple[Part, ...]

    @property
    def items(self) -> tuple[Item, ...]:
        return tuple(part.item for part in self.parts)

    @property
    def identifier(self) -> str:
        return name_of_all([item.identifier for item in self.items])

    @property
    def title(self) -> str:
        first = self.parts[0]
        return first.item.title.removesuffix(f" ({first.letter})")

    @property
    def language(self) -> str:
        return self.items[0].language

    @property
    def points(self) -> Points:
        return points(sum(item.scoring.points for item in self.items))

    @property
    def in_halves(self) -> bool:
        """Whether a part counts a half, so that scores are looked up and not added."""
        return any(not isinstance(item.scoring.points, int) for item in self.items)

    @property
    def table(self) -> Iterator[tuple[tuple[Points, ...], Points]]:
        """What the parts can score, and what that is together; without nothing at all."""
        for scores in product(*map(_levels, self.items)):
            if any(scores):
                yield scores, points(sum(scores))

    @property
    def level(self) -> str:
        """That of its hardest part."""
        return max((item.level for item in self.items), key=LEVELS.index)

    @property
    def outcomes(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(o for item in self.items for o in item.outcomes))

    @property
    def version(self) -> str:
        """Its family and the version of that."""
        origin = self.items[0].provenance
        return f"{whole_of(origin.family)} version {origin.version}"


def _may_be_one(release: Release, groups: Together) -> bool:
    """Whether the variants of these groups can be one item each; see `whole` for a variant."""
    counted = [group.points for group in groups.groups]
    return release.in_one and len(counted) > 1 and all(n > 0 for n in counted)


def _levels(item: Item) -> Sequence[Points]:
    """What an item can score, the least first."""
    most = item.scoring.points
    if item.scoring.rule == "all or nothing":
        return (0, most)
    return range(int(most) + 1)


Row = Sequence[tuple[Group, Passed, Item]]


def whole(row: Row, stem_of: Callable[[Item], Blocks]) -> Whole | None:
    """The parts of a variant as one item; None where they stay items in their order."""
    if any(group.points != passed.points for group, passed, _item in row):
        return None
    found = [
        (letter, item, _halved(stem_of(item), letter, len(row), item.language))
        for letter, (_group, _passed, item) in zip(ascii_lowercase, row, strict=False)
    ]
    if None in (stem for _letter, _item, stem in found):
        return None
    commons = {stem[0] for _letter, _item, stem in found if stem}
    if len(commons) != 1:
        return None
    parts = tuple(Part(letter, item, stem[1]) for letter, item, stem in found if stem)
    one = Whole(commons.pop(), parts)
    return None if one.in_halves and prod(len(_levels(i)) for i in one.items) > _MOST else one


def _halved(stem: Blocks, letter: str, n: int, language: str) -> tuple[Blocks, Blocks] | None:
    """A stem before its words on which part it is, and from these on; None without them."""
    (named,) = Speaker(language).blocks((say("Part ({part}) of {n}.", part=letter, n=n),))
    if named not in stem:
        return None
    at = stem.index(named)
    return stem[:at], stem[at:]


# ------------------------------------------------------------ the rows of a package


@dataclass(frozen=True)
class Writer:
    """How a format writes an item, and the parts of a variant as one; the stem that it shows."""

    item: Callable[[Item], Piece]
    whole: Callable[[Whole], Piece]
    stem_of: Callable[[Item], Blocks]


def rows(
    census: Census, release: Release, groups: Together, writer: Writer
) -> Iterator[tuple[tuple[str, int, Piece], ...]]:
    """A row for each variant: the identifier, the weight in a test and the piece of each item.

    Where a variant can be one item its parts are put together here, and not in other processes.
    """
    if not _may_be_one(release, groups):
        for row in census.of_all(groups, lambda _group: writer.item):
            yield tuple((p.identifier, g.points // p.points, piece) for g, p, piece in row)
        return
    for parts in census.of_all(groups, lambda _group: _itself):
        if found := whole(parts, writer.stem_of):
            census.count_as_one([(group, passed) for group, passed, _item in parts], IN_ONE)
            yield ((found.identifier, 1, writer.whole(found)),)
        else:
            yield tuple(
                (p.identifier, g.points // p.points, writer.item(item)) for g, p, item in parts
            )


def _itself(item: Item) -> Item:
    return item


# ------------------------------------------------------------ the item

Alone = Callable[[Item, Blocks], Element]
"""A part as an item alone, with this stem."""


def joined(
    whole: Whole,
    alone: Alone,
    q: Maker,
    *,
    common: Sequence[Element],
    scores: Sequence[Element],
    total: Element,
) -> Element:
    """The item of all parts, made of each as an item alone.

    common: what is read before the parts; scores: the declarations of SCORE and MAXSCORE of all;
    total: the rule that sets SCORE when each part has been scored.
    """
    found: dict[str, list[Child]] = {}
    tags: dict[str, str] = {}
    head: Attributes = {}
    for part in whole.parts:
        namespace, name, content = alone(part.item, part.own)
        attributes, inside = _taken_apart(content)
        head = head or attributes
        for child in inside:
            kind = _bare(child[1])
            tags[kind] = child[1]
            found.setdefault(kind, []).extend(_of_kind(kind, child, part, attributes, q))
    told = {key: value for key, value in head.items() if key != "label"}
    named = {**told, "identifier": whole.identifier, "title": whole.title}
    return (
        namespace,
        name,
        (
            named,
            *found["responsedeclaration"],
            *scores,
            *found["outcomedeclaration"],
            q(tags["itembody"], *common, *found["itembody"]),
            q(tags["responseprocessing"], *found["responseprocessing"], total),
            *found["modalfeedback"],
        ),
    )


def _of_kind(kind: str, child: Child, part: Part, attributes: Attributes, q: Maker) -> list[Child]:
    """What the item of all parts holds of one child of a part alone: its body is a block."""
    assert isinstance(child, tuple)
    letter = part.letter
    if kind == "modalfeedback":
        return [_of_part(child, letter, q)]
    named = _lettered(child, letter)
    if kind == "responseprocessing":
        return _taken_apart(named[2])[1]
    if kind != "itembody":
        return [named]
    label = {key: value for key, value in attributes.items() if key == "label"}
    block = {"class": "part", "id": attributes["identifier"], **label}
    return [q("div", block, *_taken_apart(named[2])[1])]


# ------------------------------------------------------------ names that end with a letter

_VARIABLES = frozenset([
    "responsedeclaration", "outcomedeclaration", "variable", "correct", "mapresponse",
    "setoutcomevalue",
])  # fmt: skip
_CHOICES = frozenset(["simplechoice", "simpleassociablechoice", "inlinechoice"])
_REFERENCES = frozenset(["responseidentifier", "outcomeidentifier", "mapkey"])
_NAMES = frozenset(["identifier", "directedPair"])
"""The base types whose values are names of choices."""


def _bare(name: str) -> str:
    """A name of 2.x or of 3.0 in one spelling.

    >>> _bare("setOutcomeValue"), _bare("qti-set-outcome-value")
    ('setoutcomevalue', 'setoutcomevalue')
    """
    return name.removeprefix("qti-").replace("-", "").lower()


def _lettered(element: Element, letter: str, above: str = "", base: str = "") -> Element:
    """The element with the letter behind each name of a variable and of a choice.

    above: the name of the element that it stands in.  base: the base type of the values there.
    """
    namespace, tag, content = element
    name = _bare(tag)
    attributes, inside = _taken_apart(content)
    named = {
        key: f"{value}_{letter}" if _names(name, _bare(key)) else value
        for key, value in attributes.items()
    }
    types = {value for key, value in attributes.items() if _bare(key) == "basetype"}
    base = types.pop() if types else base
    if base in _NAMES and _is_choice(name, above):
        inside = [" ".join(f"{one}_{letter}" for one in str(text).split()) for text in inside]
    children: Iterable[Child] = (
        _lettered(child, letter, name, base)
        if isinstance(child, tuple) and child[0] == namespace
        else child
        for child in inside
    )
    return namespace, tag, (named, *children) if named else tuple(children)


def _taken_apart(content: tuple[Child | Attributes, ...]) -> tuple[Attributes, list[Child]]:
    """The attributes of an element, and what is inside it."""
    attributes: Attributes = {}
    inside: list[Child] = []
    for one in content:
        if isinstance(one, dict):
            attributes = one
        else:
            inside.append(one)
    return attributes, inside


def _names(element: str, attribute: str) -> bool:
    """Whether an attribute holds the name of a variable or of a choice."""
    return attribute in _REFERENCES or (
        attribute == "identifier" and (element in _VARIABLES or element in _CHOICES)
    )


def _is_choice(element: str, above: str) -> bool:
    """Whether an element holds the name of a choice, and not that of a feedback to be shown."""
    return element == "value" or (element == "basevalue" and above != "setoutcomevalue")


def _of_part(feedback: Element, letter: str, q: Maker) -> Element:
    """Feedback that begins with the letter of its part, under the name of the part's outcome."""
    namespace, tag, content = feedback
    attributes, inside = _taken_apart(content)
    named = {
        k: f"{v}_{letter}" if _names(_bare(tag), _bare(k)) else v for k, v in attributes.items()
    }
    mark = q("p", q("strong", f"({letter})"))
    match inside:
        case [(str(space), "qti-content-body", text)]:
            inside = [(space, "qti-content-body", (mark, *text))]
        case _:
            inside = [mark, *inside]
    return namespace, tag, (named, *inside)
