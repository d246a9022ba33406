"""Which of several congruences: each is an option, in an order that tells nothing.

The kind of problem says by its number, counted from 0, which of its congruences is right; every
wrong one has its slip.
"""

from collections.abc import Sequence
from typing import Any, Protocol, runtime_checkable

from itembank.kinds.base import Problem, Slip, Solution
from itembank.kinds.one_unknown import OneUnknown
from itembank.languages import Speaker, counted
from itembank.notation.tree import Formula
from itembank.pipeline.balance import pick
from itembank.pipeline.compose.draft import Draft, Wording, slip_feedback
from itembank.values.answer import Answer, Value
from itembank.values.errors import ComposeError
from itembank.values.item import Option, Provenance, Scoring, SelectOne
from itembank.values.worded import worded


@runtime_checkable
class _Offering(Protocol):
    """A problem that is answered by one of the congruences that it shows."""

    offered: tuple[OneUnknown, ...]


def one_congruence(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    offered, right = congruences_to_choose_from(problem, solution)
    speaker = Speaker(wording.language)
    by_number = {slip.answer: slip for slip in slips}
    shown = _order(len(offered), right, wording.provenance)
    options = tuple(
        Option(
            identifier=f"option-{n}",
            label=(Formula(offered[i].shown[0]),),
            residues=(),
            correct=i == right,
            slips=() if i == right else by_number[(i,)].names,
        )
        for n, i in enumerate(shown, 1)
    )
    scoring = Scoring(points=wording.points)
    rule = counted(
        "{n} point for the right choice, otherwise 0.",
        "{n} points for the right choice, otherwise 0.",
        scoring.points,
    )
    feedback = tuple(
        slip_feedback([by_number[(i,)]], (option.identifier,), speaker)
        for option, i in zip(options, shown, strict=True)
        if i != right
    )
    return Draft(((rule,),), SelectOne(options=options), feedback, scoring)


def _order(n: int, right: int, provenance: Provenance) -> tuple[int, ...]:
    """The numbers of n congruences as they are shown: the right one at each place in turn."""
    key = f"{provenance.stream}/which/{provenance.index}"
    others = sorted((i for i in range(n) if i != right), key=lambda i: pick(f"{key}/{i}", 2**64))
    others.insert(_place(n, provenance), right)
    return tuple(others)


def _place(n: int, provenance: Provenance) -> int:
    """Each place once in n questions, in an order that the stream fixes."""
    block, here = divmod(provenance.index, n)
    key = f"{provenance.stream}/which at/{block}"
    return sorted(range(n), key=lambda i: pick(f"{key}/{i}", 2**64))[here]


def congruences_to_choose_from(
    problem: Problem, solution: Solution[Any]
) -> tuple[tuple[OneUnknown, ...], int]:
    """The congruences, and the number of the right one; ComposeError where none are shown."""
    match solution.answer:
        case Value(n) if isinstance(problem, _Offering):
            return problem.offered, n
    raise ComposeError(
        worded("which: a problem of the kind {kind} shows none to choose from", kind=problem.kind)
    )
