"""Order: put lines, shown in another order, in the one right order; some may not belong.

An answer names the lines that are used, in their order.  Where no line is spare it names all.
A format whose readers order all lines or none has a question with spare lines as one of pairs
instead: each line is matched with its place, or with "not used".
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import perm

from itembank.forms.base import (
    Answer,
    Form,
    Lines,
    Part,
    equal,
    no_claim,
    no_least,
    no_options,
    no_place,
)
from itembank.languages import Said, say
from itembank.notation import plain
from itembank.notation.building import listed
from itembank.notation.tree import Inlines
from itembank.values.item import Choice, Item, MatchPairs, PutInOrder
from itembank.values.worded import worded

_NOT_USED = "not-used"
"""The place of a line that does not belong, by its identifier."""

_PLACE = "place-{}"
"""The identifier of a place, from 1."""


def _labels(response: PutInOrder) -> dict[str, Inlines]:
    return {line.identifier: line.label for line in response.lines}


def _fault_of_key(response: PutInOrder) -> str | None:
    shown = tuple(line.identifier for line in response.lines)
    if not set(response.order) <= set(shown) or len(set(response.order)) < len(response.order):
        return "expected lines of its own in the right order, each once"
    if response.spare and not (response.not_used and response.by_places):
        return "expected words for the place of a line that does not belong"
    if shown != response.order:
        return None
    return "expected its lines in another order than the right one"


def _fault_of_answer(response: PutInOrder, given: Answer) -> str | None:
    names = sorted(map(str, given))
    if not response.spare and names != sorted(response.order):
        return f"expected each line once, got {list(given)}"
    if names and set(names) <= _labels(response).keys() and len(set(names)) == len(names):
        return None
    return f"expected some of the lines, each once, got {list(given)}"


def _given(response: PutInOrder, reported: tuple[str, ...]) -> tuple[str, ...]:
    """The lines that are used, in their order; read from pairs where places were matched.

    Of two lines in one place no order is made, nor of places with a gap before them: such an
    answer stays as it is, and is that of no slip.
    """
    words = " ".join(reported).split()
    places = dict(zip(words[::2], words[1::2], strict=False))
    numbers = {_PLACE.format(n): n for n in range(1, len(response.lines) + 1)}
    if len(words) % 2 or not {*numbers, _NOT_USED}.issuperset(places.values()):
        return reported
    used = sorted((numbers[place], name) for name, place in places.items() if place != _NOT_USED)
    if [n for n, _name in used] != [*range(1, len(used) + 1)]:
        return reported
    return tuple(name for _n, name in used)


def _kept(response: PutInOrder) -> object:
    told = _labels(response)
    return [plain.inlines(told[name]) for name in response.order]


def _seen(response: PutInOrder) -> Iterator[str]:
    for line in response.lines:
        yield worded("line {line}: {label}", line=line.identifier, label=plain.inlines(line.label))
    yield worded("key: {key}", key=", ".join(response.order))


def _offered(response: PutInOrder) -> tuple[tuple[str, Inlines], ...]:
    """The places that a line can have, and how they read.

    As many as there are lines, so that they do not tell how many belong.
    """
    found = tuple((str(n), (str(n),)) for n in range(1, len(response.lines) + 1))
    return (*found, (_NOT_USED, response.not_used)) if response.spare else found


def _fields(response: PutInOrder) -> tuple[Part, ...]:
    """The place of each line."""
    return tuple(Part(line.label, _offered(response), say("Place:")) for line in response.lines)


def _place_of(order: Sequence[str | int], name: str) -> str:
    return str(order.index(name) + 1) if name in order else _NOT_USED


def _compared(response: PutInOrder) -> dict[str, object]:
    placed = (_place_of(response.order, line.identifier) for line in response.lines)
    return {"parts": [{"choice": place} for place in placed]}


def _told_key(response: PutInOrder) -> Lines:
    told = _labels(response)
    return Lines(tuple(told[name] for name in response.order), numbered=True)


def _told_answer(response: PutInOrder, given: Answer) -> Said | Inlines:
    """The places of the lines as they are shown."""
    places = {line.identifier: n for n, line in enumerate(response.lines, 1)}
    order = listed(places[str(name)] for name in given)
    return say("the order ${order}$ of the lines as shown", order=order)


def _guess(response: PutInOrder) -> Said:
    """Of all lines in an order, or of some of them, as many as there may be."""
    n = len(response.lines)
    ways = sum(perm(n, k) for k in range(1, n)) if response.spare else perm(n)
    return say("A blind guess of the order is right once in {n}.", n=ways)


# ------------------------------------------------------------ as pairs


def paired(item: Item) -> Item:
    """The item with spare lines as one of pairs; any other item as it is."""
    response = item.response
    if not isinstance(response, PutInOrder) or not response.spare:
        return item
    targets = tuple(
        Choice(identifier=place if place == _NOT_USED else _PLACE.format(place), label=label)
        for place, label in _offered(response)
    )
    return replace(
        item,
        stem=(*item.stem, *response.by_places),
        response=MatchPairs(
            sources=response.lines, targets=targets, pairs=_pairs(response, response.order)
        ),
        feedback=tuple(
            replace(slip, response=_pairs(response, slip.response)) for slip in item.feedback
        ),
    )


def _pairs(response: PutInOrder, order: Answer) -> tuple[str, ...]:
    """Each line with its place in an order."""
    found = ((line.identifier, _place_of(order, line.identifier)) for line in response.lines)
    return tuple(
        f"{name} {place if place == _NOT_USED else _PLACE.format(place)}" for name, place in found
    )


FORM = Form(
    name="order",
    response=PutInOrder,
    rules=("all or nothing",),
    stand_in="select one",
    least=no_least,
    key=lambda response: response.order,
    fault_of_key=_fault_of_key,
    fault_of_answer=_fault_of_answer,
    same=equal,
    given=_given,
    options=no_options,
    place=no_place,
    claim=no_claim,
    kept=_kept,
    seen=_seen,
    fields=_fields,
    compared=_compared,
    told_key=_told_key,
    told_answer=_told_answer,
    guess=lambda response, _scoring: _guess(response),
)
