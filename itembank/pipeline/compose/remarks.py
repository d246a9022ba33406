"""What is said to wrong answers: at most two errors that may have led there, and never the key.

A wrong answer that no named slip leads to gets a next step to try. So does one whose every
feedback would print the key or a part of it: a number that the question does not show.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from itembank.kinds.base import Problem, Solution
from itembank.kinds.next_steps import next_step
from itembank.languages import Speaker, say
from itembank.notation import plain
from itembank.notation.tree import Block, Blocks, Paragraph
from itembank.pipeline.compose.draft import Draft, Wording
from itembank.values.answer import Answer, Pairs, ResidueSet, Value
from itembank.values.item import (
    Guided,
    IntegerEntry,
    ListEntry,
    Response,
    SelectAll,
    SelectOne,
    TrueFalse,
)

MOST_TOLD = 2
"""The most errors that one answer is told of: the likelier first, in the order of the method."""

_LISTED = 1000
"""The most solutions of which the numbers are kept to ourselves one by one."""

_NAMED = ("which", "always, sometimes or never")
"""Asks whose answer is a number to us alone: that of an option."""

_NUMBER = re.compile(r"(?<![\w.])[-\N{MINUS SIGN}]\d+|\d+|[⁰¹²³⁴⁵⁶⁷⁸⁹]+")
_FULL_SIZE = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹\N{MINUS SIGN}", "0123456789-")


@dataclass(frozen=True)
class Remarks:
    """What is said to a wrong answer: the items of the draft's feedback, and to every other."""

    draft: Draft
    otherwise: Blocks


def remarks(
    problem: Problem, solution: Solution[Answer], draft: Draft, stem: Blocks, wording: Wording
) -> Remarks:
    """The draft with feedback that keeps the key to itself, and the next step to try."""
    speaker = Speaker(wording.language)
    key = frozenset() if wording.ask in _NAMED else _secret(solution.answer, draft.response)
    hidden = key - _numbers_in(stem)
    advice = without(hidden, wording.hints) or speaker.blocks(
        [next_step(problem.kind, wording.ask, wording.form)]
    )
    wrong = without(hidden, wording.wrong)
    feedback = tuple(
        replace(found, text=(*(_honest(found.text, hidden, speaker) or advice), *wrong))
        for found in draft.feedback
    )
    answered = {found.response for found in feedback}
    open_ = len(answered) < _most_wrong(draft.response)
    return Remarks(replace(draft, feedback=feedback), (*advice, *wrong) if open_ else ())


def _most_wrong(response: Response) -> float:
    """How many wrong answers there are; without end where something is typed or arranged."""
    match response:
        case TrueFalse():
            return 1
        case SelectOne(options=options):
            return len(options) - 1
        case IntegerEntry(modulus=int(m)):
            return m - 1
    return float("inf")


def _honest(told: Blocks, hidden: frozenset[str], speaker: Speaker) -> Blocks:
    """The first remarks that print nothing hidden, a block each; () where all of them do.

    What two errors have said of them in the same words is said once.
    """
    kept = tuple(dict.fromkeys(without(hidden, told)))
    if len(kept) < 2:
        return kept
    opening = speaker.blocks([say("One of these errors may have led to this answer.")])
    return (*opening, *kept[:MOST_TOLD])


def without(hidden: frozenset[str], told: Blocks) -> Blocks:
    """What prints nothing hidden."""
    if not hidden:
        return tuple(told)
    return tuple(block for block in told if hidden.isdisjoint(_numbers_in((block,))))


def _secret(answer: Answer, response: Response) -> frozenset[str]:
    """The numbers of which the key is made."""
    match response:
        case IntegerEntry(others=others) if others:
            return frozenset(map(str, response.values))
        case IntegerEntry(value=value):
            if isinstance(answer, ResidueSet) and answer.count == 1:
                return frozenset([str(value), str(answer.least())])
            return frozenset([str(value)])
        case Guided(stages=stages):
            values = (getattr(stage.response, "values", ()) for stage in stages)
            return frozenset(str(n) for listed in values for n in listed)
        case TrueFalse():
            return frozenset()
    match answer:
        case Value(value=value):
            return frozenset([str(value)])
        case ResidueSet() if answer.count <= _LISTED:
            return frozenset(map(str, (*answer.residues(), *_listed_in(response))))
        case Pairs(_, pairs):
            return frozenset(map(str, (n for pair in pairs for n in pair)))
    return frozenset()


def _listed_in(response: Response) -> tuple[object, ...]:
    """The numbers that the key lists, which may be integers of a range."""
    match response:
        case ListEntry(values=values):
            return values
        case SelectOne(options=options) | SelectAll(options=options):
            return tuple(n for option in options if option.correct for n in option.residues)
    return ()


def _numbers_in(blocks: Iterable[Block]) -> frozenset[str]:
    """The numbers that prose shows, exponents among them.

    >>> sorted(_numbers_in(Speaker().blocks([say("$5^{n} ≡ -1 (mod {m})$", n=18, m=37)])))
    ['-1', '18', '37', '5']
    """
    text = "\n".join(map(_unwrapped, blocks))
    return frozenset(n.translate(_FULL_SIZE) for n in _NUMBER.findall(text))


def _unwrapped(block: Block) -> str:
    """A block in plain text; where a paragraph breaks does not matter to its numbers."""
    if isinstance(block, Paragraph):
        return f"{block.lead} {plain.inlines(block.content)}"
    return plain.block(block)
