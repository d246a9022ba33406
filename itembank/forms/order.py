"""Order: put lines, shown in another order, in the one right order."""

from collections.abc import Iterator
from math import factorial

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
from itembank.values.item import PutInOrder


def labels(response: PutInOrder) -> dict[str, Inlines]:
    return {line.identifier: line.label for line in response.lines}


def fault_of_key(response: PutInOrder) -> str | None:
    shown = tuple(line.identifier for line in response.lines)
    if sorted(shown) == sorted(response.order) and shown != response.order:
        return None
    return "expected its lines in another order than the right one"


def fault_of_answer(response: PutInOrder, given: Answer) -> str | None:
    if sorted(map(str, given)) == sorted(response.order):
        return None
    return f"expected each line once, got {list(given)}"


def kept(response: PutInOrder) -> object:
    told = labels(response)
    return [plain.inlines(told[name]) for name in response.order]


def seen(response: PutInOrder) -> Iterator[str]:
    for line in response.lines:
        yield f"line {line.identifier}: {plain.inlines(line.label)}"
    yield f"key: {', '.join(response.order)}"


def fields(response: PutInOrder) -> tuple[Part, ...]:
    """The place of each line."""
    places: tuple[tuple[str, Inlines], ...] = tuple(
        (str(n), (str(n),)) for n in range(1, len(response.lines) + 1)
    )
    return tuple(Part(line.label, places, say("Place:")) for line in response.lines)


def compared(response: PutInOrder) -> dict[str, object]:
    places = [str(response.order.index(line.identifier) + 1) for line in response.lines]
    return {"parts": [{"choice": place} for place in places]}


def told_key(response: PutInOrder) -> Lines:
    told = labels(response)
    return Lines(tuple(told[name] for name in response.order), numbered=True)


def told_answer(response: PutInOrder, given: Answer) -> Said | Inlines:
    """The places of the lines as they are shown."""
    places = {line.identifier: n for n, line in enumerate(response.lines, 1)}
    order = listed(places[str(name)] for name in given)
    return say("the order ${order}$ of the lines as shown", order=order)


FORM = Form(
    name="order",
    response=PutInOrder,
    rules=("all or nothing",),
    stand_in="select one",
    least=no_least,
    key=lambda response: response.order,
    fault_of_key=fault_of_key,
    fault_of_answer=fault_of_answer,
    same=equal,
    given=lambda _response, reported: reported,
    options=no_options,
    place=no_place,
    claim=no_claim,
    kept=kept,
    seen=seen,
    fields=fields,
    compared=compared,
    told_key=told_key,
    told_answer=told_answer,
    guess=lambda response, _scoring: say(
        "A blind guess of the order is right once in {n}.", n=factorial(len(response.lines))
    ),
)
