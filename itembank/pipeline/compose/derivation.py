"""Questions about the way to the answer: steps to order, roots to match, stages to fill in.

The kind of problem tells its derivation (`itembank.kinds.derivation`); here it is mixed,
offered and asked.  How lines are mixed is fixed by where the variant was drawn.
"""

from collections.abc import Hashable, Iterator, Mapping, Sequence
from itertools import permutations

from itembank.kinds.base import Problem, Slip, Solution
from itembank.kinds.derivation import (
    Derived,
    Lifting,
    Matching,
    Misorder,
    NumberStage,
    RootStage,
    SingularStage,
    StepByStep,
    StepLine,
)
from itembank.kinds.told_once import stages_told
from itembank.languages import Said, Speaker, counted, lead, say
from itembank.notation.tree import Listing, Number
from itembank.pipeline.balance import layout, pick
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
    Provenance,
    PutInOrder,
    Scoring,
    SelectOne,
    SlipFeedback,
    Stage,
)
from itembank.values.worded import worded

LEAST_LINES = 4
"""Put in order: the fewest lines."""

MOST_LINES = 6
"""Put in order: the most lines."""

NAMES = "PQRSTU"
"""Select one of several orders: what the lines are called."""

OPTIONS = 4
"""Select one of several orders: the number of options."""

LEAST_ROOTS = 2
"""Match: the fewest roots."""

MOST_TARGETS = 8
"""Match: the most residues offered as lifts."""

MOST_STAGES = 8
"""Guided: the most stages."""

TOLD_SLIPS = 3
"""Guided: the slips of a stage that have feedback; the slips of the last stage have twice that."""


def derived(problem: Problem, form: str) -> Derived:
    if not isinstance(problem, Derived):
        raise ComposeError(
            worded(
                "{form}: a problem of the kind {kind} tells of no derivation",
                form=form,
                kind=problem.kind,
            )
        )
    return problem


# ------------------------------------------------------------ the steps in order


def put_in_order(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """The steps of the method, out of order."""
    lines, misorders = steps_to_order(problem, solution)
    names = [f"step-{line.name.replace(' ', '-')}" for line in lines]
    shown = mixed(len(lines), turn_of(wording.provenance))
    scoring = Scoring(points=wording.points)
    speaker = Speaker(wording.language)
    rule = counted(
        "{n} point for the right order, otherwise 0.",
        "{n} points for the right order, otherwise 0.",
        scoring.points,
    )
    return Draft(
        ((HOW_TO_ORDER,), (rule,)),
        PutInOrder(
            lines=tuple(
                Choice(identifier=names[i], label=speaker.inlines(lines[i].text)) for i in shown
            ),
            order=tuple(names),
        ),
        tuple(
            SlipFeedback(
                slips=(m.name,),
                response=tuple(names[i] for i in m.order),
                text=speaker.blocks(m.feedback),
            )
            for m in misorders
        ),
        scoring,
    )


HOW_TO_ORDER = say(
    "Put the steps in the order in which they are done; each builds on earlier ones."
)


def steps_to_order(
    problem: Problem, solution: Solution[Answer]
) -> tuple[tuple[StepLine, ...], tuple[Misorder, ...]]:
    """The lines in their right order, and the slips in it; ComposeError for too few or many."""
    told = derived(problem, "order")
    lines = told.outline(solution)
    if not LEAST_LINES <= len(lines) <= MOST_LINES:
        raise ComposeError(
            worded(
                "order: {n} steps to tell, expected {least_lines} to {most_lines}",
                n=len(lines),
                least_lines=LEAST_LINES,
                most_lines=MOST_LINES,
            )
        )
    misorders = told.misorders(lines)
    if len(misorders) < OPTIONS - 1:
        raise ComposeError(
            worded(
                "order: {n} slips in the order, expected at least {options}",
                n=len(misorders),
                options=OPTIONS - 1,
            )
        )
    return lines, misorders


def mixed(n: int, index: int) -> tuple[int, ...]:
    """The places 0 to n - 1, none of them at its own; which such order turns with the index.

    There are 9, 44 or 265 of them for 4, 5 or 6 places, numbers to which 37 is prime: all of
    them have their turn, and neighbours in the index get unlike ones.
    """
    orders = [o for o in permutations(range(n)) if all(o[i] != i for i in range(n))]
    return orders[index * 37 % len(orders)]


def lettered(n: int, index: int) -> tuple[int, ...]:
    """The places 0 to n - 1 in any order, each in its turn.

    The order as shown may be the right one: were it never, letters in their order would be known
    to be wrong at sight.
    """
    orders = list(permutations(range(n)))
    return orders[index * 37 % len(orders)]


def one_order(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """The steps under letters, out of order; orders of the letters to choose from."""
    lines, misorders = steps_to_order(problem, solution)
    shown = lettered(len(lines), turn_of(wording.provenance))
    name = {i: NAMES[at] for at, i in enumerate(shown)}
    right = sequence(name, range(len(lines)))
    wrong = {sequence(name, m.order): m for m in misorders}
    offered = offered_orders(wording.provenance, right, tuple(wrong))
    options = tuple(
        Option(
            identifier=f"option-{n}",
            label=(order,),
            residues=(),
            correct=order == right,
            slips=() if order == right else (wrong[order].name,),
        )
        for n, order in enumerate(offered, 1)
    )
    scoring = Scoring(points=wording.points)
    speaker = Speaker(wording.language)
    rule = counted(
        "Choose the right order. {n} point for the right order, otherwise 0.",
        "Choose the right order. {n} points for the right order, otherwise 0.",
        scoring.points,
    )
    return Draft(
        (
            (HOW_TO_ORDER,),
            *((lead("{name}.", name=NAMES[place]), lines[i].text) for place, i in enumerate(shown)),
            (rule,),
        ),
        SelectOne(options=options),
        tuple(
            SlipFeedback(
                slips=o.slips,
                response=(o.identifier,),
                text=speaker.blocks(wrong[order].feedback),
            )
            for o, order in zip(options, offered, strict=True)
            if not o.correct
        ),
        scoring,
    )


def sequence(name: Mapping[int, str], order: Sequence[int]) -> str:
    return ", ".join(name[i] for i in order)


def turn_of(provenance: Provenance) -> int:
    """Which way lines are mixed: fixed by where the variant was drawn, not told by its number."""
    return pick(f"{provenance.stream}/mixed/{provenance.index}", 2**32)


def offered_orders(provenance: Provenance, right: str, wrong: Sequence[str]) -> tuple[str, ...]:
    """The right order, at the place that is its turn, among OPTIONS - 1 of the wrong ones.

    They stand in no order of the alphabet: by it the first of them would have its letters in
    order whenever it is right, since a slip exchanges two neighbours.
    """
    stream, index = provenance.stream, provenance.index
    offered = sorted(wrong, key=lambda w: pick(f"{stream}/orders/{index}/{w}", 2**64))
    del offered[OPTIONS - 1 :]
    offered.insert(layout(stream, index, False).place, right)
    return tuple(offered)


# ------------------------------------------------------------ roots and their lifts


def match(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """Each root modulo p^(k-1) with what becomes of it modulo p^k; or numbers with their values."""
    if isinstance(problem, StepByStep):
        return match_values(problem, solution, wording)
    lifting, right, wrong = lifts_to_match(problem, solution, slips)
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
            pairs=pairs_of(lifting, right),
        ),
        tuple(slip_feedback([s], pairs_of(lifting, fates), speaker) for s, fates in wrong.items()),
        scoring,
    )


LEAST_SOURCES = 3
"""Match: the fewest numbers to match with their values."""


def match_values(problem: StepByStep, solution: Solution[Answer], wording: Wording) -> Draft:
    """Numbers on the way, each to be matched with its value among those of a slip."""
    matching = values_to_match(problem, solution)
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
    )


def values_to_match(problem: StepByStep, solution: Solution[Answer]) -> Matching:
    """ComposeError for a problem with too little to match, or too much."""
    found = problem.matching(solution)
    if found is None or len(found.sources) < LEAST_SOURCES:
        raise ComposeError(
            worded(
                "match: expected {least_sources} numbers on the way or more",
                least_sources=LEAST_SOURCES,
            )
        )
    targets = {*found.values, *found.wrong}
    if len(set(found.values)) < LEAST_SOURCES or len(targets) > MOST_TARGETS:
        raise ComposeError(
            worded(
                "match: {n} different values of {other_n} offered, expected {least_sources} or "
                "more of at most {most_targets}",
                n=len(set(found.values)),
                other_n=len(targets),
                least_sources=LEAST_SOURCES,
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
        return values_to_match(problem, solution)
    return lifts_to_match(problem, solution, slips)


Fate = int | str
"""What becomes of a root: its one lift, "none" or "every"."""

Fates = tuple[Fate, ...]


def pairs_of(lifting: Lifting, fates: Fates) -> tuple[str, ...]:
    return tuple(f"root-{r} lift-{t}" for r, t in zip(lifting.roots, fates, strict=True))


def lifts_to_match(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip]
) -> tuple[Lifting, Fates, dict[Slip, Fates]]:
    """The roots, what becomes of each, and by slip what else; ComposeError for too little."""
    lifting = derived(problem, "match").lifting(solution)
    if lifting is None or len(lifting.roots) < LEAST_ROOTS:
        raise ComposeError(
            worded(
                "match: expected a modulus p^k with k at least 2 and {least_roots} roots "
                "modulo p^(k-1) or more",
                least_roots=LEAST_ROOTS,
            )
        )
    right = fates_of(lifting, residue_set(solution.answer, "match").residues())
    if right is None:
        raise ComposeError(worded("match: a root with several lifts, but not all"))
    wrong: dict[Slip, Fates] = {}
    offered = {t for t in right if isinstance(t, int)}
    for slip in slips:
        fates = fates_of(lifting, residues_of(slip))
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


def fates_of(lifting: Lifting, residues: Sequence[int]) -> Fates | None:
    """What becomes of each root if these are the solutions; None if that is no lifting."""
    above = {r: [t for t in residues if t % lifting.below == r] for r in lifting.roots}
    if sum(map(len, above.values())) != len(residues):
        return None
    fates: list[Fate] = []
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
    stages = tuple(stage(n, s, none, speaker) for n, s in enumerate(found, 1))
    in_digits = all(isinstance(s, NumberStage) for s in found)
    instruction = IN_DIGITS if in_digits else solutions_typed(none)
    rule = say("1 point for each right stage, {n} in all.", n=len(stages))
    return Draft(
        ((instruction,), (rule,)),
        Guided(stages=stages),
        tuple(stage_feedback(found, slips, speaker)),
        Scoring(rule="by stage", points=len(stages)),
    )


IN_DIGITS = say(
    "Work it out in stages and fill in each. Type numbers in digits; where several are asked for, "
    "type them in increasing order, separated by commas, such as {example}.",
    example="1, 2, 3",
)


def solutions_typed(none: str) -> Said:
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
    if not 2 <= len(found) <= MOST_STAGES:
        raise ComposeError(
            worded(
                "guided: {n} stages, expected 2 to {most_stages}",
                n=len(found),
                most_stages=MOST_STAGES,
            )
        )
    return found


def stage(n: int, found: Told, none: str, speaker: Speaker) -> Stage:
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
                    correct=name == how_many(found),
                )
                for name, label in answers.items()
            )
        ),
    )


def how_many(found: SingularStage) -> str:
    if not found.singular:
        return "none"
    return "all" if found.singular == found.roots else "some"


def stage_feedback(
    found: Sequence[Told], slips: Sequence[Slip], speaker: Speaker
) -> Iterator[SlipFeedback]:
    """What is said to each answer of a stage that a slip leads to."""
    offered = {name for slip in slips for name in slip.names}
    for n, s in enumerate(found):
        if isinstance(s, SingularStage):
            continue
        last = n == len(found) - 1
        told = [slip for slip in s.slips if offered.issuperset(slip.names)]
        for slip in told[: 2 * TOLD_SLIPS if last else TOLD_SLIPS]:
            text = ", ".join(map(str, slip.answer)) or speaker.text(say("none"))
            response = tuple(text if i == n else "" for i in range(len(found)))
            yield slip_feedback([slip], response, speaker)
