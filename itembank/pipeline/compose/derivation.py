"""Questions about the way to the answer: roots to match, stages to fill in.

The kind of problem tells its derivation (`itembank.kinds.derivation`); here it is mixed,
offered and asked.  How lines are mixed is fixed by where the variant was drawn.
"""

from collections.abc import Hashable, Iterator, Sequence

from itembank.kinds.base import Problem, Slip, Solution
from itembank.kinds.derivation import (
    Derived,
    Lifting,
    Matching,
    NumberStage,
    RootStage,
    SingularStage,
    is_derived,
)
from itembank.kinds.step_by_step import StepByStep
from itembank.kinds.told_once import stages_told
from itembank.languages import Cell, Said, Speaker, counted, grid, lead, say
from itembank.languages import Told as Piece
from itembank.notation.building import listed
from itembank.notation.tree import Listing, Number
from itembank.pipeline.compose.choices import number_label
from itembank.pipeline.compose.draft import (
    Draft,
    Wording,
    modulus_of,
    residue_set,
    residues_of,
    slip_feedback,
)
from itembank.values.answer import Answer
from itembank.values.errors import ComposeError
from itembank.values.item import (
    Choice,
    Guided,
    ListEntry,
    MatchPairs,
    Option,
    Scoring,
    SelectOne,
    SlipFeedback,
    Stage,
)
from itembank.values.worded import worded

_LEAST_ROOTS = 2
"""Match: the fewest roots."""

MOST_TARGETS = 8
"""Match: the most residues offered as lifts."""

_MOST_STAGES = 8
"""Guided: the most stages."""

_TOLD_SLIPS = 3
"""Guided: the slips of a stage that have feedback; the slips of the last stage have twice that."""


def derived(problem: Problem, form: str) -> Derived:
    if not is_derived(problem):
        raise ComposeError(
            worded(
                "{form}: a problem of the kind {kind} tells of no derivation",
                form=form,
                kind=problem.kind,
            )
        )
    return problem


# ------------------------------------------------------------ roots and their lifts


def match(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """Each root modulo p^(k-1) with what becomes of it modulo p^k; or numbers with their values."""
    if isinstance(problem, StepByStep):
        return _match_values(problem, solution, wording)
    lifting, right, wrong = _lifts_to_match(problem, solution, slips)
    residues = sorted(
        {t for fates in (right, *wrong.values()) for t in fates if isinstance(t, int)}
    )
    m = modulus_of(problem, "match")
    speaker = Speaker(wording.language)
    targets = (
        *(Choice(identifier=f"lift-{t}", label=number_label(t)) for t in residues),
        Choice(identifier="lift-none", label=speaker.inlines(say("no lift"))),
        Choice(identifier="lift-every", label=speaker.inlines(say("every lift"))),
    )
    scoring = Scoring(points=wording.points)
    instruction = say(
        "The solutions modulo ${below}$ are ${roots}$. Match each of them with its lift: the least "
        "residue ($0$ to ${last}$) that solves the congruence modulo ${m}$ and is congruent to it "
        "modulo ${below}$. If there is no such residue, match it with “no lift”; if every residue "
        "congruent to it is a solution, with “every lift”.",
        below=lifting.below,
        roots=Listing(tuple(map(Number, lifting.roots))),
        last=m - 1,
        m=m,
    )
    rule = counted(
        "{n} point if every match is right, otherwise 0.",
        "{n} points if every match is right, otherwise 0.",
        scoring.points,
    )
    return Draft(
        ((instruction,), (rule,)),
        MatchPairs(
            sources=tuple(
                Choice(identifier=f"root-{r}", label=number_label(r)) for r in lifting.roots
            ),
            targets=targets,
            pairs=_pairs_of(lifting, right),
        ),
        tuple(slip_feedback([s], _pairs_of(lifting, fates), speaker) for s, fates in wrong.items()),
        scoring,
    )


_LEAST_SOURCES = 3
"""Match: the fewest numbers to match with their values."""


def _match_values(problem: StepByStep, solution: Solution[Answer], wording: Wording) -> Draft:
    """Numbers on the way, each to be matched with its value among those of a slip."""
    matching = _values_to_match(problem, solution)
    speaker = Speaker(wording.language)
    scoring = Scoring(points=wording.points)
    rule = counted(
        "{n} point if every match is right, otherwise 0.",
        "{n} points if every match is right, otherwise 0.",
        scoring.points,
    )

    def pairs(values: Sequence[int]) -> tuple[str, ...]:
        matched = zip(matching.sources, values, strict=True)
        return tuple(f"number-{s} value-{v}" for s, v in matched)

    return Draft(
        ((matching.instruction,), (rule,)),
        MatchPairs(
            sources=tuple(
                Choice(identifier=f"number-{s}", label=number_label(s)) for s in matching.sources
            ),
            targets=tuple(
                Choice(identifier=f"value-{t}", label=number_label(t))
                for t in sorted({*matching.values, *matching.wrong})
            ),
            pairs=pairs(matching.values),
        ),
        (
            SlipFeedback(
                slips=(matching.slip,),
                response=pairs(matching.wrong),
                text=speaker.blocks(matching.feedback),
            ),
        ),
        scoring,
        on_the_way=(
            lead("The matches."),
            grid(
                (say("number"), say("goes with")),
                tuple(zip(matching.sources, matching.values, strict=True)),
            ),
        ),
    )


def _values_to_match(problem: StepByStep, solution: Solution[Answer]) -> Matching:
    """ComposeError for a problem with too little to match, or too much."""
    found = problem.matching(solution)
    if found is None or len(found.sources) < _LEAST_SOURCES:
        raise ComposeError(
            worded(
                "match: expected {least_sources} numbers on the way or more",
                least_sources=_LEAST_SOURCES,
            )
        )
    targets = {*found.values, *found.wrong}
    if len(set(found.values)) < _LEAST_SOURCES or len(targets) > MOST_TARGETS:
        raise ComposeError(
            worded(
                "match: {n} different values of {other_n} offered, expected {least_sources} or "
                "more of at most {most_targets}",
                n=len(set(found.values)),
                other_n=len(targets),
                least_sources=_LEAST_SOURCES,
                most_targets=MOST_TARGETS,
            )
        )
    if targets == set(found.values):
        raise ComposeError(worded("match: the slip gives no wrong value"))
    return found


def requirements_of_match(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip]
) -> object:
    if isinstance(problem, StepByStep):
        return _values_to_match(problem, solution)
    return _lifts_to_match(problem, solution, slips)


_Fate = int | str
"""What becomes of a root: its one lift, "none" or "every"."""

_Fates = tuple[_Fate, ...]


def _pairs_of(lifting: Lifting, fates: _Fates) -> tuple[str, ...]:
    return tuple(f"root-{r} lift-{t}" for r, t in zip(lifting.roots, fates, strict=True))


def _lifts_to_match(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip]
) -> tuple[Lifting, _Fates, dict[Slip, _Fates]]:
    """The roots, what becomes of each, and by slip what else; ComposeError for too little."""
    lifting = derived(problem, "match").lifting(solution)
    if lifting is None or len(lifting.roots) < _LEAST_ROOTS:
        raise ComposeError(
            worded(
                "match: expected a modulus p^k with k at least 2 and {least_roots} roots "
                "modulo p^(k-1) or more",
                least_roots=_LEAST_ROOTS,
            )
        )
    right = _fates_of(lifting, residue_set(solution.answer, "match").residues())
    if right is None:
        raise ComposeError(worded("match: a root with several lifts, but not all"))
    wrong: dict[Slip, _Fates] = {}
    offered = {t for t in right if isinstance(t, int)}
    for slip in slips:
        fates = _fates_of(lifting, residues_of(slip))
        if fates is None or fates == right or fates in wrong.values():
            continue
        together = offered | {t for t in fates if isinstance(t, int)}
        if len(together) <= MOST_TARGETS:
            wrong[slip], offered = fates, together
    for r, fate in zip(lifting.roots, right, strict=True):
        others = {t for t in offered if t % lifting.below == r} - {fate}
        if not others:
            raise ComposeError(worded("match: the slips give no wrong lift of {r}", r=r))
    return lifting, right, wrong


def _fates_of(lifting: Lifting, residues: Sequence[int]) -> _Fates | None:
    """What becomes of each root if these are the solutions; None if that is no lifting."""
    above = {r: [t for t in residues if t % lifting.below == r] for r in lifting.roots}
    if sum(map(len, above.values())) != len(residues):
        return None
    fates: list[_Fate] = []
    for lifts in above.values():
        if len(lifts) not in (0, 1, lifting.p):
            return None
        fates.append(lifts[0] if len(lifts) == 1 else "every" if lifts else "none")
    return tuple(fates)


# ------------------------------------------------------------ stage by stage

Told = RootStage | SingularStage | NumberStage
"""A stage as the kind of problem tells it."""


def guided(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """The derivation, a stage for each set of roots; each is right or wrong by itself."""
    found = stages_to_fill_in(problem, solution)
    speaker = Speaker(wording.language)
    none = speaker.text(say("none"))
    stages = tuple(_stage(n, s, none, speaker) for n, s in enumerate(found, 1))
    in_digits = all(isinstance(s, NumberStage) for s in found)
    instruction = _IN_DIGITS if in_digits else _solutions_typed(none)
    rule = say("1 point for each right stage, {n} in all.", n=len(stages))
    return Draft(
        ((instruction,), (rule,)),
        Guided(stages=stages),
        tuple(_stage_feedback(found, slips, speaker)),
        Scoring(rule="by stage", points=len(stages)),
        on_the_way=tuple(_stages_filled_in(found)),
    )


def _stages_filled_in(found: Sequence[Told]) -> Iterator[Piece]:
    """What belongs in each stage, where some ask for numbers that the solution may not need."""
    if not any(isinstance(s, NumberStage) for s in found):
        return
    rows: list[tuple[Cell, ...]] = []
    for n, s in enumerate(found, 1):
        if not isinstance(s, SingularStage):
            values = s.values if isinstance(s, NumberStage) else s.answer.residues()
            rows.append((n, listed(values) if values else say("none")))
    yield lead("The stages.")
    yield grid((say("stage"), say("what belongs there")), tuple(rows))


_IN_DIGITS = say(
    "Work it out in stages and fill in each. Type numbers in digits; where several are asked for, "
    "type them in increasing order, separated by commas, such as {example}.",
    example="1, 2, 3",
)


def _solutions_typed(none: str) -> Said:
    return say(
        "Work it out in stages and fill in each. Where solutions are asked for, type all of them "
        "as least residues, in increasing order, separated by commas, such as {example}; if there "
        "is none, type “{none}”.",
        example="1, 2, 3",
        none=none,
    )


def stages_to_fill_in(problem: Problem, solution: Solution[Answer]) -> tuple[Told, ...]:
    told = derived(problem, "guided")
    assert isinstance(told, Hashable)
    found = stages_told(told, solution)
    if not 2 <= len(found) <= _MOST_STAGES:
        raise ComposeError(
            worded(
                "guided: {n} stages, expected 2 to {most_stages}",
                n=len(found),
                most_stages=_MOST_STAGES,
            )
        )
    return found


def _stage(n: int, found: Told, none: str, speaker: Speaker) -> Stage:
    if isinstance(found, NumberStage):
        largest = max(found.values, default=0)
        return Stage(
            prompt=speaker.inlines(found.prompt),
            response=ListEntry(values=found.values, modulus=largest + 1, none_word=none),
        )
    if isinstance(found, RootStage):
        m = found.answer.modulus
        prompt = say(
            "Stage {n}. All solutions modulo ${m}$ ($0$ to ${last}$):", n=n, m=m, last=m - 1
        )
        return Stage(
            prompt=speaker.inlines(prompt),
            response=ListEntry(values=found.answer.residues(), modulus=m, none_word=none),
        )
    prompt = say(
        "Stage {n}. At how many of the solutions modulo ${p}$ is the derivative of ${polynomial}$ "
        "divisible by ${p}$?",
        n=n,
        p=found.p,
        polynomial=found.polynomial,
    )
    answers = {
        "none": say("none of them"),
        "some": say("some of them, but not all"),
        "all": say("all of them"),
    }
    return Stage(
        prompt=speaker.inlines(prompt),
        response=SelectOne(
            options=tuple(
                Option(
                    identifier=f"stage-{n}-{name}",
                    label=speaker.inlines(label),
                    residues=(),
                    correct=name == _how_many(found),
                )
                for name, label in answers.items()
            )
        ),
    )


def _how_many(found: SingularStage) -> str:
    if not found.singular:
        return "none"
    return "all" if found.singular == found.roots else "some"


def _stage_feedback(
    found: Sequence[Told], slips: Sequence[Slip], speaker: Speaker
) -> Iterator[SlipFeedback]:
    """What is said to each answer of a stage that a slip leads to."""
    offered = {name for slip in slips for name in slip.names}
    for n, s in enumerate(found):
        if isinstance(s, SingularStage):
            continue
        last = n == len(found) - 1
        told = [slip for slip in s.slips if offered.issuperset(slip.names)]
        for slip in told[: 2 * _TOLD_SLIPS if last else _TOLD_SLIPS]:
            text = ", ".join(map(str, slip.answer)) or speaker.text(say("none"))
            response = tuple(text if i == n else "" for i in range(len(found)))
            yield slip_feedback([slip], response, speaker)
