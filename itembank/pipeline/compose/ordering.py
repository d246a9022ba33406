"""Steps to put in order, among lines that do not belong where some are asked for.

The kind of problem tells its lines, and what slips make of them (`itembank.kinds.derivation`).  How
lines are mixed is fixed by where the variant was drawn.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import permutations

from itembank.kinds.base import Feedback, Problem, Slip, Solution
from itembank.kinds.derivation import Misorder, SpareLine, StepLine, WithSpares
from itembank.kinds.told_once import misorders_told, spares_told, steps_told
from itembank.languages import Speaker, Told, counted, lead, say
from itembank.pipeline.balance import layout, pick
from itembank.pipeline.compose.derivation import derived
from itembank.pipeline.compose.draft import Draft, Wording
from itembank.values.answer import Answer
from itembank.values.errors import ComposeError
from itembank.values.item import (
    Choice,
    Option,
    Provenance,
    PutInOrder,
    Scoring,
    SelectOne,
    SlipFeedback,
)
from itembank.values.worded import worded

_LEAST_LINES = 4
"""Put in order: the fewest lines."""

_MOST_LINES = 6
"""Put in order: the most lines."""

_NAMES = "PQRSTUVW"
"""Select one of several orders: what the lines are called."""

OPTIONS = 4
"""Select one of several orders: the number of options."""


# ------------------------------------------------------------ the steps in order


def put_in_order(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """The steps of the method, out of order; and lines that do not belong, if some are asked."""
    lines, misorders = steps_to_order(problem, solution)
    turn = _turn_of(wording.provenance)
    spares = spares_to_show(problem, solution, lines, wording.spare, turn)
    shown = mixed(len(lines) + len(spares), turn)
    names = [f"step-{line.name.replace(' ', '-')}" for line in lines]
    if spares:  # what a line is called does not tell where it belongs
        names = [f"line-{shown.index(i) + 1}" for i in range(len(shown))]
    texts = [*(line.text for line in lines), *(spare.text for spare in spares)]
    scoring = Scoring(points=wording.points)
    speaker = Speaker(wording.language)
    rule = counted(
        "{n} point for the right order, otherwise 0.",
        "{n} points for the right order, otherwise 0.",
        scoring.points,
    )
    orders = [
        *((m.name, m.order, m.feedback) for m in misorders),
        *((spare.name, order, (spare.feedback,)) for spare, order in _used(spares, len(lines))),
    ]
    return Draft(
        (_how_to_order(spares), (rule,)),
        PutInOrder(
            lines=tuple(
                Choice(identifier=names[i], label=speaker.inlines(texts[i])) for i in shown
            ),
            order=tuple(names[: len(lines)]),
            not_used=speaker.inlines(_NOT_USED) if spares else (),
            by_places=speaker.blocks((_BY_PLACES,)) if spares else (),
        ),
        tuple(
            SlipFeedback(
                slips=(name,),
                response=tuple(names[i] for i in order),
                text=speaker.blocks(feedback),
            )
            for name, order, feedback in orders
        ),
        scoring,
    )


_HOW_TO_ORDER = say(
    "Put the steps in the order in which they are done; each builds on earlier ones."
)

_NOT_EVERY_LINE = say("Not every line is needed.")

_NOT_USED = say("not used")

_BY_PLACES = say(
    "Match each line with its place, counted from 1; match a line that is not needed with "
    "“not used”."
)


def _how_to_order(spares: Sequence[SpareLine]) -> tuple[Told, ...]:
    return (_HOW_TO_ORDER, _NOT_EVERY_LINE) if spares else (_HOW_TO_ORDER,)


# ------------------------------------------------------------ lines that do not belong


def spares_to_show(
    problem: Problem,
    solution: Solution[Answer],
    lines: Sequence[StepLine],
    wanted: int,
    turn: int,
) -> tuple[SpareLine, ...]:
    """So many lines that do not belong, which ones by the turn; ComposeError for too few.

    Two of them are rather made by one slip, so that they agree as right lines do.
    """
    if not wanted:
        return ()
    if not isinstance(problem, WithSpares):
        raise ComposeError(
            worded("spare: a problem of the kind {kind} tells no wrong lines", kind=problem.kind)
        )
    found = _different(spares_told(problem, solution), lines)
    at = turn % len(found) if found else 0
    first, *others = (*found[at:], *found[:at]) or (None,)
    if first is None or len(found) < wanted:
        raise ComposeError(
            worded("spare: {n} wrong lines to show, expected {wanted}", n=len(found), wanted=wanted)
        )
    others.sort(key=lambda spare: (spare.name != first.name, spare.place == first.place))
    return tuple(sorted((first, *others[: wanted - 1]), key=lambda spare: spare.place))


def _different(spares: Sequence[SpareLine], lines: Sequence[StepLine]) -> tuple[SpareLine, ...]:
    """Those that are told otherwise than the lines and than each other."""
    told = [line.text for line in lines]
    found = []
    for spare in spares:
        if spare.text not in told:
            told.append(spare.text)
            found.append(spare)
    return tuple(found)


def _used(spares: Sequence[SpareLine], n: int) -> Iterator[tuple[SpareLine, tuple[int, ...]]]:
    """Each of the spare lines, and the order with it in the place of the line that it spoils.

    Those of one slip together come first.
    """
    at = {spare.place: i for i, spare in enumerate(spares, n)}
    if len(at) > 1 and len({spare.name for spare in spares}) == 1:
        yield spares[0], tuple(at.get(i, i) for i in range(n))
    for place, spare in enumerate(spares, n):
        yield spare, tuple(place if i == spare.place else i for i in range(n))


def steps_to_order(
    problem: Problem, solution: Solution[Answer]
) -> tuple[tuple[StepLine, ...], tuple[Misorder, ...]]:
    """The lines in their right order, and the slips in it; ComposeError for too few or many."""
    told = derived(problem, "order")
    lines = steps_told(told, solution)
    if not _LEAST_LINES <= len(lines) <= _MOST_LINES:
        raise ComposeError(
            worded(
                "order: {n} steps to tell, expected {least_lines} to {most_lines}",
                n=len(lines),
                least_lines=_LEAST_LINES,
                most_lines=_MOST_LINES,
            )
        )
    misorders = misorders_told(told, solution)
    if len(misorders) < OPTIONS - 1:
        raise ComposeError(
            worded(
                "order: {n} slips in the order, expected at least {options}",
                n=len(misorders),
                options=OPTIONS - 1,
            )
        )
    return lines, misorders


def mixed(n: int, index: int) -> tuple[int, ...]:
    """The places 0 to n - 1, none of them at its own; which such order turns with the index.

    There are 9, 44, 265, 1854 or 14833 of them for 4 to 8 places, numbers to which 37 is prime: all
    of them have their turn, and neighbours in the index get unlike ones.
    """
    orders = _derangements(n)
    return orders[index * 37 % len(orders)]


@cache
def _derangements(n: int) -> tuple[tuple[int, ...], ...]:
    return tuple(o for o in _arrangements(n) if all(o[i] != i for i in range(n)))


@cache
def _arrangements(n: int) -> tuple[tuple[int, ...], ...]:
    return tuple(permutations(range(n)))


def _lettered(n: int, index: int) -> tuple[int, ...]:
    """The places 0 to n - 1 in any order, each in its turn.

    The order as shown may be the right one: were it never, letters in their order would be known
    to be wrong at sight.
    """
    orders = _arrangements(n)
    return orders[index * 37 % len(orders)]


@dataclass(frozen=True)
class _WrongOrder:
    """An order that is not the right one, with the slips that lead to it and what is said."""

    order: tuple[int, ...]
    slips: tuple[str, ...]
    feedback: Feedback


def _wrong_orders(
    misorders: Sequence[Misorder], spares: Sequence[SpareLine], turn: int, n: int
) -> tuple[_WrongOrder, ...]:
    """The slips in the order; with a spare line one of them, the spare line used, and both.

    So the line that does not belong stands in as many options as the one that it spoils.
    """
    exchanged = [_WrongOrder(m.order, (m.name,), m.feedback) for m in misorders]
    if not spares:
        return tuple(exchanged)
    one = exchanged[turn % len(exchanged)]
    spare, order = next(_used(spares, n))
    both = tuple(order[i] for i in one.order)
    return (
        one,
        _WrongOrder(order, (spare.name,), (spare.feedback,)),
        _WrongOrder(both, (spare.name, *one.slips), (spare.feedback, *one.feedback)),
    )


def one_order(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """The steps under letters, out of order; orders of the letters to choose from."""
    lines, misorders = steps_to_order(problem, solution)
    turn = _turn_of(wording.provenance)
    spares = spares_to_show(problem, solution, lines, wording.spare, turn)
    texts = [*(line.text for line in lines), *(spare.text for spare in spares)]
    shown = _lettered(len(texts), turn)
    name = {i: _NAMES[at] for at, i in enumerate(shown)}
    right = _sequence(name, range(len(lines)))
    found = _wrong_orders(misorders, spares, turn // len(shown), len(lines))
    wrong = {_sequence(name, w.order): w for w in found}
    offered = _offered_orders(wording.provenance, right, tuple(wrong))
    options = tuple(
        Option(
            identifier=f"option-{n}",
            label=(order,),
            residues=(),
            correct=order == right,
            slips=() if order == right else wrong[order].slips,
        )
        for n, order in enumerate(offered, 1)
    )
    scoring = Scoring(points=wording.points)
    speaker = Speaker(wording.language)
    rule = counted(
        "Choose the right order. {n} point for the right order, otherwise 0.",
        "Choose the right order. {n} points for the right order, otherwise 0.",
        scoring.points,
    )
    return Draft(
        (
            _how_to_order(spares),
            *((lead("{name}.", name=_NAMES[place]), texts[i]) for place, i in enumerate(shown)),
            (rule,),
        ),
        SelectOne(options=options),
        tuple(
            SlipFeedback(
                slips=o.slips,
                response=(o.identifier,),
                text=speaker.blocks(wrong[order].feedback),
            )
            for o, order in zip(options, offered, strict=True)
            if not o.correct
        ),
        scoring,
    )


def _sequence(name: Mapping[int, str], order: Sequence[int]) -> str:
    return ", ".join(name[i] for i in order)


def _turn_of(provenance: Provenance) -> int:
    """Which way lines are mixed: fixed by where the variant was drawn, not told by its number."""
    return pick(f"{provenance.stream}/mixed/{provenance.index}", 2**32)


def _offered_orders(provenance: Provenance, right: str, wrong: Sequence[str]) -> tuple[str, ...]:
    """The right order, at the place that is its turn, among OPTIONS - 1 of the wrong ones.

    They stand in no order of the alphabet: by it the first of them would have its letters in
    order whenever it is right, since a slip exchanges two neighbours.
    """
    stream, index = provenance.stream, provenance.index
    offered = sorted(wrong, key=lambda w: pick(f"{stream}/orders/{index}/{w}", 2**64))
    del offered[OPTIONS - 1 :]
    offered.insert(layout(stream, index, False).place, right)
    return tuple(offered)
