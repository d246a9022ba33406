"""How a QTI 2.x item declares its response, and how it decides what was answered.

Written in the forms that readers of the standard grade alike: isNull first; in
`equal` the constant first, in `match` the response; anchored patterns;
((x mod n) + n) mod n, since readers differ on the remainder of a negative
number; no integer beyond 2^31 - 1; scores are constants or counts.  Where one integer
is right, or a list is, what was typed is compared as text: of "3,", "3.5" and "8abc"
several readers take the integer that it begins with.  Anything typed may have a plus
sign and leading zeros, whatever the modulus.

Source: IMS Question & Test Interoperability Assessment Test, Section and Item
Information Model, version 2.1: response processing and expressions.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import permutations

from exporters.census import refusal
from exporters.keys import key
from itembank.forms.base import Key
from itembank.forms.guided import right_text
from itembank.forms.list import values_of
from itembank.notation.elements import Element, Maker
from itembank.notation.tree import Blocks
from itembank.values.item import (
    LARGEST_MODULUS,
    Guided,
    IntegerEntry,
    Item,
    ListEntry,
    MatchPairs,
    PutInOrder,
    Response,
    SelectAll,
    SelectOne,
    SetEntry,
    SlipFeedback,
    Stage,
    TrueFalse,
)
from itembank.values.points import decimal
from itembank.values.worded import worded

RESPONSE = "RESPONSE"

FEW = 4
"""The longest list that is accepted in any order: 24 orders, each an alternative."""

_BLANK = "[\\s\N{NO-BREAK SPACE}]"
"""A blank: in some readers \\s is no no-break space, as pasted text may hold.

One class, not two alternatives: a reader to which it is both would try either for each blank,
and be held up by a long row of them.
"""

_BETWEEN = f"({_BLANK}*[,;]{_BLANK}*|{_BLANK}+)"
"""What may stand between two entries of a list."""

_SPECIAL = frozenset(r"\^$.|?*+()[]{}-")
"""The characters that mean something in a pattern (XML Schema 1.0, part 2, appendix F)."""


def base_type(item: Item) -> str:
    """The base type of the item's response variable, where it has one."""
    match item.response:
        case IntegerEntry(modulus=int(n)) if n <= LARGEST_MODULUS:
            return "integer"
        case SetEntry():
            return "integer"
        case IntegerEntry() | ListEntry():
            return "string"
        case MatchPairs():
            return "directedPair"
        case _:
            return "identifier"


@dataclass(frozen=True)
class Variable:
    """A response variable: its base type, and its right value, none for an entry to spare."""

    name: str
    cardinality: str
    base: str
    correct: tuple[str, ...]


def response_names(response: Response) -> tuple[str, ...]:
    """The identifiers of the response variables: one, or one an entry or a stage."""
    match response:
        case SetEntry(entries=n):
            return tuple(f"{RESPONSE}_{i}" for i in range(1, n + 1))
        case Guided(stages=stages):
            return tuple(f"{RESPONSE}_{i}" for i in range(1, len(stages) + 1))
        case _:
            return (RESPONSE,)


def variables(item: Item) -> list[Variable]:
    """The response variables; of several entries each has one value of the key, or none."""
    response, names = item.response, response_names(item.response)
    match response:
        case SetEntry(values=values):
            correct = [(str(v),) for v in values] + [()] * (len(names) - len(values))
            return [
                Variable(n, "single", "integer", c) for n, c in zip(names, correct, strict=True)
            ]
        case Guided(stages=stages):
            return [
                Variable(name, "single", _stage_type(stage), (right_text(stage.response),))
                for name, stage in zip(names, stages, strict=True)
            ]
        case ListEntry():
            return [Variable(RESPONSE, "single", "string", (right_text(response),))]
    cardinality = {SelectAll: "multiple", MatchPairs: "multiple", PutInOrder: "ordered"}
    right = tuple(map(str, key(response)))
    if isinstance(response, IntegerEntry):
        right = right[:1]  # of several that count a single response holds one
    return [Variable(RESPONSE, cardinality.get(type(response), "single"), base_type(item), right)]


def _stage_type(stage: Stage) -> str:
    return "string" if isinstance(stage.response, ListEntry) else "identifier"


def response_declarations(item: Item, q: Maker) -> list[Element]:
    return [
        q(
            "responseDeclaration",
            {"identifier": v.name, "cardinality": v.cardinality, "baseType": v.base},
            *([q("correctResponse", *(q("value", c) for c in v.correct))] if v.correct else []),
            *_mapping(item, q),
        )
        for v in variables(item)
    ]


def _mapping(item: Item, q: Maker) -> list[Element]:
    """Plus minus: 1 for each right tick, -1 for each wrong one, not below 0."""
    response = item.response
    if item.scoring.rule != "plus minus" or not isinstance(response, SelectAll):
        return []
    entries = (
        q(
            "mapEntry",
            {
                "mapKey": option.identifier,
                "mappedValue": "1" if option.correct else "-1",
                "caseSensitive": "true",
            },
        )
        for option in response.options
    )
    bounds = {"lowerBound": "0", "upperBound": decimal(item.scoring.points), "defaultValue": "0"}
    return [q("mapping", bounds, *entries)]


# ------------------------------------------------------------ processing


def response_processing(item: Item, q: Maker) -> Element:
    """Score the response, name the slip it shows, and then show the worked solution."""
    if isinstance(item.response, Guided):
        judged = _scored_by_stage(item, item.response, q)
    else:
        judged = [_scored(item, q), *_slip_named(item, q)]
    solution = _set_outcome(q, "SOLUTION", constant(q, "identifier", "worked"))
    return q("responseProcessing", *judged, solution)


def _scored_by_stage(item: Item, response: Guided, q: Maker) -> list[Element]:
    """SCORE: the sum over the stages, the last judged first, so that the first slip is named."""
    names = response_names(response)
    outcomes = score_names(response)
    none = _feedback_named(q, "none")
    otherwise = [_feedback_named(q, OTHERWISE)] if item.otherwise else []

    def judged(i: int) -> Element:
        stage = response.stages[i]

        def worth(points: str) -> Element:
            return _set_outcome(q, outcomes[i], constant(q, "float", points))

        slips = (
            q(
                "responseElseIf",
                _answered_in(stage, names[i], slip.response[i], q),
                worth("0"),
                _set_outcome(q, "FEEDBACK", constant(q, "identifier", slip_name(n))),
            )
            for n, slip in enumerate(item.feedback, 1)
            if slip.response[i]
        )
        return q(
            "responseCondition",
            q("responseIf", q("isNull", variable(q, names[i])), worth("0")),
            q(
                "responseElseIf",
                _answered_in(stage, names[i], right_text(stage.response), q),
                worth("1"),
            ),
            *slips,
            q("responseElse", worth("0"), *otherwise),
        )

    return [
        *([none] if says_more(item) else []),
        *map(judged, reversed(range(len(names)))),
        _set_outcome(q, "SCORE", q("sum", *(variable(q, name) for name in outcomes))),
    ]


def score_names(response: Response) -> tuple[str, ...]:
    """The outcomes that hold what each stage scores; none without stages."""
    stages = response.stages if isinstance(response, Guided) else ()
    return tuple(f"SCORE_{i}" for i in range(1, len(stages) + 1))


def _answered_in(stage: Stage, name: str, text: object, q: Maker) -> Element:
    """The condition that this is what was given in a stage."""
    response = stage.response
    if isinstance(response, ListEntry):
        pattern = list_pattern(values_of(response, str(text)), response)
        return _pattern_match(q, anchored(pattern), name)
    return q("match", variable(q, name), constant(q, "identifier", str(text)))


def _scored(item: Item, q: Maker) -> Element:
    """SCORE: 0 for no response, then by the item's rule."""
    nothing = _set_outcome(q, "SCORE", constant(q, "float", "0"))
    unanswered = q("responseIf", _no_response(item, q), nothing)
    if item.scoring.rule == "plus minus":
        ticks = q("mapResponse", {"identifier": RESPONSE})
        return q(
            "responseCondition",
            unanswered,
            q("responseElse", _set_outcome(q, "SCORE", ticks)),
        )
    full = _set_outcome(q, "SCORE", constant(q, "float", decimal(item.scoring.points)))
    return q(
        "responseCondition",
        unanswered,
        q("responseElseIf", _right(item, q), full),
        q("responseElse", nothing),
    )


def _slip_named(item: Item, q: Maker) -> list[Element]:
    """FEEDBACK: the slip whose answer this is, else OTHERWISE for a wrong one; or "none"."""
    if not says_more(item):
        return []
    none = _feedback_named(q, "none")
    said = _feedback_named(q, RIGHT) if item.right else none
    right_too = q("responseElseIf", _right(item, q), said)
    return [
        q(
            "responseCondition",
            q("responseIf", _no_response(item, q), none),
            *([right_too] if item.otherwise or item.right else []),
            *(
                q(
                    "responseElseIf",
                    _slipped(item, n, slip, q),
                    _set_outcome(q, "FEEDBACK", constant(q, "identifier", slip_name(n))),
                )
                for n, slip in enumerate(item.feedback, 1)
            ),
            q("responseElse", _feedback_named(q, OTHERWISE) if item.otherwise else none),
        )
    ]


OTHERWISE = "otherwise"
"""The feedback to a wrong answer to which no slip leads."""


RIGHT = "right"
"""The feedback to a right answer."""


def says_more(item: Item) -> bool:
    """Whether any answer has feedback beside the worked solution."""
    return bool(item.feedback or item.otherwise or item.right)


def feedback_texts(item: Item) -> Iterator[tuple[str, Blocks]]:
    """Each feedback to some answers, by its name."""
    yield from ((slip_name(n), slip.text) for n, slip in enumerate(item.feedback, 1))
    if item.otherwise:
        yield OTHERWISE, item.otherwise
    if item.right:
        yield RIGHT, item.right


def _feedback_named(q: Maker, name: str) -> Element:
    return _set_outcome(q, "FEEDBACK", constant(q, "identifier", name))


def slip_name(n: int) -> str:
    return f"slip-{n}"


def _slipped(item: Item, n: int, slip: SlipFeedback, q: Maker) -> Element:
    """The condition that the response is the answer of the slip with this number."""
    if isinstance(item.response, MatchPairs):
        return q("match", variable(q), variable(q, slip_outcome(n)))
    return _answered(item, slip.response, q)


def slip_outcome(n: int) -> str:
    """The outcome that holds the pairs of a slip: one reader shows constant pairs to students."""
    return f"SLIP_{n}"


def pairs_of_slips(item: Item) -> list[tuple[str, tuple[str, ...]]]:
    """The outcomes that hold the pairs of slips, with their values."""
    if not isinstance(item.response, MatchPairs):
        return []
    slips = enumerate(item.feedback, 1)
    return [(slip_outcome(n), tuple(map(str, slip.response))) for n, slip in slips]


def _set_outcome(q: Maker, identifier: str, value: Element) -> Element:
    return q("setOutcomeValue", {"identifier": identifier}, value)


# ------------------------------------------------------------ conditions


def _right(item: Item, q: Maker) -> Element:
    """The condition that the response is the key; of a choice, as correctResponse holds it."""
    if base_type(item) in ("identifier", "directedPair"):
        return q("match", variable(q), q("correct", {"identifier": RESPONSE}))
    return _answered(item, key(item.response), q)


def _no_response(item: Item, q: Maker) -> Element:
    """The condition that nothing was answered."""
    blanks = [q("isNull", variable(q, name)) for name in response_names(item.response)]
    return blanks[0] if len(blanks) == 1 else q("and", *blanks)


def _answered(item: Item, answer: Key, q: Maker) -> Element:
    """The condition that the response is exactly this answer."""
    response = item.response
    match response:
        case SelectAll():
            ticked = (constant(q, "identifier", str(a)) for a in answer)
            return q("match", variable(q), q("multiple", *ticked))
        case SelectOne() | TrueFalse():
            (chosen,) = answer
            return q("match", variable(q), constant(q, "identifier", str(chosen)))
        case IntegerEntry(modulus=int(m)) if base_type(item) == "integer":
            (n,) = answer
            constant_first = constant(q, "integer", str(n)), _residue(q, m)
            return q("equal", {"toleranceMode": "exact"}, *constant_first)
        case IntegerEntry():
            return _pattern_match(q, anchored(any_integer(map(int, answer))))
        case ListEntry():
            values = tuple(int(n) for n in answer)
            return _pattern_match(q, anchored(list_pattern(values, response)))
        case SetEntry():
            return _entered(response, tuple(int(n) for n in answer), q)
        case PutInOrder():
            placed = (constant(q, "identifier", str(a)) for a in answer)
            return q("match", variable(q), q("ordered", *placed))
        case MatchPairs() | Guided():
            raise AssertionError("pairs and stages are compared otherwise")


def _entered(response: SetEntry, values: tuple[int, ...], q: Maker) -> Element:
    """The condition that every value stands in some entry, and nothing else in any.

    No alternative is NULL for an entry left blank: one reader ends `or` at its first NULL.
    """
    names = response_names(response)

    def holds(name: str, value: int) -> Element:
        constant_first = constant(q, "integer", str(value)), _residue(q, response.modulus, name)
        return q(
            "and",
            q("not", q("isNull", variable(q, name))),
            q("equal", {"toleranceMode": "exact"}, *constant_first),
        )

    return q(
        "and",
        *(q("or", *(holds(name, value) for name in names)) for value in values),
        *(
            q("or", q("isNull", variable(q, name)), *(holds(name, value) for value in values))
            for name in names
        ),
    )


def variable(q: Maker, name: str = RESPONSE) -> Element:
    return q("variable", {"identifier": name})


def constant(q: Maker, base_type: str, value: str) -> Element:
    return q("baseValue", {"baseType": base_type}, value)


def _residue(q: Maker, n: int, name: str = RESPONSE) -> Element:
    """The least non-negative residue of the response modulo n, in every reader."""
    modulus = constant(q, "integer", str(n))
    remainder = q("integerModulus", variable(q, name), modulus)
    return q("integerModulus", q("sum", remainder, modulus), modulus)


def _pattern_match(q: Maker, pattern: str, name: str = RESPONSE) -> Element:
    return q("patternMatch", {"pattern": pattern}, variable(q, name))


# ------------------------------------------------------------ patterns


def anchored(pattern: str) -> str:
    """The pattern for the whole entry; one reader does not anchor of its own."""
    return rf"^{_BLANK}*{pattern}{_BLANK}*$"


def _integer_pattern(n: int) -> str:
    """The integer in decimal, also with leading zeros and a plus sign; of minus both signs.

    >>> [_integer_pattern(n) for n in (12, -12, 0)]
    ['[+]?0*12', '[-−]0*12', '[-+−]?0+']
    """
    if n == 0:
        return "[-+\N{MINUS SIGN}]?0+"
    return f"[+]?0*{n}" if n > 0 else f"[-\N{MINUS SIGN}]0*{-n}"


def any_integer(values: Iterable[int]) -> str:
    """One of the integers.

    >>> any_integer([3, 5])
    '([+]?0*3|[+]?0*5)'
    """
    patterns = [_integer_pattern(n) for n in values]
    return patterns[0] if len(patterns) == 1 else f"({'|'.join(patterns)})"


def list_pattern(values: tuple[int, ...], entry: ListEntry) -> str:
    """The list in braces or without; in any order if the entry allows it and it is short.

    >>> pattern = list_pattern((3, 9), ListEntry(values=(3, 9), modulus=15, none_word="none"))
    >>> pattern.replace(_BLANK, "_")
    '[{]?_*[+]?0*3(_*[,;]_*|_+)[+]?0*9_*[}]?'
    """
    if not values:
        return _word_pattern(entry.none_word)
    orders = [values]
    if entry.any_order and 1 < len(values) <= FEW:
        orders = list(permutations(values))
    lists = [_BETWEEN.join(map(_integer_pattern, order)) for order in orders]
    alternatives = lists[0] if len(lists) == 1 else f"({'|'.join(lists)})"
    return f"[{{]?{_BLANK}*{alternatives}{_BLANK}*[}}]?"


def _word_pattern(words: str) -> str:
    """The words in capitals or small letters; any blanks between two."""
    return f"{_BLANK}+".join("".join(map(_letter_pattern, word)) for word in words.split())


def _letter_pattern(c: str) -> str:
    if c in _SPECIAL:
        return f"\\{c}"
    small, capital = c.lower(), c.upper()
    return c if small == capital or len(small + capital) != 2 else f"[{capital}{small}]"


# ------------------------------------------------------------ refusals


def refuse_long_sets(item: Item) -> None:
    """ExportError for a list in any order that is too long for a pattern of each order."""
    response = item.response
    if isinstance(response, ListEntry) and response.any_order and len(response.values) > FEW:
        raise refusal(
            worded("a list of {n} values in any order", n=len(response.values)),
            worded("ask for increasing order, or use select all"),
        )
