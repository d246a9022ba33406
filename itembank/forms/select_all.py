"""Select all: tick every right option, and nothing else."""

from collections.abc import Sequence
from fractions import Fraction
from math import comb

from itembank.forms import options
from itembank.forms.base import (
    Answer,
    Boxes,
    Form,
    Lines,
    equal_sets,
    fault_among,
    labelled,
    no_least,
    no_place,
)
from itembank.languages import Said, say
from itembank.values.item import Option, Scoring, SelectAll


def _fault_of_key(response: SelectAll) -> str | None:
    if any(option.correct for option in response.options):
        return None
    return "expected at least one right option, got none"


def _fault_of_answer(response: SelectAll, given: Answer) -> str | None:
    return fault_among([option.identifier for option in response.options], given)


def _claim(response: SelectAll, given: Answer) -> tuple[int, ...]:
    chosen = [option for option in response.options if option.identifier in given]
    return tuple(x for option in chosen for x in option.residues if isinstance(x, int))


def _kept(response: SelectAll) -> object:
    """The residues; "none" where there is no solution."""
    if any(option.none and option.correct for option in response.options):
        return "none"
    return [option.residues[0] for option in response.options if option.correct]


def _guess(response: SelectAll, scoring: Scoring) -> Said:
    if scoring.rule == "plus minus":
        return say(
            "Boxes ticked blindly score {mean} of {points} on average.",
            mean=str(_plus_minus_guess(response.options)),
            points=scoring.points,
        )
    n = len(response.options)
    return say("A blind guess over the {n} boxes is right once in {all}.", n=n, all=2**n)


def _plus_minus_guess(shown: Sequence[Option]) -> Fraction:
    """The mean of max(0, right ticks - wrong ticks), each box ticked with probability 1/2."""
    right = sum(option.correct for option in shown)
    wrong = len(shown) - right
    total = sum(
        comb(right, a) * comb(wrong, b) * max(0, a - b)
        for a in range(right + 1)
        for b in range(wrong + 1)
    )
    return Fraction(total, 2 ** len(shown))


FORM = Form(
    name="select all",
    response=SelectAll,
    rules=("all or nothing", "plus minus"),
    stand_in="",
    least=no_least,
    key=options.right,
    fault_of_key=_fault_of_key,
    fault_of_answer=_fault_of_answer,
    same=equal_sets,
    given=options.identified,
    options=options.options,
    place=no_place,
    claim=_claim,
    kept=_kept,
    seen=options.seen,
    fields=lambda response: (Boxes(labelled(response.options), many=True),),
    compared=options.compared,
    told_key=lambda response: Lines(options.right_labels(response)),
    told_answer=options.told_answer,
    guess=_guess,
)
