"""A problem, its solution and its slips, composed into an item.

Wording, options, feedback: what the student sees and what it is worth. A response
form is one function here; nothing is solved, and nothing is left to chance (the
position of the key turns with the index of the variant).

Options obey the trade's rules (Haladyna, Downing & Rodriguez, Applied Measurement in
Education 15(3), 2002): in order of size, no two that mean the same, every wrong one the
result of a named slip, and the key never the only one of its size.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

from itembank import words
from itembank.answer import Absent, Answer, Claimed, Pairs, ResidueSet, Truth, Value, claimed
from itembank.errors import ComposeError
from itembank.item import (
    IntegerEntry,
    Item,
    ListEntry,
    Option,
    Provenance,
    Response,
    Scoring,
    SelectAll,
    SelectOne,
    SetEntry,
    SlipFeedback,
    TrueFalse,
)
from itembank.notation import spoken
from itembank.notation.reading import paragraph, prose
from itembank.notation.tree import Blocks, Inlines
from itembank.problems.base import Problem, Slip, Solution
from itembank.words import _, ngettext

MOST_OPTIONS = 9
"""Select all: the most residues offered, "no solutions" aside."""

LEAST_WRONG = 2
"""Select all: the fewest wrong residues offered."""

OPTIONS = 4
"""Select one: the number of options."""

LONGEST_SET = 12
"""Select one: the most residues in an option."""

LONGEST_LIST = 8
"""Typed list: the most residues to type."""

ENTRIES = 6
"""Typed set: the entries offered, always as many, so that they do not tell the number."""

TOLD_SLIPS = 4
"""Typed set: the slips that have feedback; each makes the scoring as long again."""

LARGEST_MODULUS = 2**30
"""Typed set: up to it readers compute residues exactly (a residue and the modulus in 31 bits)."""


@dataclass(frozen=True, kw_only=True)
class Wording:
    """What an item says about itself, from its family and its pool."""

    title: str
    ask: str
    form: str
    rule: str
    points: int
    outcomes: tuple[str, ...]
    level: str
    provenance: Provenance


@dataclass(frozen=True)
class Draft:
    """The parts of an item that depend on its response form."""

    instructions: Blocks
    response: Response
    feedback: tuple[SlipFeedback, ...]
    scoring: Scoring


def compose(
    problem: Problem, solution: Solution[Any], slips: Sequence[Slip], wording: Wording
) -> Item:
    """The item; ComposeError if this problem cannot be put in this form."""
    draft = FORMS[wording.form](problem, solution, slips, wording)
    stem = (*problem.question(wording.ask), *draft.instructions)
    return Item(
        title=wording.title,
        statement=problem.statement,
        kind=problem.kind,
        ask=wording.ask,
        stem=stem,
        spoken=spoken.blocks(stem),
        response=draft.response,
        scoring=draft.scoring,
        feedback=draft.feedback,
        solution=problem.worked(solution),
        outcomes=wording.outcomes,
        level=wording.level,
        steps=solution.effort,
        language=words.language,
        provenance=wording.provenance,
    )


# ------------------------------------------------------------ wording shared


def worth(points: int) -> str:
    return ngettext("{n} point", "{n} points", points).format(n=points)


def residue_range(m: int) -> str:
    return f"$0$ {_('to')} ${m - 1}$"


def slip_feedback(
    found: Sequence[Slip], response: tuple[str, ...] | tuple[int, ...]
) -> SlipFeedback:
    """What is said to a student who answered as these slips would; several are told apart."""
    names = tuple(name for slip in found for name in slip.names)
    text = tuple(block for slip in found for block in slip.feedback)
    if len(names) > 1:
        text = (paragraph(_("More than one slip leads to this answer.")), *text)
    return SlipFeedback(slips=names, response=response, text=text)


def residues_of(slip: Slip) -> tuple[int, ...]:
    """The residues that a slip leads to, where the answer is a set of residues."""
    return tuple(x for x in slip.answer if isinstance(x, int))


def residue_set(answer: Answer, form: str) -> ResidueSet:
    if not isinstance(answer, ResidueSet):
        raise ComposeError(f"{form}: expected an answer that is a set of residues")
    return answer


# ------------------------------------------------------------ select all


def select_all(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """The least residues to tick: the key, the residues that slips lead to, and "none"."""
    answer, shown = residues_to_show(solution.answer, slips)
    key = set(answer.residues())
    options = [
        Option(
            identifier=f"residue-{x}",
            label=prose(f"${x}$"),
            residues=(x,),
            correct=x in key,
            slips=() if x in key else names_leading_to(x, slips),
        )
        for x in sorted(shown)
    ]
    options.append(
        Option(
            identifier="none",
            label=(problem.phrases.none,),
            residues=(),
            correct=not key,
            none=True,
            slips=() if not key else names_leading_to(None, slips),
        )
    )
    feedback = tuple(
        slip_feedback([s], tuple(f"residue-{x}" for x in s.answer) or ("none",))
        for s in slips
        if set(s.answer) <= shown
    )
    scoring = select_all_scoring(wording, len(key) or 1)
    tick = _(
        "Tick every least residue ({range}) that is {member}. If there is none, tick only “{none}”."
    )
    return Draft(
        (
            paragraph(
                tick.format(
                    range=residue_range(answer.modulus),
                    member=problem.phrases.member,
                    none=problem.phrases.none,
                )
            ),
            paragraph(select_all_rule(scoring)),
        ),
        SelectAll(options=tuple(options)),
        feedback,
        scoring,
    )


def residues_to_show(answer: Answer, slips: Sequence[Slip]) -> tuple[ResidueSet, set[int]]:
    """The key, and with it the residues that slips lead to; ComposeError for too many or few."""
    found = residue_set(answer, "select all")
    if found.count > MOST_OPTIONS - LEAST_WRONG:
        raise ComposeError(
            f"select all: {found.count} solutions, expected at most {MOST_OPTIONS - LEAST_WRONG}"
        )
    shown = set(found.residues())
    for slip in slips:
        if len(together := shown | set(residues_of(slip))) <= MOST_OPTIONS:
            shown = together
    wrong = len(shown) - found.count
    if wrong < LEAST_WRONG:
        raise ComposeError(
            f"select all: the slips give {wrong} wrong residues, expected {LEAST_WRONG}"
        )
    return found, shown


def select_all_scoring(wording: Wording, right: int) -> Scoring:
    if wording.rule == "plus minus":
        return Scoring(rule="plus minus", points=right)
    return Scoring(points=wording.points)


def select_all_rule(scoring: Scoring) -> str:
    if scoring.rule == "plus minus":
        return _("Each right tick adds 1, each wrong tick takes 1 away; the sum is never below 0.")
    return _("{points} if exactly the right options are ticked, otherwise 0.").format(
        points=worth(scoring.points)
    )


def names_leading_to(x: int | None, slips: Iterable[Slip]) -> tuple[str, ...]:
    """The slips whose answer holds x; those with an empty answer for None."""
    return tuple(
        dict.fromkeys(
            name
            for slip in slips
            if (x in slip.answer if x is not None else not slip.answer)
            for name in slip.names
        )
    )


# ------------------------------------------------------------ select one


def select_one(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """Answers to choose from, complete sets or single values, one of them right."""
    key, wrong = claims_to_choose_from(solution.answer, slips)
    sets = wording.ask == "all solutions"
    chosen = distractors(key, tuple(wrong), wording.provenance.index)
    label = set_label if sets else value_label
    options = tuple(
        Option(
            identifier=f"option-{i}",
            label=label(claim) if claim else (problem.phrases.none,),
            residues=claim,
            correct=claim == key,
            none=not claim,
            slips=() if claim == key else wrong[claim].names,
        )
        for i, claim in enumerate(sorted((key, *chosen), key=by_size), 1)
    )
    feedback = tuple(
        slip_feedback([wrong[o.residues]], (o.identifier,)) for o in options if not o.correct
    )
    scoring = Scoring(points=wording.points)
    points = worth(scoring.points)
    if sets:
        choose = _(
            "Choose the set that holds **all** of them among the least residues ({range}), and "
            "nothing else."
        ).format(range=residue_range(problem.modulus))
        rule = _("{points} for the right set, otherwise 0.").format(points=points)
    else:
        choose = _("Choose the right answer.")
        rule = _("{points} for the right answer, otherwise 0.").format(points=points)
    return Draft(
        (paragraph(choose), paragraph(rule)), SelectOne(options=options), feedback, scoring
    )


def claims_to_choose_from(
    answer: Answer, slips: Sequence[Slip]
) -> tuple[Claimed, dict[Claimed, Slip]]:
    """The key and the wrong answers, enough of them and one as large; else ComposeError."""
    if isinstance(answer, ResidueSet) and answer.count > LONGEST_SET:
        raise ComposeError(f"select one: {answer.count} solutions, expected at most {LONGEST_SET}")
    key = claimed(answer)
    wrong = {s.answer: s for s in slips if len(s.answer) <= LONGEST_SET}
    alike = sum(len(s) == len(key) for s in wrong)
    if len(wrong) < OPTIONS - 1 or not alike:
        raise ComposeError(
            f"select one: the slips give {len(wrong)} wrong answers, {alike} of them as large as "
            f"the key; expected {OPTIONS - 1} and 1"
        )
    return key, wrong


def by_size(claim: Claimed) -> tuple[int, Claimed]:
    return len(claim), claim


def set_label(claim: Claimed) -> Inlines:
    members = (str(x) if isinstance(x, int) else f"({x[0]}, {x[1]})" for x in claim)
    return prose("${" + ", ".join(members) + "}$")


def value_label(claim: Claimed) -> Inlines:
    (value,) = claim
    return prose(f"${value}$")


def distractors(key: Claimed, wrong: Sequence[Claimed], index: int) -> tuple[Claimed, ...]:
    """The wrong answers to offer beside the key.

    At least one is as large as the key; among the choices that allow it, the key is
    not the set that shares most with the others, and stands at the place that turns
    with the index.
    """
    smaller = {s for s in wrong if by_size(s) < by_size(key)}

    def misplaced(choice: tuple[Claimed, ...]) -> int:
        return abs(len(smaller.intersection(choice)) - index % OPTIONS)

    choices = (c for c in combinations(wrong, OPTIONS - 1) if any(len(s) == len(key) for s in c))
    ordered = sorted(choices, key=misplaced)
    return next((choice for choice in ordered if not is_hub(key, choice)), ordered[0])


def is_hub(key: Claimed, others: Sequence[Claimed]) -> bool:
    """Whether the key shares more members with the other options than each of them does."""
    offered = [set(key), *map(set, others)]
    shared = [sum(len(s & t) for t in offered if t is not s) for s in offered]
    return shared[0] > max(shared[1:])


# ------------------------------------------------------------ entries


def integer(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """One integer to type: a value, how many, the least, the largest, or the only solution."""
    key, modulus, of_slip = number_asked(solution.answer, wording.ask)
    if wording.ask == "the value" or isinstance(solution.answer, Pairs):
        instruction = problem.phrases.entry
    else:
        instruction = INSTRUCTIONS[wording.ask]().format(
            range=residue_range(problem.modulus), m=problem.modulus
        )
    merged: dict[int, list[Slip]] = {}
    for slip in slips:
        value = of_slip(slip.answer)
        if value is not None and value != key:
            merged.setdefault(value, []).append(slip)
    scoring = Scoring(points=wording.points)
    rule = paragraph(
        _("{points} for the right number, otherwise 0.").format(points=worth(scoring.points))
    )
    least = paragraph(
        _("Type its least residue ({range}) in digits.").format(
            range=residue_range(modulus or problem.modulus)
        )
    )
    least_stem = (*problem.question(wording.ask), least, rule) if modulus else ()
    return Draft(
        (paragraph(instruction), rule),
        IntegerEntry(value=key, modulus=modulus, least_stem=least_stem),
        tuple(slip_feedback(found, (value,)) for value, found in merged.items()),
        scoring,
    )


OfSlip = Callable[[Claimed], int | None]


def number_asked(answer: Answer, ask: str) -> tuple[int, int | None, OfSlip]:
    """The number, the modulus of which it is a residue, and a slip's; ComposeError for none."""
    if ask == "the value":
        return the_value(answer)
    if isinstance(answer, Pairs):
        return len(answer.pairs), None, len
    return number_of_set(answer, ask)


def the_value(answer: Answer) -> tuple[int, int | None, OfSlip]:
    if not isinstance(answer, Value):
        raise ComposeError("integer: there is no such number")
    return answer.value, answer.modulus, lambda claim: only_integer(claim)


def only_integer(claim: Claimed) -> int | None:
    return claim[0] if len(claim) == 1 and isinstance(claim[0], int) else None


def number_of_set(answer: Answer, ask: str) -> tuple[int, int | None, OfSlip]:
    """The number that `ask` wants of a set of residues; and of a slip's residues."""
    found = residue_set(answer, "integer")
    if ask == "how many":
        return found.count, None, len
    if ask == "the least":
        key, of_slip = found.least(), smallest
    elif ask == "the largest":
        key, of_slip = found.largest(), greatest
    else:
        key, of_slip = (found.least() if found.count == 1 else None), only_integer
    if key is None:
        raise ComposeError(f"{ask}: {found.count} solutions, so there is no such number")
    return key, found.modulus if ask == "the solution" else None, of_slip


def smallest(claim: Claimed) -> int | None:
    return only_integer(claim[:1])


def greatest(claim: Claimed) -> int | None:
    return only_integer(claim[-1:])


INSTRUCTIONS: dict[str, Callable[[], str]] = {
    "how many": lambda: _(
        "Count the least residues ({range}) that solve it. Type the number in digits; if there is "
        "no solution, type 0."
    ),
    "the least": lambda: _(
        "Type the smallest of all solutions among the least residues ({range}), in digits."
    ),
    "the largest": lambda: _(
        "Type the largest of all solutions among the least residues ({range}), in digits."
    ),
    "the solution": lambda: _(
        "There is exactly one residue class modulo {m}. Type any integer of it, in digits, with - "
        "for a negative one."
    ),
}
"""What is typed for each ask that one integer answers."""


def typed_list(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """All least residues in one entry."""
    answer = residues_to_type(solution.answer)
    none = _("none")
    scoring = Scoring(points=wording.points)
    instruction = _(
        "Type all of them as least residues ({range}), in increasing order, separated by commas, "
        "such as {example}. If there is none, type “{none}”."
    )
    rule = _("{points} for exactly the right list, otherwise 0.")
    return Draft(
        (
            paragraph(
                instruction.format(
                    range=residue_range(answer.modulus), example="1, 2, 3", none=none
                )
            ),
            paragraph(rule.format(points=worth(scoring.points))),
        ),
        ListEntry(values=answer.residues(), modulus=answer.modulus, none_word=none),
        tuple(slip_feedback([s], residues_of(s)) for s in slips if len(s.answer) <= LONGEST_LIST),
        scoring,
    )


def residues_to_type(answer: Answer) -> ResidueSet:
    found = residue_set(answer, "list")
    if found.count > LONGEST_LIST:
        raise ComposeError(f"list: {found.count} solutions, expected at most {LONGEST_LIST}")
    return found


def typed_set(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """The solutions one by one, in entries of which some stay blank."""
    answer = residues_to_enter(solution.answer)
    scoring = Scoring(points=wording.points)
    instruction = _(
        "There is at least one. Type all of them in digits, one to an entry, in any order; of each "
        "type any representative modulo {m}, with - for a negative one. There are more entries "
        "than needed: leave the others blank."
    )
    rule = _("{points} for exactly the right set, otherwise 0.")
    told = [s for s in slips if 0 < len(s.answer) < ENTRIES][:TOLD_SLIPS]
    return Draft(
        (
            paragraph(instruction.format(m=f"${answer.modulus}$")),
            paragraph(rule.format(points=worth(scoring.points))),
        ),
        SetEntry(values=answer.residues(), modulus=answer.modulus, entries=ENTRIES),
        tuple(slip_feedback([s], residues_of(s)) for s in told),
        scoring,
    )


def residues_to_enter(answer: Answer) -> ResidueSet:
    found = residue_set(answer, "set")
    if not 0 < found.count < ENTRIES:
        raise ComposeError(f"set: {found.count} solutions, expected 1 to {ENTRIES - 1}")
    if found.modulus > LARGEST_MODULUS:
        raise ComposeError(f"set: modulus {found.modulus}, expected at most {LARGEST_MODULUS}")
    return found


def true_or_false(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """A claim to affirm or deny: there is a solution, the number is valid, ..."""
    answer = solution.answer
    if isinstance(answer, Truth):
        truth = answer.holds
        misled = [s for s in slips if bool(s.answer[0]) != truth]
    else:
        truth = exists(answer)
        misled = [s for s in slips if bool(s.answer) != truth]
    scoring = Scoring(points=wording.points)
    instruction = _("True or false: {claim}. {points} for the right word, otherwise 0.")
    return Draft(
        (paragraph(instruction.format(claim=problem.phrases.claim, points=worth(scoring.points))),),
        TrueFalse(truth=truth, yes=(_("True"),), no=(_("False"),)),
        (slip_feedback(misled, ("false" if truth else "true",)),) if misled else (),
        scoring,
    )


def exists(answer: Answer) -> bool:
    """Whether there is what was asked for: a solution, a value."""
    match answer:
        case ResidueSet():
            return bool(answer)
        case Pairs(_, pairs):
            return bool(pairs)
    return not isinstance(answer, Absent)


Compose = Callable[[Problem, Solution[Any], Sequence[Slip], Wording], Draft]

FORMS: dict[str, Compose] = {
    "select all": select_all,
    "select one": select_one,
    "integer": integer,
    "list": typed_list,
    "set": typed_set,
    "solvable or not": true_or_false,
}
"""One function for each response form of the vocabulary."""

REQUIREMENTS: dict[str, Callable[[Answer, Sequence[Slip], str], object]] = {
    "select all": lambda answer, slips, _ask: residues_to_show(answer, slips),
    "select one": lambda answer, slips, _ask: claims_to_choose_from(answer, slips),
    "integer": lambda answer, _slips, ask: number_asked(answer, ask),
    "list": lambda answer, _slips, _ask: residues_to_type(answer),
    "set": lambda answer, _slips, _ask: residues_to_enter(answer),
    "solvable or not": lambda _answer, _slips, _ask: None,
}
"""What each form needs of an answer and its slips."""


def check_form(form: str, answer: Answer, slips: Sequence[Slip], ask: str) -> None:
    """ComposeError if a problem with this answer and these slips cannot be put in the form."""
    REQUIREMENTS[form](answer, slips, ask)
