"""Answers to tick or to choose from: residues, sets, values, yes or no.

Options obey the trade's rules (Haladyna, Downing & Rodriguez, Applied Measurement in
Education 15(3), 2002): in order of size, no two that mean the same, every wrong one the
result of a named slip, and the key never the only one of its size.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

from itembank.kinds.base import Problem, Slip, Solution
from itembank.languages import Said, Speaker, counted, say
from itembank.notation import plain
from itembank.notation.building import listed
from itembank.notation.tree import Formula, Group, Inlines, Number, SetOf
from itembank.pipeline.balance import OPTIONS
from itembank.pipeline.compose.draft import (
    Draft,
    Wording,
    modulus_of,
    residue_set,
    residues_of,
    slip_feedback,
)
from itembank.pipeline.compose.options import (
    LONGEST_SET,
    Together,
    chosen,
    like,
    orbits,
    together_of,
    wrong_answers,
)
from itembank.pipeline.compose.remarks import without
from itembank.pipeline.compose.within import Claims, claims_of, set_asked, ticks_asked
from itembank.pipeline.ranges import all_in_range
from itembank.values.answer import Absent, Answer, Claimed, Pairs, Range, ResidueSet, Truth
from itembank.values.errors import ComposeError
from itembank.values.item import Option, Scoring, SelectAll, SelectOne, SlipFeedback, TrueFalse
from itembank.values.worded import worded

_AT_A_ROOT = re.compile(r"\bf′?\(")
"""A remark that tells the value of the polynomial somewhere."""

_MOST_OPTIONS = 10
"""Select all: the most residues offered, "no solutions" aside."""

_LEAST_WRONG = 2
"""Select all: the fewest wrong residues offered."""

_LEAST_WRONG_PARTNERS = 3
"""Select all: the fewest sets of partners that are wrong, where residues come with partners."""

_LEAST_ALIKE = 3
"""Select one: the fewest wrong answers with partners like the key, where there are partners."""

# ------------------------------------------------------------ select all


def select_all(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """The least residues to tick: the key, the residues that slips lead to, and "none"."""
    found, shown = residues_to_show(solution.answer, slips, together_of(problem), wording.range)
    slips, together = found.slips, found.together
    speaker = Speaker(wording.language)
    key = set(found.key)
    options = [
        Option(
            identifier=f"residue-{x}",
            label=number_label(x),
            residues=(x,),
            correct=x in key,
            slips=() if x in key else _names_leading_to(x, slips, together),
        )
        for x in sorted(shown)
    ]
    options.append(
        Option(
            identifier="none",
            label=speaker.inlines(problem.phrases.none),
            residues=(),
            correct=not key,
            none=True,
            slips=() if not key else _names_leading_to_none(slips),
        )
    )
    feedback = tuple(
        slip_feedback([s], tuple(f"residue-{x}" for x in s.answer) or ("none",), speaker)
        for s in slips
        if set(s.answer) <= shown
    )
    scoring = _select_all_scoring(wording, len(key) or 1)
    tick = ticks_asked(wording.range) if wording.range else problem.phrases.tick
    return Draft(
        ((tick,), (_select_all_rule(scoring),)),
        SelectAll(options=tuple(options)),
        feedback,
        scoring,
    )


def residues_to_show(
    answer: Answer, slips: Sequence[Slip], together: Together | None, within: Range | None = None
) -> tuple[Claims, set[int]]:
    """The key, and with it the residues that slips lead to; ComposeError for too many or few.

    `within` a range, they are integers of it.

    Where a residue must come with partners, a wrong one does too: what stands alone is wrong at
    sight.  A number beyond those among which the answers are is not shown either.
    """
    held = residue_set(answer, "select all")
    count = len(all_in_range(held, within)) if within else held.count
    if count > _MOST_OPTIONS - _LEAST_WRONG:
        raise ComposeError(
            worded(
                "select all: {count} solutions, expected at most {most_options}",
                count=count,
                most_options=_MOST_OPTIONS - _LEAST_WRONG,
            )
        )
    found = claims_of(held, slips, together, within)
    together, shown = found.together, {n for n in found.key if isinstance(n, int)}
    parts = len(orbits(tuple(shown), together)) if together else 0
    beyond = held.modulus if within is None or within.high is None else within.high + 1
    for slip in found.slips:
        whole = [frozenset(residues_of(slip))]
        for more in orbits(slip.answer, together) if together else whole:
            if len(shown | more) <= _MOST_OPTIONS and max(more, default=0) < beyond:
                shown |= more
    wrong = len(shown) - count
    least = _LEAST_WRONG
    if together:
        wrong, least = len(orbits(tuple(shown), together)) - parts, _LEAST_WRONG_PARTNERS
    if wrong < least:
        raise ComposeError(
            worded(
                "select all: the slips give {wrong} wrong residues, expected {least}",
                wrong=wrong,
                least=least,
            )
        )
    return found, shown


def _select_all_scoring(wording: Wording, right: int) -> Scoring:
    if wording.rule == "plus minus":
        return Scoring(rule="plus minus", points=right)
    return Scoring(points=wording.points)


def _select_all_rule(scoring: Scoring) -> Said:
    if scoring.rule == "plus minus":
        return say(
            "Each right tick adds 1, each wrong tick takes 1 away; the sum is never below 0."
        )
    return counted(
        "{n} point if exactly the right options are ticked, otherwise 0.",
        "{n} points if exactly the right options are ticked, otherwise 0.",
        scoring.points,
    )


def _names_leading_to(
    x: int, slips: Iterable[Slip], together: Together | None = None
) -> tuple[str, ...]:
    """The slips whose answer holds x, or else one of its partners."""
    found = [slip for slip in slips if x in slip.answer]
    if not found and together:
        found = [slip for slip in slips if together(x) & set(residues_of(slip))]
    return tuple(dict.fromkeys(name for slip in found for name in slip.names))


def _names_leading_to_none(slips: Iterable[Slip]) -> tuple[str, ...]:
    """The slips with an empty answer."""
    return tuple(name for slip in slips if not slip.answer for name in slip.names)


# ------------------------------------------------------------ select one


def select_one(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """Answers to choose from, complete sets or single values, one of them right."""
    asked, wrong = _claims_to_choose_from(
        solution.answer, slips, together_of(problem), wording.range
    )
    key, m = asked.key, problem.modulus or 0
    fair = chosen(key, tuple(wrong), asked.together, m, wording.provenance)
    sets = wording.ask == "all solutions"
    label = set_label if sets else value_label
    speaker = Speaker(wording.language)
    options = tuple(
        Option(
            identifier=f"option-{i}",
            label=label(claim) if claim else speaker.inlines(problem.phrases.none),
            residues=claim,
            correct=claim == key,
            none=not claim,
            slips=() if claim == key else wrong[claim].names,
        )
        for i, claim in enumerate(fair, 1)
    )
    period = m if wording.range else 0
    feedback = tuple(
        _remark(wrong[o.residues], o, speaker, period) for o in options if not o.correct
    )
    scoring = Scoring(points=wording.points)
    if sets and wording.range:
        choose = set_asked(wording.range)
    elif sets:
        choose = say(
            "Which set contains **all** of them from $0$ to ${last}$, and nothing else?",
            last=modulus_of(problem, "select one") - 1,
        )
    else:
        choose = say("Choose the right answer.")
    if sets:
        rule = counted(
            "{n} point for the right set, otherwise 0.",
            "{n} points for the right set, otherwise 0.",
            scoring.points,
        )
    else:
        rule = counted(
            "{n} point for the right answer, otherwise 0.",
            "{n} points for the right answer, otherwise 0.",
            scoring.points,
        )
    return Draft(((choose,), (rule,)), SelectOne(options=options), feedback, scoring)


def _remark(slip: Slip, option: Option, speaker: Speaker, period: int) -> SlipFeedback:
    """What is said to an option of a slip, without what speaks of a residue that is not in it.

    An option may be made of what a slip leads to and of what it leaves right; then nothing is said
    of the value at a root either, which may be one that was left out.  period: the modulus, where
    options hold integers of a range, which a slip tells as residues; else 0.
    """
    said = slip_feedback([slip], (option.identifier,), speaker)
    left_out = {*residues_of(slip)}.difference(option.residues)
    if period:
        left_out |= {n % period for n in left_out}
    kept = without(frozenset(map(str, left_out)), said.text)
    if left_out:
        kept = tuple(block for block in kept if not _AT_A_ROOT.search(plain.blocks((block,))))
    return replace(said, text=kept)


def _claims_to_choose_from(
    answer: Answer, slips: Sequence[Slip], together: Together | None, within: Range | None = None
) -> tuple[Claims, dict[Claimed, Slip]]:
    """The key and the wrong answers, enough of them and like it; else ComposeError."""
    asked = claims_of_few(answer, slips, together, within)
    return asked, wrong_to_choose_from(asked)


def claims_of_few(
    answer: Answer, slips: Sequence[Slip], together: Together | None, within: Range | None = None
) -> Claims:
    """What the key and the slips claim; ComposeError if that is too long for an option."""
    if within is None and isinstance(answer, ResidueSet) and answer.count > LONGEST_SET:
        raise ComposeError(
            worded(
                "select one: {count} solutions, expected at most {longest_set}",
                count=answer.count,
                longest_set=LONGEST_SET,
            )
        )
    return claims_of(answer, slips, together, within)


def wrong_to_choose_from(asked: Claims) -> dict[Claimed, Slip]:
    """The wrong answers, enough of them and like the key; else ComposeError."""
    key, together = asked.key, asked.together
    wrong = wrong_answers(key, asked.slips, together)
    alike = sum(map(like(key, together), wrong))
    least = _LEAST_ALIKE if together else 1
    if len(wrong) < OPTIONS - 1 or alike < least:
        raise ComposeError(
            worded(
                "select one: the slips give {n} wrong answers, {alike} of them like the key; "
                "expected {options} and {least}",
                n=len(wrong),
                alike=alike,
                options=OPTIONS - 1,
                least=least,
            )
        )
    return wrong


def set_label(claim: Claimed) -> Inlines:
    members = (Number(x) if isinstance(x, int) else Group(listed(x)) for x in claim)
    return (Formula(SetOf(tuple(members))),)


def value_label(claim: Claimed) -> Inlines:
    (value,) = claim
    assert isinstance(value, int)
    return number_label(value)


def number_label(n: int) -> Inlines:
    return (Formula(Number(n)),)


# ------------------------------------------------------------ yes or no


def true_or_false(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """A claim to affirm or deny: there is a solution, the number is valid, ..."""
    answer = solution.answer
    if isinstance(answer, Truth):
        truth = answer.holds
        misled = [s for s in slips if bool(s.answer[0]) != truth]
    else:
        truth = _exists(answer)
        misled = [s for s in slips if bool(s.answer) != truth]
    scoring = Scoring(points=wording.points)
    rule = counted(
        "{n} point for the right word, otherwise 0.",
        "{n} points for the right word, otherwise 0.",
        scoring.points,
    )
    speaker = Speaker(wording.language)
    feedback = slip_feedback(misled, ("false" if truth else "true",), speaker)
    return Draft(
        ((problem.phrases.claim, rule),),
        TrueFalse(truth=truth, yes=speaker.inlines(say("True")), no=speaker.inlines(say("False"))),
        (feedback,) if misled else (),
        scoring,
    )


def _exists(answer: Answer) -> bool:
    """Whether there is what was asked for: a solution, a value."""
    match answer:
        case ResidueSet():
            return bool(answer)
        case Pairs(_, pairs):
            return bool(pairs)
    return not isinstance(answer, Absent)
