"""The key in QTI 3.0: response declaration and response processing.

The answer stands in correctResponse as a student would give it; beside it the
processing accepts what else is right.  Six habits make readers of the standard agree:

* isNull first: a pattern is tried on what was typed alone;
* then what does not equal itself: one reader takes words in an integer field for such a
  number, and would refuse to take its residue;
* equal: the constant first, exact;
* the residue as ((x mod n) + n) mod n, since readers differ on negative numbers;
* a pattern with its own anchors;
* one integer that is right, as text: readers take "3," and "3.5" for 3 in an integer field.

Source: 1EdTech Question & Test Interoperability ASI Information Model 3.0: response
processing and expressions.
"""

from collections.abc import Iterable

from exporters.keys import key
from exporters.qti2_response import (
    OTHERWISE,
    RESPONSE,
    RIGHT,
    anchored,
    any_integer,
    base_type,
    list_pattern,
    response_names,
    says_more,
    score_names,
    slip_name,
    slip_outcome,
    variables,
)
from itembank.forms.base import Key
from itembank.forms.guided import right_text
from itembank.forms.list import values_of
from itembank.notation.elements import Element, Maker
from itembank.values.item import (
    Guided,
    IntegerEntry,
    Item,
    ListEntry,
    MatchPairs,
    PutInOrder,
    SelectAll,
    SelectOne,
    SetEntry,
    SlipFeedback,
    Stage,
    TrueFalse,
)
from itembank.values.points import decimal

NAMESPACE = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"

q = Maker(NAMESPACE)


def qti_response_declarations(item: Item) -> list[Element]:
    return [
        q(
            "qti-response-declaration",
            {"identifier": v.name, "cardinality": v.cardinality, "base-type": v.base},
            *([_qti_correct_response(v.correct)] if v.correct else []),
            *_qti_mapping(item),
        )
        for v in variables(item)
    ]


def _qti_correct_response(values: Iterable[str]) -> Element:
    return q("qti-correct-response", *(q("qti-value", v) for v in values))


def _qti_mapping(item: Item) -> list[Element]:
    """Plus minus: 1 for each right tick, -1 for each wrong one, not below 0."""
    response = item.response
    if item.scoring.rule != "plus minus" or not isinstance(response, SelectAll):
        return []
    entries = (
        q(
            "qti-map-entry",
            {
                "map-key": option.identifier,
                "mapped-value": "1" if option.correct else "-1",
                "case-sensitive": "true",
            },
        )
        for option in response.options
    )
    bounds = {"lower-bound": "0", "upper-bound": decimal(item.scoring.points), "default-value": "0"}
    return [q("qti-mapping", bounds, *entries)]


# ------------------------------------------------------------ processing


def qti_response_processing(item: Item) -> Element:
    """Score the response, name the slip it shows, and then show the worked solution."""
    if isinstance(item.response, Guided):
        judged = _scored_by_stage(item, item.response)
    else:
        judged = [_scored(item), *_slip_named(item)]
    solution = qti_set_outcome_value("SOLUTION", "identifier", "worked")
    return q("qti-response-processing", *judged, solution)


def _scored_by_stage(item: Item, response: Guided) -> list[Element]:
    """SCORE: the sum over the stages, the last judged first, so that the first slip is named."""
    names = response_names(response)
    outcomes = score_names(response)

    otherwise = [_feedback_named(OTHERWISE)] if item.otherwise else []

    def judged(i: int) -> Element:
        stage = response.stages[i]
        wrong = qti_set_outcome_value(outcomes[i], "float", "0")
        slips = (
            q(
                "qti-response-else-if",
                _answered_in(stage, names[i], slip.response[i]),
                wrong,
                qti_set_outcome_value("FEEDBACK", "identifier", slip_name(n)),
            )
            for n, slip in enumerate(item.feedback, 1)
            if slip.response[i]
        )
        return q(
            "qti-response-condition",
            q("qti-response-if", q("qti-is-null", qti_variable(names[i])), wrong),
            q(
                "qti-response-else-if",
                _answered_in(stage, names[i], right_text(stage.response)),
                qti_set_outcome_value(outcomes[i], "float", "1"),
            ),
            *slips,
            q("qti-response-else", wrong, *otherwise),
        )

    none = [_feedback_named("none")] if says_more(item) else []
    total = q("qti-sum", *map(qti_variable, outcomes))
    return [
        *none,
        *map(judged, reversed(range(len(names)))),
        q("qti-set-outcome-value", {"identifier": "SCORE"}, total),
    ]


def _answered_in(stage: Stage, name: str, text: object) -> Element:
    """The condition that this is what was given in a stage."""
    response = stage.response
    if isinstance(response, ListEntry):
        pattern = list_pattern(values_of(response, str(text)), response)
        return _qti_pattern_match(anchored(pattern), name)
    return q("qti-match", qti_variable(name), qti_base_value("identifier", str(text)))


def _scored(item: Item) -> Element:
    """SCORE: 0 for no response, then by the item's rule."""
    nothing = qti_set_outcome_value("SCORE", "float", "0")
    if item.scoring.rule == "plus minus":
        ticks = q("qti-map-response", {"identifier": RESPONSE})
        return q(
            "qti-response-condition",
            q("qti-response-if", q("qti-is-null", qti_variable()), nothing),
            q("qti-response-else", q("qti-set-outcome-value", {"identifier": "SCORE"}, ticks)),
        )
    full = qti_set_outcome_value("SCORE", "float", decimal(item.scoring.points))
    return _qti_response_condition(item, q("qti-response-else-if", _right(item), full), nothing)


def _slip_named(item: Item) -> list[Element]:
    """FEEDBACK: the slip whose answer this is, else OTHERWISE for a wrong one; or "none"."""
    if not says_more(item):
        return []
    branches = (
        q(
            "qti-response-else-if",
            _slipped(item, n, slip),
            qti_set_outcome_value("FEEDBACK", "identifier", slip_name(n)),
        )
        for n, slip in enumerate(item.feedback, 1)
    )
    none = _feedback_named("none")
    if not (item.otherwise or item.right):
        return [_qti_response_condition(item, *branches, none)]
    said = _feedback_named(RIGHT) if item.right else none
    right_too = q("qti-response-else-if", _right(item), said)
    wrong = _feedback_named(OTHERWISE) if item.otherwise else none
    return [_qti_response_condition(item, right_too, *branches, wrong, blank=none)]


def _feedback_named(name: str) -> Element:
    return qti_set_outcome_value("FEEDBACK", "identifier", name)


def _slipped(item: Item, n: int, slip: SlipFeedback) -> Element:
    """The condition that the response is the answer of the slip with this number."""
    if isinstance(item.response, MatchPairs):
        return q("qti-match", qti_variable(), qti_variable(slip_outcome(n)))
    return _answered(item, slip.response)


def _qti_response_condition(
    item: Item, *branches: Element, blank: Element | None = None
) -> Element:
    """The branches, of which the last is for what is none of them, and for no response too.

    blank: what no response does where that is something else.
    """
    *known, otherwise = branches
    names = response_names(item.response)
    blanks = [q("qti-is-null", qti_variable(name)) for name in names]
    nothing = blanks[0] if len(blanks) == 1 else q("qti-and", *blanks)
    numbers = names if base_type(item) == "integer" else ()
    return q(
        "qti-response-condition",
        q("qti-response-if", nothing, otherwise if blank is None else blank),
        *(q("qti-response-else-if", _no_number(name), otherwise) for name in numbers),
        *known,
        q("qti-response-else", otherwise),
    )


def _no_number(name: str) -> Element:
    """The condition that something was typed which does not equal itself, as numbers do.

    isNull stands beside it, since one reader takes what is not NULL for true.
    """
    typed = q("qti-not", q("qti-is-null", qti_variable(name)))
    itself = qti_equal(qti_variable(name), qti_variable(name))
    return q("qti-and", typed, q("qti-not", itself))


def qti_set_outcome_value(identifier: str, base_type: str, value: str) -> Element:
    """An outcome set to a constant."""
    return q("qti-set-outcome-value", {"identifier": identifier}, qti_base_value(base_type, value))


# ------------------------------------------------------------ conditions


def _right(item: Item) -> Element:
    """The condition that the response is the key; of a choice, as correctResponse holds it."""
    if base_type(item) in ("identifier", "directedPair"):
        return q("qti-match", qti_variable(), q("qti-correct", {"identifier": RESPONSE}))
    return _answered(item, key(item.response))


def _answered(item: Item, answer: Key) -> Element:
    """The condition that the response is exactly this answer."""
    response = item.response
    match response:
        case SelectAll():
            ticked = (qti_base_value("identifier", str(a)) for a in answer)
            return q("qti-match", qti_variable(), q("qti-multiple", *ticked))
        case SelectOne() | TrueFalse():
            (chosen,) = answer
            return q("qti-match", qti_variable(), qti_base_value("identifier", str(chosen)))
        case IntegerEntry(modulus=int(m)) if base_type(item) == "integer":
            (n,) = answer
            return qti_equal(qti_base_value("integer", str(n)), _residue(m))
        case IntegerEntry():
            return _qti_pattern_match(anchored(any_integer(map(int, answer))))
        case ListEntry():
            values = tuple(int(n) for n in answer)
            return _qti_pattern_match(anchored(list_pattern(values, response)))
        case SetEntry():
            return _entered(response, tuple(int(n) for n in answer))
        case PutInOrder():
            placed = (qti_base_value("identifier", str(a)) for a in answer)
            return q("qti-match", qti_variable(), q("qti-ordered", *placed))
        case MatchPairs() | Guided():
            raise AssertionError("pairs and stages are compared otherwise")


def _entered(response: SetEntry, values: tuple[int, ...]) -> Element:
    """The condition that every value stands in some entry, and nothing else in any.

    No alternative is NULL for an entry left blank, as in 2.x, where one reader ends at it.
    """
    names = response_names(response)

    def holds(name: str, value: int) -> Element:
        return q(
            "qti-and",
            q("qti-not", q("qti-is-null", qti_variable(name))),
            qti_equal(qti_base_value("integer", str(value)), _residue(response.modulus, name)),
        )

    return q(
        "qti-and",
        *(q("qti-or", *(holds(name, value) for name in names)) for value in values),
        *(
            q(
                "qti-or",
                q("qti-is-null", qti_variable(name)),
                *(holds(name, value) for value in values),
            )
            for name in names
        ),
    )


def qti_equal(constant: Element, computed: Element) -> Element:
    return q("qti-equal", {"tolerance-mode": "exact"}, constant, computed)


def qti_variable(name: str = RESPONSE) -> Element:
    return q("qti-variable", {"identifier": name})


def qti_base_value(base_type: str, value: str) -> Element:
    return q("qti-base-value", {"base-type": base_type}, value)


def _residue(n: int, name: str = RESPONSE) -> Element:
    """The least non-negative residue of the response modulo n, in every reader."""
    modulus = qti_base_value("integer", str(n))
    remainder = q("qti-integer-modulus", qti_variable(name), modulus)
    return q("qti-integer-modulus", q("qti-sum", remainder, modulus), modulus)


def _qti_pattern_match(pattern: str, name: str = RESPONSE) -> Element:
    return q("qti-pattern-match", {"pattern": pattern}, qti_variable(name))
