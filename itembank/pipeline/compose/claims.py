"""True or false: an answer to the question of any kind is claimed, the key or what a slip leads to.

Whether the claim is true follows from the question alone, so that it is known before the question
is composed: half of them are, and a draw takes as many of either.
"""

from collections.abc import Sequence
from typing import Any

from itembank.kinds.asking import claimed_ask
from itembank.kinds.base import Problem, Slip, Solution
from itembank.languages import BREAK, Said, Speaker, Telling, counted, say
from itembank.notation.tree import Inlines
from itembank.pipeline.claimed import is_true, one_of
from itembank.pipeline.compose.choices import set_label, value_label
from itembank.pipeline.compose.draft import Draft, Wording, residue_set, slip_feedback
from itembank.pipeline.compose.entries import number_of_set
from itembank.pipeline.compose.options import LONGEST_SET, like, together_of
from itembank.values.answer import Absent, Answer, Claimed, ResidueSet, Value, claimed
from itembank.values.errors import ComposeError
from itembank.values.item import Scoring, TrueFalse
from itembank.values.worded import worded

_SETS = ("all solutions",)


def true_or_false(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """The claim, and the two words."""
    key, wrong = claims(problem, solution, slips)
    truth = is_true(problem)
    slip = one_of(wrong, problem)
    speaker = Speaker(wording.language)
    scoring = Scoring(points=wording.points)
    rule = counted(
        "{n} point for the right word, otherwise 0.",
        "{n} points for the right word, otherwise 0.",
        scoring.points,
    )
    sets = claimed_ask(problem.signature) in _SETS
    label = set_label if sets else value_label
    said = _sentence(label(key if truth else slip[0]))
    feedback = () if truth else (slip_feedback([slip[1]], ("true",), speaker),)
    return Draft(
        ((said,), (rule,)),
        TrueFalse(truth=truth, yes=speaker.inlines(say("True")), no=speaker.inlines(say("False"))),
        feedback,
        scoring,
    )


def _sentence(answer: Inlines) -> Said:
    """What is claimed."""
    return say("True or false: the answer is {answer}.", answer=answer)


def verdict(problem: Problem) -> Telling:
    """The last paragraph of the worked solution."""
    yield BREAK
    if is_true(problem):
        yield say("The claim is true: this is the answer that it names.")
    else:
        yield say("The claim is false: it names another answer.")


def claims(
    problem: Problem, solution: Solution[Any], slips: Sequence[Slip]
) -> tuple[Claimed, tuple[tuple[Claimed, Slip], ...]]:
    """The right answer to what is claimed, and the wrong ones with their slips, each once.

    Those that look like the right one, where there are any. ComposeError where no slip leads to
    another answer, or the answer is too long to claim, or none: that claim would tell itself.
    """
    ask = claimed_ask(problem.signature)
    if ask is None:
        raise ComposeError(
            worded("whether true: expected a question whose answer is a number or a set")
        )
    key = _as_asked(solution.answer, ask)
    wrong: dict[Claimed, Slip] = {}
    for slip in slips:
        claim = _of_slip(solution.answer, slip, ask)
        if claim and claim != key and len(claim) <= LONGEST_SET:
            wrong.setdefault(claim, slip)
    if not key:
        raise ComposeError(worded("whether true: there is nothing to claim"))
    if not wrong:
        raise ComposeError(worded("whether true: expected a slip that leads to another answer"))
    together = together_of(problem)
    looks_alike = like(key, together)
    alike = {claim: slip for claim, slip in wrong.items() if looks_alike(claim)}
    return key, tuple((alike or wrong).items())


def _as_asked(answer: Answer, ask: str) -> Claimed:
    """The answer listed: a set, one value, () for none."""
    match answer:
        case Value() | Absent():
            return claimed(answer)
        case ResidueSet() if ask in _SETS:
            if answer.count > LONGEST_SET:
                raise ComposeError(
                    worded("whether true: {count} solutions to claim", count=answer.count)
                )
            return claimed(answer)
    if ask in _SETS:
        return claimed(answer)
    number, _modulus, _named = number_of_set(residue_set(answer, "whether true"), ask)
    return (number,)


def _of_slip(answer: Answer, slip: Slip, ask: str) -> Claimed | None:
    """What a slip claims; None where it claims nothing of the kind."""
    if isinstance(answer, Value | Absent) or ask in _SETS:
        return slip.answer
    _number, _modulus, number_of = number_of_set(residue_set(answer, "whether true"), ask)
    found = number_of(slip.answer)
    return None if found is None else (found,)
