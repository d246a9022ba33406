"""Parameter sets of a family, made into problems and solved: what may become a variant."""

import re
from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from hashlib import sha256
from typing import Any

from itembank.kinds.asking import put
from itembank.kinds.base import Problem, Slip, Solution, solution_to, taught
from itembank.kinds.table import KINDS
from itembank.pipeline.answers import answer_of, told_of_part
from itembank.pipeline.balance import (
    Room,
)
from itembank.pipeline.own_slips import with_own
from itembank.pipeline.parameter_sets import (
    Parameters,
    ParameterSet,
    Unfinished,
    failed,
)
from itembank.pipeline.ranges import answers_of, beyond_range
from itembank.pipeline.shortcuts import beyond_the_modulus, shortcut
from itembank.spec import Family
from itembank.spec.answered import ANSWER, Answered
from itembank.values.answer import ResidueSet
from itembank.values.course import Methods
from itembank.values.errors import ComposeError, ItemBankError, NoValue, StatementError
from itembank.values.item import canonical
from itembank.values.worded import wording

LISTABLE = 50_000
"""Parameter sets up to this number are listed when variants become rare, or to count them."""

PATIENCE = 300
"""Rejected attempts in a row after which variants count as rare."""

GIVEN_UP = 5_000
"""Rejected attempts in a row after which a family too large to list counts as exhausted."""

BATCH = 100
"""Attempts that are evaluated together where another process does it."""

_REMEMBERED = 1000
"""Candidates that a process keeps, so that composing an item need not solve it again."""

MOST_REASONS = 4
"""Reasons for rejections that a message tells."""

USUAL = Methods()

REPEATED = "the same problem, or a disguise of it"

# ------------------------------------------------------------ candidates


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """A problem that satisfies its family's conditions, with its solution and slips.

    bare: it has no slips, for families whose forms need none.
    """

    family: Family
    parameters: Parameters
    problem: Problem
    solution: Solution[Any]
    bare: bool = False
    parts: "tuple[Candidate, ...]" = ()
    """Those of the parts of a family in parts; the candidate itself is that of the first."""

    @cached_property
    def slips(self) -> tuple[Slip, ...]:
        """Those of its family that apply; many candidates are never asked for them."""
        return () if self.bare else _slips_of(self)


Fits = Callable[[Candidate], Room | None]
"""The room for the key among options, None without a choice.

Raises ComposeError if a candidate cannot be put in a response form of its family; LateError if
it can in the one that is used, though not in all.
"""


class LateError(ComposeError):
    """A candidate that is drawn after all others: it goes in the form that is used, not in all."""

    def __init__(self, message: str, room: Room | None) -> None:
        super().__init__(message)
        self.room = room


@dataclass(frozen=True)
class Effort:
    """What a variant costs by hand: steps, digits, singular roots to lift.

    The digits are those of the modulus, or of the largest integer given where there is none.
    """

    steps: int
    digits: int
    singular: int


@dataclass(frozen=True)
class Attempt:
    """What became of one parameter set; light, so that it may come from another process.

    parameters: None if the set came to no end.
    problem: names the problem and its disguises alike, "" if there was none to name.
    rejected: why it is no candidate, or "", alike for all sets with this reason.
    example: the reason with the numbers of this set, where there are some.
    signs: what near twins have in common.  effort: what it costs, where that was asked for.
    answer: what a question that asks for it is answered with, as far as a guess can know it.
    room: where the key can stand among options.
    late: why it is drawn after all others, "" for most.
    whole: whether its signs were worked out, which many are never asked for.
    """

    parameters: Parameters | None
    problem: str = ""
    rejected: str = ""
    example: str = ""
    signs: tuple[str, ...] = ()
    effort: Effort | None = None
    answer: str = ""
    room: Room | None = None
    late: str = ""
    whole: bool = True


def name_of(value: tuple[object, ...]) -> str:
    """A short name for a tuple of plain values, the same in every process."""
    return sha256(canonical(value)).hexdigest()[:32]


def attempt(
    family: Family,
    letter: str,
    fits: Fits,
    parameters: ParameterSet,
    seen: Mapping[str, object] | set[str],
    methods: Methods = USUAL,
    whole: bool = True,
    effort: bool = False,
) -> Attempt:
    """What becomes of a parameter set; a problem that was `seen` is not solved again.

    Unless `whole`, the signs, which only those need that are handed out, wait until then.
    """
    found = judged(family, letter, fits, parameters, seen, methods=methods)
    if isinstance(found, Attempt):
        return found
    _remember(_remembered_as(family, letter, found.candidate.parameters), found.candidate)
    return Attempt(
        found.candidate.parameters,
        found.problem,
        signs=signs_of(family, found.candidate) if whole else (),
        effort=found.effort if effort else None,
        answer=answer_of(family, found.candidate),
        room=found.room,
        late=found.late,
        whole=whole,
    )


@dataclass(frozen=True)
class Accepted:
    """A candidate of a family, the name of its problem; why it is late, if it is.

    methods: those by which its effort is counted.
    """

    family: Family
    problem: str
    candidate: Candidate
    methods: Methods
    room: Room | None = None
    late: str = ""

    @property
    def each(self) -> tuple[Candidate, ...]:
        """The candidates of its parts; itself, where its family has none."""
        return self.candidate.parts or (self.candidate,)

    @property
    def slips(self) -> tuple[str, ...]:
        """The names of those that it offers."""
        return tuple(name for one in self.each for slip in one.slips for name in slip.names)

    @property
    def effort(self) -> Effort:
        """What it costs by hand; in parts what they cost together."""
        return together([effort_of(one, self.methods) for one in self.each])


def together(costs: Sequence[Effort]) -> Effort:
    """What several questions cost."""
    return Effort(
        sum(e.steps for e in costs),
        max(e.digits for e in costs),
        sum(e.singular for e in costs),
    )


def effort_of(found: Candidate, methods: Methods) -> Effort:
    """What one question costs by hand, by these methods."""
    problem, solution = found.problem, found.solution
    measures = problem.measures(solution)
    ask = put(problem.signature, found.family.ask)
    steps = solution_to(problem, ask, taught(problem, solution, methods)).effort
    return Effort(steps, _digits_of(problem, measures), measures.get("singular_roots", 0))


def judged(
    family: Family,
    letter: str,
    fits: Fits,
    parameters: ParameterSet,
    seen: Mapping[str, object] | set[str],
    slips: bool = True,
    methods: Methods = USUAL,
) -> Accepted | Attempt:
    """The candidate of a parameter set, or why there is none.

    Parameters for which something has no value, or of which the kind makes no problem that it
    can solve, are rejected like those that fail a condition.  Without `slips` the candidate
    has none, for families whose forms need none.  `methods` decide the effort alone: never who
    is drawn.
    """
    if isinstance(parameters, Unfinished):
        return _without_end(parameters.reason)
    if family.parts:
        return _judged_together(family, letter, fits, parameters, seen, slips, methods)
    for condition in family.conditions_before:
        if not condition.holds(parameters):
            return Attempt(parameters, rejected=failed(condition))
    problem = ""
    try:
        stated = KINDS[family.kind].problem.from_given(family.given.values(parameters), letter)
        problem = name_of(_sameness(family, stated, parameters))
        if problem in seen:
            return Attempt(parameters, problem, REPEATED)
        solution = stated.solve()
    except NoValue as e:
        return Attempt(parameters, problem, e.reason, str(e))
    except StatementError as e:
        return Attempt(parameters, problem, _NUMBER.sub("...", str(e)), str(e))
    answers = answers_of(family, stated, solution.answer, parameters)
    if family.conditions_after:
        measured: dict[str, Any] = {**parameters, **stated.measures(solution)}
        measured[ANSWER] = Answered(solution.answer, family.ask, answers)
        for condition in family.conditions_after:
            if not condition.holds(measured):
                return Attempt(parameters, problem, failed(condition))
    reason = beyond_range(family, stated, solution.answer, parameters) if family.answer else ""
    if reason:
        return Attempt(parameters, problem, reason)
    if family.coefficients is None and beyond_the_modulus(stated):
        return Attempt(parameters, problem, "a coefficient is no residue")
    if family.shortcuts is None and (reason := shortcut(family.ask, stated, solution, answers)):
        return Attempt(parameters, problem, reason)
    found = candidate_of(family, stated, solution, parameters, not slips)
    late = ""
    try:
        room = fits(found)
    except LateError as e:
        room, late = e.room, str(e)
    except ItemBankError as e:
        return Attempt(parameters, problem, str(e))
    return Accepted(family, problem, found, methods, room, late)


@lru_cache(maxsize=256)
def _without_end(reason: str) -> Attempt:
    """What became of all parameter sets that came to no end for one reason: most, of some."""
    return Attempt(None, rejected=reason)


def _judged_together(
    family: Family,
    letter: str,
    fits: Fits,
    parameters: Parameters,
    seen: Mapping[str, object] | set[str],
    slips: bool,
    methods: Methods,
) -> Accepted | Attempt:
    """The candidate of a family in parts, which holds those of all; rejected where one is.

    Its problem is that of all parts together; what it costs is what they cost.
    """
    found: list[Accepted] = []
    for part in family.parts:
        one = judged(part, letter, lambda _c: None, parameters, set(), slips, methods)
        if isinstance(one, Attempt):
            told = told_of_part(part, one.rejected)
            example = one.example and told_of_part(part, one.example)
            return Attempt(one.parameters, one.problem, told, example)
        found.append(one)
    problem = name_of(("parts", *(one.problem for one in found)))
    if problem in seen:
        return Attempt(parameters, problem, REPEATED)
    whole = replace(found[0].candidate, parts=tuple(one.candidate for one in found))
    try:
        room, late = fits(whole), ""
    except LateError as e:
        room, late = e.room, wording(e)
    except ItemBankError as e:
        return Attempt(parameters, problem, wording(e))
    return Accepted(family, problem, whole, methods, room, late)


def _sameness(family: Family, problem: Problem, parameters: Parameters) -> tuple[object, ...]:
    """What is equal for two parameter sets that put the same question."""
    if family.same == "numbers":
        given = family.given.values(parameters)
        numbers = (value for _name, value in sorted(given.items()))
        return ("numbers", family.kind, *numbers, *_range_of_example(family, problem, parameters))
    return problem.canonical


def _range_of_example(family: Family, problem: Problem, parameters: Parameters) -> tuple[int, ...]:
    """Where an example is looked for, () if anywhere: another range is another question."""
    if family.ask != "an example" or family.answer is None:
        return ()
    found = family.answer.at(parameters, problem.modulus or 0)
    return tuple(n for n in (found.low, found.high) if n is not None)


def _digits_of(problem: Problem, measures: Mapping[str, int]) -> int:
    """Those of the modulus; of a question about integers, what the kind measures."""
    return measures.get("digits", 0) if problem.modulus is None else len(str(problem.modulus))


_NUMBER = re.compile(r"-?\d+")


def candidate_of(
    family: Family,
    problem: Problem,
    solution: Solution[Any],
    parameters: Parameters,
    bare: bool = False,
) -> Candidate:
    """What is drawn of a problem that is solved."""
    return Candidate(
        family=family, parameters=parameters, problem=problem, solution=solution, bare=bare
    )


def _slips_of(found: Candidate) -> tuple[Slip, ...]:
    """The slips of a candidate: the family's own, and those of its kind that it names."""
    family, wanted = found.family, set(found.family.slips)
    every = found.problem.slips(found.solution)
    of_kind = tuple(slip for slip in every if wanted.intersection(slip.names))
    return with_own(family, found.parameters, found.solution.answer, of_kind)


def candidate(family: Family, letter: str, parameters: Parameters) -> Candidate:
    """The candidate with these parameters, which were accepted before."""
    key = _remembered_as(family, letter, parameters)
    found = remembered.get(key)
    if found is None:
        stated = KINDS[family.kind].problem.from_given(family.given.values(parameters), letter)
        found = candidate_of(family, stated, stated.solve(), parameters)
    return found


remembered: OrderedDict[tuple[object, ...], Candidate] = OrderedDict()
"""The last candidates of this process.  What is held here is never other than solving gives."""


def _remember(key: tuple[object, ...], found: Candidate) -> None:
    """Keep a candidate, and drop the oldest beyond _REMEMBERED."""
    remembered[key] = found
    if len(remembered) > _REMEMBERED:
        remembered.popitem(last=False)


def _remembered_as(family: Family, letter: str, parameters: Parameters) -> tuple[object, ...]:
    return (family.fingerprint, letter, *parameters.values())


def signs_of(family: Family, found: Candidate) -> tuple[str, ...]:
    """What near twins of it have in common; of a family in parts, near twins of any part."""
    each = zip(family.each, found.parts or (found,), strict=True)
    signs = (sign for part, one in each if not part.same for sign in _twin_signs(one))
    return tuple(dict.fromkeys(signs))


def _twin_signs(found: Candidate) -> tuple[str, ...]:
    """What near twins have in common: the shift class, or the modulus and a non-empty answer."""
    answer = found.solution.answer
    signs: list[tuple[object, ...]] = [("shift", *found.problem.twin)]
    if isinstance(answer, ResidueSet) and answer:
        signs.append(("answer", answer.modulus, answer.count, answer.least(), answer.largest()))
    return tuple(map(name_of, signs))
