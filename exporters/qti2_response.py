"""How a QTI 2.x item declares its response, and how it decides what was answered.

Written in the forms that readers of the standard grade alike: isNull first; in
`equal` the constant first, in `match` the response; anchored patterns;
((x mod n) + n) mod n, since readers differ on the remainder of a negative
number; no integer beyond 2^31 - 1; scores are constants or counts.

Source: IMS Question & Test Interoperability Assessment Test, Section and Item
Information Model, version 2.1: response processing and expressions.
"""

from collections.abc import Iterable
from itertools import permutations

from exporters.census import Answer, key, refusal
from itembank.item import (
    IntegerEntry,
    Item,
    ListEntry,
    Response,
    SelectAll,
    SelectOne,
    SetEntry,
    TrueFalse,
)
from itembank.notation.elements import Element, Maker

RESPONSE = "RESPONSE"

LARGEST = 2**31 - 1
"""The largest integer that readers load as one."""

FEW = 4
"""The longest list that is accepted in any order: 24 orders, each an alternative."""

BETWEEN = r"(\s*[,;]\s*|\s+)"
"""What may stand between two entries of a list."""

SPECIAL = frozenset(r"\^$.|?*+()[]{}-")
"""The characters that mean something in a pattern (XML Schema 1.0, part 2, appendix F)."""


def base_type(item: Item) -> str:
    """The base type of the item's response variable."""
    match item.response:
        case IntegerEntry(modulus=modulus):
            return "integer" if loads(integers(item), modulus) else "string"
        case SetEntry():
            return "integer"
        case ListEntry():
            return "string"
        case _:
            return "identifier"


def integers(item: Item) -> tuple[int, ...]:
    """The integers that an integer entry is compared with: the key and every slip's."""
    answers = (key(item.response), *(slip.response for slip in item.feedback))
    return tuple(int(n) for answer in answers for n in answer)


def loads(values: Iterable[int], modulus: int | None) -> bool:
    """Whether readers load these values and all that `residue` passes through, up to 2n - 1."""
    return max(map(abs, values)) <= LARGEST and (modulus is None or 2 * modulus - 1 <= LARGEST)


def response_names(response: Response) -> tuple[str, ...]:
    """The identifiers of the response variables: one, or one an entry."""
    if isinstance(response, SetEntry):
        return tuple(f"{RESPONSE}_{n}" for n in range(1, response.entries + 1))
    return (RESPONSE,)


def response_declarations(item: Item, q: Maker) -> list[Element]:
    """Of several entries each has one value of the key, and those to spare have none."""
    if isinstance(item.response, SetEntry):
        values = item.response.values
        return [
            q(
                "responseDeclaration",
                {"identifier": name, "cardinality": "single", "baseType": "integer"},
                *(q("correctResponse", q("value", str(v))) for v in values[i : i + 1]),
            )
            for i, name in enumerate(response_names(item.response))
        ]
    cardinality = "multiple" if isinstance(item.response, SelectAll) else "single"
    return [
        q(
            "responseDeclaration",
            {"identifier": RESPONSE, "cardinality": cardinality, "baseType": base_type(item)},
            q("correctResponse", *(q("value", v) for v in correct_values(item.response))),
            *mapping(item, q),
        )
    ]


def correct_values(response: Response) -> list[str]:
    """The values of correctResponse: of a list one, as a student would type it."""
    if isinstance(response, ListEntry):
        return [", ".join(map(str, response.values)) or response.none_word]
    return [str(v) for v in key(response)]


def mapping(item: Item, q: Maker) -> list[Element]:
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
    bounds = {"lowerBound": "0", "upperBound": str(item.scoring.points), "defaultValue": "0"}
    return [q("mapping", bounds, *entries)]


# ------------------------------------------------------------ processing


def response_processing(item: Item, q: Maker) -> Element:
    """Score the response, name the slip it shows, and then show the worked solution."""
    return q(
        "responseProcessing",
        scored(item, q),
        *slip_named(item, q),
        set_outcome(q, "SOLUTION", constant(q, "identifier", "worked")),
    )


def scored(item: Item, q: Maker) -> Element:
    """SCORE: 0 for no response, then by the item's rule."""
    nothing = set_outcome(q, "SCORE", constant(q, "float", "0"))
    unanswered = q("responseIf", no_response(item, q), nothing)
    if item.scoring.rule == "plus minus":
        ticks = q("mapResponse", {"identifier": RESPONSE})
        return q(
            "responseCondition",
            unanswered,
            q("responseElse", set_outcome(q, "SCORE", ticks)),
        )
    full = set_outcome(q, "SCORE", constant(q, "float", str(item.scoring.points)))
    return q(
        "responseCondition",
        unanswered,
        q("responseElseIf", right(item, q), full),
        q("responseElse", nothing),
    )


def slip_named(item: Item, q: Maker) -> list[Element]:
    """FEEDBACK: the slip whose answer this is, or "none"; nothing for an item without slips."""
    if not item.feedback:
        return []
    none = set_outcome(q, "FEEDBACK", constant(q, "identifier", "none"))
    return [
        q(
            "responseCondition",
            q("responseIf", no_response(item, q), none),
            *(
                q(
                    "responseElseIf",
                    answered(item, slip.response, q),
                    set_outcome(q, "FEEDBACK", constant(q, "identifier", slip_name(n))),
                )
                for n, slip in enumerate(item.feedback, 1)
            ),
            q("responseElse", none),
        )
    ]


def slip_name(n: int) -> str:
    return f"slip-{n}"


def set_outcome(q: Maker, identifier: str, value: Element) -> Element:
    return q("setOutcomeValue", {"identifier": identifier}, value)


# ------------------------------------------------------------ conditions


def right(item: Item, q: Maker) -> Element:
    """The condition that the response is the key; of a choice, as correctResponse holds it."""
    if base_type(item) == "identifier":
        return q("match", variable(q), q("correct", {"identifier": RESPONSE}))
    return answered(item, key(item.response), q)


def no_response(item: Item, q: Maker) -> Element:
    """The condition that nothing was answered."""
    blanks = [q("isNull", variable(q, name)) for name in response_names(item.response)]
    return blanks[0] if len(blanks) == 1 else q("and", *blanks)


def answered(item: Item, answer: Answer, q: Maker) -> Element:
    """The condition that the response is exactly this answer."""
    response = item.response
    match response:
        case SelectAll():
            ticked = (constant(q, "identifier", str(a)) for a in answer)
            return q("match", variable(q), q("multiple", *ticked))
        case SelectOne() | TrueFalse():
            (chosen,) = answer
            return q("match", variable(q), constant(q, "identifier", str(chosen)))
        case IntegerEntry(modulus=modulus):
            (n,) = answer
            if base_type(item) == "string":
                return pattern_match(q, anchored(integer_pattern(int(n))))
            value = variable(q) if modulus is None else residue(q, modulus)
            return q("equal", {"toleranceMode": "exact"}, constant(q, "integer", str(n)), value)
        case ListEntry():
            values = tuple(int(n) for n in answer)
            return pattern_match(q, anchored(list_pattern(values, response)))
        case SetEntry():
            return entered(response, tuple(int(n) for n in answer), q)


def entered(response: SetEntry, values: tuple[int, ...], q: Maker) -> Element:
    """The condition that every value stands in some entry, and nothing else in any."""
    names = response_names(response)

    def holds(name: str, value: int) -> Element:
        constant_first = constant(q, "integer", str(value)), residue(q, response.modulus, name)
        return q("equal", {"toleranceMode": "exact"}, *constant_first)

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


def residue(q: Maker, n: int, name: str = RESPONSE) -> Element:
    """The least non-negative residue of the response modulo n, in every reader."""
    modulus = constant(q, "integer", str(n))
    remainder = q("integerModulus", variable(q, name), modulus)
    return q("integerModulus", q("sum", remainder, modulus), modulus)


def pattern_match(q: Maker, pattern: str) -> Element:
    return q("patternMatch", {"pattern": pattern}, variable(q))


# ------------------------------------------------------------ patterns


def anchored(pattern: str) -> str:
    """The pattern for the whole entry; one reader does not anchor of its own."""
    return rf"^\s*{pattern}\s*$"


def integer_pattern(n: int) -> str:
    """The integer in decimal; a minus sign may be typed as U+2212 too."""
    return str(n) if n >= 0 else f"[-\N{MINUS SIGN}]{-n}"


def list_pattern(values: tuple[int, ...], entry: ListEntry) -> str:
    """The list in braces or without; in any order if the entry allows it and it is short.

    >>> list_pattern((3, 9), ListEntry(values=(3, 9), modulus=15, none_word="none"))
    '[{]?\\\\s*3(\\\\s*[,;]\\\\s*|\\\\s+)9\\\\s*[}]?'
    """
    if not values:
        return word_pattern(entry.none_word)
    orders = [values]
    if entry.any_order and 1 < len(values) <= FEW:
        orders = list(permutations(values))
    lists = [BETWEEN.join(map(str, order)) for order in orders]
    alternatives = lists[0] if len(lists) == 1 else f"({'|'.join(lists)})"
    return rf"[{{]?\s*{alternatives}\s*[}}]?"


def word_pattern(words: str) -> str:
    """The words in capitals or small letters; any white space between two."""
    return r"\s+".join("".join(map(letter_pattern, word)) for word in words.split())


def letter_pattern(c: str) -> str:
    if c in SPECIAL:
        return f"\\{c}"
    small, capital = c.lower(), c.upper()
    return c if small == capital or len(small + capital) != 2 else f"[{capital}{small}]"


# ------------------------------------------------------------ refusals


def refuse_long_sets(item: Item) -> None:
    """ExportError for a list in any order that is too long for a pattern of each order."""
    response = item.response
    if isinstance(response, ListEntry) and response.any_order and len(response.values) > FEW:
        raise refusal(
            f"a list of {len(response.values)} values in any order",
            "ask for increasing order, or use select all",
        )
