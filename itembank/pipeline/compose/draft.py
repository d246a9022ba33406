"""What every response form is given, what it gives back, and the wording that forms share."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from itembank.kinds.asking import opening_of_range, put
from itembank.kinds.base import Problem, Slip
from itembank.languages import Speaker, Telling, Told, lead, say
from itembank.notation import plain
from itembank.notation.tree import Blocks
from itembank.pipeline.ranges import ENDS
from itembank.values.answer import Answer, Range, ResidueSet
from itembank.values.course import AS_USUAL, Teaching
from itembank.values.errors import ComposeError
from itembank.values.item import Provenance, Response, Scoring, SlipFeedback
from itembank.values.points import Points
from itembank.values.worded import worded


@dataclass(frozen=True, kw_only=True)
class Wording:
    """What an item says about itself, from its family and its pool.

    range: where the integers lie that answer, where they are no residues.  spare: how many lines
    that do not belong stand among the steps.
    part, parts: of a question in parts the letter of this one, and how many there are.
    What its author wrote: `lead` stands before each part, `story` before the question; `hints` are
    said to a wrong answer to which no slip leads; `right` and `wrong` to every answer that is so.
    """

    title: str
    ask: str
    form: str
    rule: str
    points: Points
    outcomes: tuple[str, ...]
    level: str
    provenance: Provenance
    language: str = "en"
    teaching: Teaching = AS_USUAL
    range: Range | None = None
    lead: Blocks = ()
    part: str = ""
    parts: int = 0
    spare: int = 0
    story: Blocks = ()
    formal: str = "shown"
    hints: Blocks = ()
    right: Blocks = ()
    wrong: Blocks = ()


@dataclass(frozen=True)
class Draft:
    """The parts of an item that depend on its response form; instructions by paragraphs.

    `solved` is told below the worked solution: what of it was asked.
    `on_the_way` are the numbers on the way to its answer, where these were asked for.
    """

    instructions: tuple[tuple[Told, ...], ...]
    response: Response
    feedback: tuple[SlipFeedback, ...]
    scoring: Scoring
    solved: tuple[Told, ...] = ()
    on_the_way: tuple[Told, ...] = ()


def asked(problem: Problem, wording: Wording) -> Blocks:
    """The story, if there is one, and the question in the words of its kind."""
    speaker = Speaker(wording.language)
    before = (*wording.lead, *speaker.blocks(_which_part(wording)), *wording.story)
    if is_hidden(wording):
        return before
    announced = (lead("In symbols:"),) if _tells(wording) else ()
    return (*before, *speaker.blocks((*announced, *_question_put(problem, wording))))


def _question_put(problem: Problem, wording: Wording) -> Telling:
    """The question in the words of its kind; of an integer beyond the residues, in those of it."""
    told = tuple(problem.question(put(problem.signature, wording.ask)))
    if wording.range is None or wording.ask not in ENDS:
        return told
    return (opening_of_range(wording.ask, wording.range, problem.kind == "system"), *told[1:])


def _which_part(wording: Wording) -> tuple[Told, ...]:
    """Which part of a question this is, so that it can be told where it is shown alone."""
    if not wording.part:
        return ()
    return (say("Part ({part}) of {n}.", part=wording.part, n=wording.parts),)


def _tells(wording: Wording) -> Blocks:
    """What the author tells before the question."""
    return (*wording.lead, *wording.story)


def is_hidden(wording: Wording) -> bool:
    """Whether the story stands in the place of the question in the words of its kind."""
    return bool(_tells(wording)) and wording.formal == "hidden"


def formal(problem: Problem, wording: Wording) -> Blocks:
    """The question in the words of its kind, where a story stands in its place; else ()."""
    if not is_hidden(wording):
        return ()
    _check_told(problem, _tells(wording))
    return Speaker(wording.language).blocks(_question_put(problem, wording))


_POWER = re.compile(r"(?<=[a-z])\^[23]\b")
_DIGITS = re.compile(r"\d+")


def _check_told(problem: Problem, story: Blocks) -> None:
    """ComposeError unless a story tells each number of the problem, 0 and 1 aside.

    That the unknown is squared or cubed may be told in words.
    """
    told = set(_DIGITS.findall(plain.blocks(story)))
    statement = "; ".join(problem.statement)
    for number in _DIGITS.findall(_POWER.sub("", statement)):
        if number not in told and number not in ("0", "1"):
            raise ComposeError(
                worded(
                    "the story does not tell {number}, a number of '{statement}'; write its "
                    "expression in braces, or show the question with `formal: shown`",
                    number=number,
                    statement=statement,
                )
            )


def slip_feedback(
    found: Sequence[Slip], response: tuple[str, ...] | tuple[int, ...], speaker: Speaker
) -> SlipFeedback:
    """What may have gone wrong for a student who answered so: a block for each error."""
    names = tuple(name for slip in found for name in slip.names)
    told = [feedback for slip in found for feedback in slip.feedback]
    text = tuple(block for feedback in told for block in speaker.blocks(feedback))
    return SlipFeedback(slips=names, response=response, text=text)


def residues_of(slip: Slip) -> tuple[int, ...]:
    """The residues that a slip leads to, where the answer is a set of residues."""
    return tuple(x for x in slip.answer if isinstance(x, int))


def modulus_of(problem: Problem, form: str) -> int:
    """The modulus whose residues are asked for; ComposeError where the question has none."""
    if problem.modulus is None:
        raise ComposeError(
            worded("{form}: expected a question modulo a number, got one about integers", form=form)
        )
    return problem.modulus


def residue_set(answer: Answer, form: str) -> ResidueSet:
    if not isinstance(answer, ResidueSet):
        raise ComposeError(
            worded("{form}: expected an answer that is a set of residues", form=form)
        )
    return answer
