"""A problem, its solution and its slips, composed into an item.

Wording, options, feedback: what the student sees and what it is worth. A response
form is one function of this package; nothing is solved, and nothing is left to chance
(the position of the key turns with the index of the variant).
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from itembank.kinds.asking import LINE_ASKS, WHETHER_TRUE, put
from itembank.kinds.base import Problem, Slip, Solution, solution_to, taught, worked_for
from itembank.kinds.lines import InLinesOfOneMethod
from itembank.kinds.wording import under
from itembank.languages import Speaker, Telling, lead
from itembank.notation import spoken
from itembank.pipeline.balance import Room
from itembank.pipeline.compose import (
    choices,
    claims,
    derivation,
    entries,
    lines,
    ordering,
    verdicts,
    which,
)
from itembank.pipeline.compose.draft import Draft, Wording, asked, formal
from itembank.pipeline.compose.options import ample_room, room, together_of
from itembank.pipeline.compose.remarks import remarks
from itembank.pipeline.compose.within import in_the_range
from itembank.values.answer import Range
from itembank.values.item import Item

__all__ = [
    "FORMS",
    "OF_SLIPS",
    "REQUIREMENTS",
    "SELECTED",
    "Wording",
    "asks_for_slips",
    "check_form",
    "compose",
    "question",
]


def compose(
    problem: Problem, solution: Solution[Any], slips: Sequence[Slip], wording: Wording
) -> Item:
    """The item; ComposeError if this problem cannot be put in this form."""
    draft = FORMS[wording.form](problem, solution, slips, wording)
    met = _drafted(draft, problem, solution, wording)
    speaker = Speaker(wording.language, wording.teaching.notation)
    way = _way_told(problem, solution, wording)
    said = remarks(problem, solution, draft, met.stem, wording)
    return replace(
        met,
        feedback=said.draft.feedback,
        otherwise=said.otherwise,
        right=() if wording.form == "guided" else wording.right,
        spoken=spoken.blocks(met.stem, wording.language),
        solution=speaker.blocks(_answering(draft, _worked(problem, way, wording))),
    )


def _way_told(problem: Problem, solution: Solution[Any], wording: Wording) -> Solution[Any]:
    """The solution by the methods of the course; lines are told by the method that they follow."""
    methods = wording.teaching.methods
    if wording.ask in LINE_ASKS and isinstance(problem, InLinesOfOneMethod):
        methods = problem.way_of_lines(methods)
    return taught(problem, solution, methods)


def _answering(draft: Draft, telling: Telling) -> Telling:
    """The worked solution, which ends with what was asked: a line or a reason, if not itself."""
    if not draft.solved:
        return (*telling, *draft.on_the_way)
    return (*under(lead("Solutions."), telling), lead("Answer."), *draft.solved)


def _worked(problem: Problem, way: Solution[Any], wording: Wording) -> Telling:
    """The worked solution, and what of it answers the question as it is put."""
    if wording.ask == "an example":
        yield from entries.worked_example(problem, way, wording)
        return
    yield from worked_for(problem, way, put(problem.signature, wording.ask))
    yield from in_the_range(way.answer, wording)
    if wording.ask == WHETHER_TRUE:
        yield from claims.verdict(problem)


def question(
    problem: Problem, solution: Solution[Any], slips: Sequence[Slip], wording: Wording
) -> Item:
    """The item as it is met before the attempt: nothing said of answers, spoken or worked."""
    return _drafted(
        FORMS[wording.form](problem, solution, slips, wording), problem, solution, wording
    )


def _drafted(draft: Draft, problem: Problem, solution: Solution[Any], wording: Wording) -> Item:
    speaker = Speaker(wording.language)
    way = taught(problem, solution, wording.teaching.methods)
    stem = (
        *asked(problem, wording),
        *(block for told in draft.instructions for block in speaker.blocks(told)),
    )
    return Item(
        title=wording.title,
        statement=problem.statement,
        kind=problem.kind,
        ask=wording.ask,
        stem=stem,
        spoken="",
        response=draft.response,
        scoring=draft.scoring,
        feedback=draft.feedback,
        solution=(),
        outcomes=wording.outcomes,
        level=wording.level,
        steps=solution_to(problem, put(problem.signature, wording.ask), way).effort,
        language=wording.language,
        provenance=wording.provenance,
        formal=formal(problem, wording),
    )


def _select_one(
    problem: Problem, solution: Solution[Any], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """Answers to choose from; by the ask orders of the steps, or verdicts."""
    one = SELECTED.get(wording.ask, choices.select_one)
    return one(problem, solution, slips, wording)


def _true_or_false(
    problem: Problem, solution: Solution[Any], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """A claim: that there is a solution, that something is so, that this is the answer."""
    of_claim = claims.true_or_false if wording.ask == WHETHER_TRUE else choices.true_or_false
    return of_claim(problem, solution, slips, wording)


Compose = Callable[[Problem, Solution[Any], Sequence[Slip], Wording], Draft]

SELECTED: dict[str, Compose] = {
    **lines.SELECT_ONE,
    "the steps": ordering.one_order,
    "always, sometimes or never": verdicts.one_verdict,
    "which": which.one_congruence,
}
"""What is chosen from by the ask, where options are no answers to a problem."""

FORMS: dict[str, Compose] = {
    "select all": choices.select_all,
    "select one": _select_one,
    "integer": entries.integer,
    "list": entries.typed_list,
    "set": entries.typed_set,
    "solvable or not": _true_or_false,
    "order": ordering.put_in_order,
    "match": derivation.match,
    "guided": derivation.guided,
}
"""One function for each response form of the vocabulary."""

Require = Callable[[Problem, Solution[Any], Sequence[Slip], str, Range | None], object]


def _requirements_of_one(
    problem: Problem,
    solution: Solution[Any],
    slips: Sequence[Slip],
    ask: str,
    within: Range | None,
) -> object:
    if ask == "the steps":
        return ordering.steps_to_order(problem, solution)
    if ask in lines.REQUIREMENTS:
        return lines.REQUIREMENTS[ask](problem, solution)
    if ask == "always, sometimes or never":
        return verdicts.verdict(solution)
    if ask == "which":
        return which.congruences_to_choose_from(problem, solution)
    return room_for_key(problem, solution, slips, within)


REQUIREMENTS: dict[str, Require] = {
    "select all": lambda p, s, slips, _ask, within: choices.residues_to_show(
        s.answer, slips, together_of(p), within
    ),
    "select one": _requirements_of_one,
    "integer": lambda _p, s, _slips, ask, _within: entries.number_asked(s.answer, ask),
    "list": lambda _p, s, _slips, _ask, within: entries.integers_to_type(s.answer, within),
    "set": lambda p, s, _slips, _ask, _within: entries.residues_to_enter(s.answer, p),
    "solvable or not": lambda p, s, slips, ask, _within: (
        claims.claims(p, s, slips) if ask == WHETHER_TRUE else None
    ),
    "order": lambda p, s, _slips, _ask, _within: ordering.steps_to_order(p, s),
    "match": lambda p, s, slips, _ask, _within: derivation.requirements_of_match(p, s, slips),
    "guided": lambda p, s, _slips, _ask, _within: derivation.stages_to_fill_in(p, s),
}
"""What each form needs of a problem, its solution and its slips."""

OF_SLIPS = {"select all", "select one", "match"}
"""The forms that fit only where slips lead to enough that is wrong."""


def asks_for_slips(form: str, ask: str) -> bool:
    """Whether it depends on the slips of a problem that it can be put in a form."""
    if form == "select one":
        return ask not in SELECTED
    return form in OF_SLIPS or ask == WHETHER_TRUE


def room_for_key(
    problem: Problem,
    solution: Solution[Any],
    slips: Sequence[Slip],
    within: Range | None = None,
) -> Room:
    """Where among options the key can stand, of a problem that can be put in a choice."""
    asked = choices.claims_of_few(solution.answer, slips, together_of(problem), within)
    ample = ample_room(asked.key, asked.slips, asked.together)
    return ample or room(asked.key, tuple(choices.wrong_to_choose_from(asked)), asked.together)


def check_form(
    form: str,
    problem: Problem,
    solution: Solution[Any],
    slips: Sequence[Slip],
    ask: str,
    spare: int = 0,
    within: Range | None = None,
) -> Room | None:
    """Where among options the key can stand, None without a choice of answers.

    ComposeError if a problem with this solution and these slips cannot be put in the form.
    """
    found = REQUIREMENTS[form](problem, solution, slips, ask, within)
    if spare:
        lines, _misorders = ordering.steps_to_order(problem, solution)
        ordering.spares_to_show(problem, solution, lines, spare, 0)
    return found if isinstance(found, Room) else None
