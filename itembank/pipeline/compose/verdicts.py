"""Always, sometimes or never: three options in their order, whatever the claim.

The kind of problem gives the verdict as a number, 2 for always, 1 for sometimes, 0 for never.
"""

from collections.abc import Sequence

from itembank.kinds.base import Problem, Slip, Solution
from itembank.languages import Said, Speaker, counted, say
from itembank.pipeline.compose.draft import Draft, Wording, slip_feedback
from itembank.values.answer import Answer, Value
from itembank.values.errors import ComposeError
from itembank.values.item import Option, Scoring, SelectOne
from itembank.values.worded import worded

_OPTIONS: tuple[tuple[str, int, Said], ...] = (
    ("always", 2, say("always true")),
    ("sometimes", 1, say("sometimes true")),
    ("never", 0, say("never true")),
)
"""Identifier, verdict and label of each."""


def one_verdict(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """The verdict to choose; each wrong one is answered by what leads to it."""
    right = verdict(solution)
    speaker = Speaker(wording.language)
    by_verdict = {slip.answer: slip for slip in slips}
    options = tuple(
        Option(
            identifier=name,
            label=speaker.inlines(label),
            residues=(n,),
            correct=n == right,
            slips=() if n == right else by_verdict[(n,)].names,
        )
        for name, n, label in _OPTIONS
    )
    scoring = Scoring(points=wording.points)
    rule = counted(
        "{n} point for the right answer, otherwise 0.",
        "{n} points for the right answer, otherwise 0.",
        scoring.points,
    )
    return Draft(
        ((rule,),),
        SelectOne(options=options),
        tuple(
            slip_feedback([by_verdict[(n,)]], (name,), speaker)
            for name, n, _label in _OPTIONS
            if n != right
        ),
        scoring,
    )


def verdict(solution: Solution[Answer]) -> int:
    """The verdict; ComposeError where the answer is none."""
    match solution.answer:
        case Value(n) if n in (0, 1, 2):
            return n
    raise ComposeError(worded("always, sometimes or never: expected a claim that is one of these"))
