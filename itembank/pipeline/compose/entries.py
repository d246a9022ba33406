"""Answers to type: one integer, a list, the members of a set one by one."""

from collections.abc import Callable, Sequence

from itembank.kinds.base import (
    NOTHING_SAID,
    Exemplified,
    Problem,
    Slip,
    Solution,
    worked_for,
)
from itembank.languages import Said, Speaker, Telling, counted, lead, say
from itembank.notation.building import listed
from itembank.notation.tree import Blocks
from itembank.pipeline.compose.draft import (
    Draft,
    Wording,
    asked,
    modulus_of,
    residue_set,
    residues_of,
    slip_feedback,
)
from itembank.pipeline.compose.within import (
    OfSlip,
    claims_of,
    list_asked,
    list_overlooked,
    number_of_range,
    residue_typed,
    where,
)
from itembank.pipeline.examples import bounds_of, examples
from itembank.pipeline.ranges import all_in_range
from itembank.values.answer import Answer, Claimed, Pairs, Range, ResidueSet, Value
from itembank.values.errors import ComposeError
from itembank.values.item import LARGEST_MODULUS, IntegerEntry, ListEntry, Scoring, SetEntry
from itembank.values.worded import worded

_LONGEST_LIST = 8
"""Typed list: the most residues to type."""

_EXAMPLE = "1, 2, 3"
"""How a list is typed."""

_ENTRIES = 6
"""Typed set: the entries offered, always as many, so that they do not tell the number."""

_TOLD_SLIPS = 4
"""Typed set: the slips that have feedback; each makes the scoring as long again."""

# ------------------------------------------------------------ one integer


def integer(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """One integer to type: a value, how many, the least, the largest, or the only solution."""
    if wording.ask == "an example":
        return _example(solution, slips, wording)
    key, modulus, of_slip = number_asked(solution.answer, wording.ask)
    if wording.ask == "the value" or isinstance(solution.answer, Pairs):
        instruction = problem.phrases.entry
    elif wording.ask == "the largest" and problem.phrases.largest != NOTHING_SAID:
        instruction = problem.phrases.largest
    else:
        instruction = _INSTRUCTIONS[wording.ask](modulus_of(problem, "integer"))
    if wording.range:
        key, modulus, of_slip = number_of_range(solution.answer, wording)
        instruction = where(wording)
    speaker = Speaker(wording.language)
    merged: dict[int, list[Slip]] = {}
    for slip in slips:
        value = of_slip(slip.answer)
        if value is not None and value != key:
            merged.setdefault(value, []).append(slip)
    for value, slip in residue_typed(solution.answer, wording) if wording.range else ():
        merged.setdefault(value, []).append(slip)
    scoring = Scoring(points=wording.points)
    rule = counted(
        "{n} point for the right number, otherwise 0.",
        "{n} points for the right number, otherwise 0.",
        scoring.points,
    )
    least_stem: Blocks = ()
    if modulus:
        least = say("Type its least residue ($0$ to ${last}$) in digits.", last=modulus - 1)
        least_stem = (
            *asked(problem, wording),
            *speaker.blocks([least]),
            *speaker.blocks([rule]),
        )
    return Draft(
        ((instruction,), (rule,)),
        IntegerEntry(value=key, modulus=modulus, least_stem=least_stem),
        tuple(slip_feedback(found, (value,), speaker) for value, found in merged.items()),
        scoring,
    )


# ------------------------------------------------------------ an example

_TOLD_EXAMPLES = 3
"""How many wrong examples have feedback of their own at most, for each slip."""


def _example(solution: Solution[Answer], slips: Sequence[Slip], wording: Wording) -> Draft:
    """Any one of several numbers to type: every right one of the range counts."""
    low, high = bounds_of(solution.answer, wording.range)
    right = examples(solution.answer, wording.range)
    speaker = Speaker(wording.language)
    scoring = Scoring(points=wording.points)
    instruction = say(
        "Type one such number from ${low}$ to ${high}$. Every right one counts.",
        low=low,
        high=high,
    )
    rule = counted(
        "{n} point for a right number, otherwise 0.",
        "{n} points for a right number, otherwise 0.",
        scoring.points,
    )
    wrong: dict[int, list[Slip]] = {}
    told: set[int] = set()
    for slip in slips:
        led = [n for n in residues_of(slip) if low <= n <= high and n not in right]
        for n in led:
            wrong.setdefault(n, []).append(slip)
        told.update([n for n in led if n not in told][:_TOLD_EXAMPLES])
    return Draft(
        ((instruction,), (rule,)),
        IntegerEntry(value=right[0], others=right[1:]),
        tuple(slip_feedback(wrong[n], (n,), speaker) for n in sorted(told)),
        scoring,
    )


def _an_example(answer: Answer) -> int:
    """The least of all; ComposeError where there is none."""
    least = residue_set(answer, "integer").least()
    if least is None:
        raise ComposeError(worded("an example: there is none"))
    return least


def worked_example(problem: Problem, way: Solution[Answer], wording: Wording) -> Telling:
    """The worked solution, which of those that were found may be typed, and why one is right."""
    right = examples(way.answer, wording.range)
    low, high = bounds_of(way.answer, wording.range)
    shown = problem if isinstance(problem, Exemplified) else None
    if shown is None or not shown.example_alone:
        yield from worked_for(problem, way, wording.ask)
    if shown:
        if shown.example_alone:
            yield say("Take {n}, for example.", n=right[0])
        else:
            yield lead("For example.")
        yield from shown.example(right[0])
    if len(right) == residue_set(way.answer, "integer").count:
        yield say("Each right number counts.")
        return
    yield counted(
        "One number from ${low}$ to ${high}$ counts: ${numbers}$.",
        "Each of these {n} from ${low}$ to ${high}$ counts: ${numbers}$.",
        len(right),
        low=low,
        high=high,
        numbers=listed(right),
    )


def number_asked(answer: Answer, ask: str) -> tuple[int, int | None, OfSlip]:
    """The number, the modulus of which it is a residue, and a slip's; ComposeError for none."""
    if ask == "the value":
        return _the_value(answer)
    if ask == "an example":
        return _an_example(answer), None, _only_integer
    if isinstance(answer, Pairs):
        return len(answer.pairs), None, len
    return number_of_set(answer, ask)


def _the_value(answer: Answer) -> tuple[int, int | None, OfSlip]:
    if not isinstance(answer, Value):
        raise ComposeError(worded("integer: there is no such number"))
    return answer.value, answer.modulus, lambda claim: _only_integer(claim)


def _only_integer(claim: Claimed) -> int | None:
    return claim[0] if len(claim) == 1 and isinstance(claim[0], int) else None


def number_of_set(answer: Answer, ask: str) -> tuple[int, int | None, OfSlip]:
    """The number that `ask` wants of a set of residues; and of a slip's residues."""
    found = residue_set(answer, "integer")
    if ask == "how many":
        return found.count, None, len
    if ask == "the least":
        key, of_slip = found.least(), _smallest
    elif ask == "the largest":
        key, of_slip = found.largest(), _greatest
    else:
        key, of_slip = (found.least() if found.count == 1 else None), _only_integer
    if key is None:
        raise ComposeError(
            worded(
                "{ask}: {count} solutions, so there is no such number", ask=ask, count=found.count
            )
        )
    return key, found.modulus if ask == "the solution" else None, of_slip


def _smallest(claim: Claimed) -> int | None:
    return _only_integer(claim[:1])


def _greatest(claim: Claimed) -> int | None:
    return _only_integer(claim[-1:])


_INSTRUCTIONS: dict[str, Callable[[int], Said]] = {
    "how many": lambda m: say(
        "Count the least residues ($0$ to ${last}$) that solve it. Type the number in digits; if "
        "there is no solution, type 0.",
        last=m - 1,
    ),
    "the least": lambda m: say(
        "Type the smallest of all solutions among the least residues ($0$ to ${last}$), in digits.",
        last=m - 1,
    ),
    "the largest": lambda m: say(
        "Type the largest of all solutions among the least residues ($0$ to ${last}$), in digits.",
        last=m - 1,
    ),
    "the solution": lambda m: say(
        "The solution is one residue class modulo {m}. Type any integer in it; $-3$ is typed -3.",
        m=m,
    ),
}
"""What is typed for each ask that one integer answers, modulo m."""


# ------------------------------------------------------------ a list


def typed_list(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """All least residues in one entry, or all integers of a range."""
    answer = residue_set(solution.answer, "list")
    values = integers_to_type(answer, wording.range)
    speaker = Speaker(wording.language)
    none = speaker.text(say("none"))
    scoring = Scoring(points=wording.points)
    if wording.range:
        instruction = list_asked(wording.range, _EXAMPLE, none)
        found = claims_of(answer, slips, None, wording.range)
        slips = (*found.slips, *list_overlooked(answer, found, wording.range))
    elif problem.phrases.some:
        instruction = say(
            "There is at least one. Type all of them as least residues ($0$ to ${last}$), in "
            "increasing order, separated by commas, such as {example}.",
            last=answer.modulus - 1,
            example=_EXAMPLE,
        )
    elif problem.phrases.digits:
        instruction = say(
            "Type all of them in increasing order, separated by commas, such as {example}. If "
            "there is none, type “{none}”.",
            example=_EXAMPLE,
            none=none,
        )
    else:
        instruction = say(
            "Type all of them as least residues ($0$ to ${last}$), in increasing order, separated "
            "by commas, such as {example}. If there is none, type “{none}”.",
            last=answer.modulus - 1,
            example=_EXAMPLE,
            none=none,
        )
    rule = counted(
        "{n} point for exactly the right list, otherwise 0.",
        "{n} points for exactly the right list, otherwise 0.",
        scoring.points,
    )
    return Draft(
        ((instruction,), (rule,)),
        ListEntry(values=values, modulus=answer.modulus, none_word=none),
        tuple(
            slip_feedback([s], residues_of(s), speaker)
            for s in slips
            if len(s.answer) <= _LONGEST_LIST
        ),
        scoring,
    )


def integers_to_type(answer: Answer, within: Range | None) -> tuple[int, ...]:
    """The residues, or the integers of a range; ComposeError for too many."""
    found = residue_set(answer, "list")
    if within:
        return all_in_range(found, within)
    if found.count > _LONGEST_LIST:
        raise ComposeError(
            worded(
                "list: {count} solutions, expected at most {longest_list}",
                count=found.count,
                longest_list=_LONGEST_LIST,
            )
        )
    return found.residues()


# ------------------------------------------------------------ a set


def typed_set(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """The solutions one by one, in entries of which some stay blank."""
    answer = residues_to_enter(solution.answer, problem)
    scoring = Scoring(points=wording.points)
    instruction = say(
        "There is at least one. Type all of them in digits, one to an entry, in any order; of each "
        "type any representative modulo ${m}$; $-3$ is typed -3. There are more entries than "
        "needed: leave the others blank.",
        m=answer.modulus,
    )
    rule = counted(
        "{n} point for exactly the right set, otherwise 0.",
        "{n} points for exactly the right set, otherwise 0.",
        scoring.points,
    )
    speaker = Speaker(wording.language)
    told = [s for s in slips if 0 < len(s.answer) < _ENTRIES][:_TOLD_SLIPS]
    return Draft(
        ((instruction,), (rule,)),
        SetEntry(values=answer.residues(), modulus=answer.modulus, entries=_ENTRIES),
        tuple(slip_feedback([s], residues_of(s), speaker) for s in told),
        scoring,
    )


def residues_to_enter(answer: Answer, problem: Problem) -> ResidueSet:
    """The set; ComposeError where no other integer stands for its numbers, or for its size."""
    if problem.phrases.digits:
        raise ComposeError(
            worded("set: expected residues, of which any representative may be typed")
        )
    found = residue_set(answer, "set")
    if not 0 < found.count < _ENTRIES:
        raise ComposeError(
            worded(
                "set: {count} solutions, expected 1 to {entries}",
                count=found.count,
                entries=_ENTRIES - 1,
            )
        )
    if found.modulus > LARGEST_MODULUS:
        raise ComposeError(
            worded(
                "set: modulus {modulus}, expected at most {largest_modulus}",
                modulus=found.modulus,
                largest_modulus=LARGEST_MODULUS,
            )
        )
    return found
