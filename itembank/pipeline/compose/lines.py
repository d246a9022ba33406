"""Questions about single lines of a solution: the wrong one, the missing one, the next, the reason.

The kind of problem tells its lines, and what a slip makes of each (`itembank.kinds.lines`); here
a line is chosen and asked about.  Which line, which slip, and where the key stands turn with the
index of the variant.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from itembank.kinds.base import Problem, Slip, Solution
from itembank.kinds.lines import Claim, Inference, Line, Reasoned, WrongLine, is_in_lines
from itembank.kinds.told_once import inferences_told, lines_told
from itembank.languages import Said, Speaker, Told, counted, lead, say
from itembank.pipeline.compose.draft import Draft, Wording
from itembank.values.answer import Answer
from itembank.values.errors import ComposeError
from itembank.values.item import Option, Scoring, SelectOne, SlipFeedback
from itembank.values.worded import worded

_LEAST_LINES = 3
"""The fewest lines of a solution in which the first wrong one is looked for."""

_MOST_LINES = 7
"""The most lines of a solution that is asked about."""

_OPTIONS = 4
"""The number of lines, or of reasons, to choose from."""

NONE_EVERY = 8
"""Of so many variants one has no wrong line."""

_NONE_AT = 3
"""Which of them: the index, modulo NONE_EVERY."""


@dataclass(frozen=True)
class _Offered:
    """An option as it is put: its label, and, for a wrong one, the slip and what is said to it."""

    label: Said
    slip: str = ""
    feedback: tuple[Told, ...] = ()


def _chosen_from(
    stem: tuple[tuple[Told, ...], ...],
    offered: Sequence[_Offered],
    solved: tuple[Told, ...],
    wording: Wording,
) -> Draft:
    """One right option among several; `solved` is said below the worked solution."""
    speaker = Speaker(wording.language)
    options = tuple(
        Option(
            identifier=f"option-{n}",
            label=speaker.inlines(o.label),
            residues=(),
            correct=not o.slip,
            slips=(o.slip,) if o.slip else (),
        )
        for n, o in enumerate(offered, 1)
    )
    feedback = tuple(
        SlipFeedback(
            slips=(o.slip,), response=(option.identifier,), text=speaker.blocks(o.feedback)
        )
        for option, o in zip(options, offered, strict=True)
        if o.slip
    )
    scoring = Scoring(points=wording.points)
    rule = counted(
        "{n} point for the right choice, otherwise 0.",
        "{n} points for the right choice, otherwise 0.",
        scoring.points,
    )
    return Draft((*stem, (rule,)), SelectOne(options=options), feedback, scoring, solved)


def _numbered(texts: Sequence[Said]) -> Iterator[tuple[Told, ...]]:
    """Paragraphs: Line 1. ..., Line 2. ..., and so on."""
    for n, text in enumerate(texts, 1):
        yield lead("Line {n}.", n=n), text


def _lines_of(problem: Problem, solution: Solution[Answer], ask: str) -> tuple[Line, ...]:
    """The lines to ask about; ComposeError for a kind that tells of none, or too few or many."""
    if not is_in_lines(problem):
        raise ComposeError(
            worded(
                "{ask}: a problem of the kind {kind} tells of no lines", ask=ask, kind=problem.kind
            )
        )
    lines = lines_told(problem, solution)
    if not _LEAST_LINES <= len(lines) <= _MOST_LINES:
        raise ComposeError(
            worded(
                "{ask}: {n} lines to tell, expected {least_lines} to {most_lines}",
                ask=ask,
                n=len(lines),
                least_lines=_LEAST_LINES,
                most_lines=_MOST_LINES,
            )
        )
    return lines


# ------------------------------------------------------------ the wrong line


def _wrong_line(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """A solution with one slip in it, carried through, or none: which line is the first wrong?"""
    lines = _lines_to_judge(problem, solution)
    place = place_of(wording.provenance.index, len(lines))
    texts = [line.text for line in lines]
    wrong = None
    if place is not None:
        wrong = _slip_at(lines[place], wording.provenance.index)
        texts[place:] = [wrong.text, *wrong.rest]
    stem = (
        *_numbered(texts),
        (
            say(
                "Which line is the first that is wrong? If every line is right, choose "
                "“no line is wrong”."
            ),
        ),
    )
    offered = [_judged(lines, i, place) for i in range(len(lines))]
    offered.append(_none_wrong(place))
    return _chosen_from(stem, offered, tuple(_told_wrong(lines, place, wrong)), wording)


def _lines_to_judge(problem: Problem, solution: Solution[Answer]) -> tuple[Line, ...]:
    """The lines, each of which a slip can make wrong; ComposeError where one cannot be."""
    lines = _lines_of(problem, solution, "the wrong line")
    for n, line in enumerate(lines, 1):
        if not line.wrong:
            raise ComposeError(worded("the wrong line: no slip makes line {n} wrong", n=n))
    return lines


def place_of(index: int, n: int) -> int | None:
    """Which of n lines is the first wrong one; None once in NONE_EVERY variants.

    Each line has its turn before one has it again.

    >>> [place_of(index, 3) for index in range(9)]
    [0, 1, 2, None, 0, 1, 2, 0, 1]
    """
    if index % NONE_EVERY == _NONE_AT:
        return None
    return _turn_of(index) % n


def _turn_of(index: int) -> int:
    """The index among the variants that have a wrong line."""
    return index - (index + NONE_EVERY - _NONE_AT - 1) // NONE_EVERY


def _slip_at(line: Line, index: int) -> WrongLine:
    """One of the slips of a line, rather one that leaves it as long as it is."""
    choice = line.alike or line.wrong
    return choice[index // NONE_EVERY % len(choice)]


def _judged(lines: Sequence[Line], i: int, place: int | None) -> _Offered:
    """The option of line i; what is said to it keeps to what is known before the key is."""
    label = say("Line {n}", n=i + 1)
    if i == place:
        return _Offered(label)
    if place is None or i < place:
        return _Offered(
            label, "right-line-doubted", (say("Line {n} is right.", n=i + 1), lines[i].check)
        )
    return _Offered(
        label,
        "later-line-blamed",
        (
            say(
                "The first wrong line is asked for. Before line {n} is judged, check each line "
                "above it by itself.",
                n=i + 1,
            ),
        ),
    )


def _none_wrong(place: int | None) -> _Offered:
    label = say("No line is wrong")
    if place is None:
        return _Offered(label)
    overlooked = say(
        "There is a line that is wrong. Check each line by itself, also where it follows "
        "from the one before it."
    )
    return _Offered(label, "slip-overlooked", (overlooked,))


def _told_wrong(
    lines: Sequence[Line], place: int | None, wrong: WrongLine | None
) -> Iterator[Told]:
    """The right line, and what is wrong in the one that stands there."""
    if place is None or wrong is None:
        yield say("Every line is right.")
        return
    yield say("Line {n} is the first that is wrong.", n=place + 1)
    yield wrong.feedback
    yield say("It should say:")
    yield lines[place].text


# ------------------------------------------------------------ the missing step, the next step


def _missing_step(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """The solution with one line left out, and lines that could stand there."""
    lines, places = _steps_to_choose(problem, solution, "the missing step")
    place, claims = _line_asked(lines, places, wording.provenance.index)
    texts = [line.text for line in lines]
    texts[place] = say("?")
    ask = say("Which line belongs in the place of the question mark?")
    return _line_chosen(lines[place], (*_numbered(texts), (ask,)), claims, wording)


def _next_step(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """The first lines of the solution, and lines that could come next."""
    lines, places = _steps_to_choose(problem, solution, "the next step")
    place, claims = _line_asked(lines, places, wording.provenance.index)
    texts = [line.text for line in lines[:place]]
    ask = say("Which line is right and comes next?")
    return _line_chosen(lines[place], (*_numbered(texts), (ask,)), claims, wording)


def _line_chosen(
    line: Line, stem: tuple[tuple[Told, ...], ...], claims: Sequence[Claim], wording: Wording
) -> Draft:
    wrong = {w.claim: w for w in line.wrong}
    offered = [
        _Offered(line.text)
        if claim == line.claim
        else _Offered(wrong[claim].text, wrong[claim].name, (wrong[claim].feedback,))
        for claim in claims
    ]
    return _chosen_from(stem, offered, (line.text,), wording)


def _steps_to_choose(
    problem: Problem, solution: Solution[Answer], ask: str
) -> tuple[tuple[Line, ...], tuple[int, ...]]:
    """The lines, and the places of those with wrong ones enough; ComposeError for no place.

    A line that is missing has one after it, which does not repeat it; a next line one before it.
    """
    lines = _lines_of(problem, solution, ask)
    if ask == "the missing step":
        within = [i for i, line in enumerate(lines[:-1]) if not line.repeated]
    else:
        within = [*range(1, len(lines))]
    places = tuple(i for i in within if len(lines[i].wrong) >= _OPTIONS - 1 and lines[i].alike)
    if not places:
        raise ComposeError(
            worded(
                "{ask}: the slips give no line {options} wrong ones to stand beside",
                ask=ask,
                options=_OPTIONS - 1,
            )
        )
    return lines, places


def _line_asked(
    lines: Sequence[Line], places: Sequence[int], index: int
) -> tuple[int, tuple[Claim, ...]]:
    """The place of the line, and what is offered there, in the order of the numbers.

    The right line stands where the index has it stand, as far as one of the lines allows; then
    it is rather not the one that shares most numbers with the others.  Which line comes first in
    this choice turns with the index.
    """
    turn = index // _OPTIONS % len(places)
    found = [
        (*_least_told(lines[place], index), place) for place in (*places[turn:], *places[:turn])
    ]
    _distance, wrong, place = min(found, key=lambda choice: choice[0])
    return place, tuple(sorted((lines[place].claim, *wrong)))


def _least_told(line: Line, index: int) -> tuple[tuple[int, bool], tuple[Claim, ...]]:
    """The wrong claims to offer beside the right one, and how much they tell of it.

    Those that are as long as the right one go before others, and of these one at least is
    offered.
    """
    alike = {w.claim for w in line.alike}
    pool = tuple(alike) if len(alike) >= _OPTIONS - 1 else tuple(w.claim for w in line.wrong)

    def told(choice: tuple[Claim, ...]) -> tuple[int, bool]:
        place = sum(claim < line.claim for claim in choice)
        return _misplaced(place, index), _is_hub(line.claim, choice)

    choices = [c for c in combinations(sorted(pool), _OPTIONS - 1) if alike.intersection(c)]
    best = min(map(told, choices))
    fitting = [choice for choice in choices if told(choice) == best]
    return best, fitting[index // _OPTIONS % len(fitting)]


def _misplaced(place: int, index: int) -> int:
    """How far a place is from the one that the index wants.

    For every other turn of places the mirror image of that one is second best: a key too large
    for a place is often right for the opposite one, and the nearest would have it too often.

    >>> [_misplaced(place, _OPTIONS) for place in range(_OPTIONS)]
    [0, 2, 3, 1]
    """
    wanted = index % _OPTIONS
    far = 2 * abs(place - wanted)
    if index // _OPTIONS % 2 == 0:
        return far
    return min(far, 2 * abs(place - (_OPTIONS - 1 - wanted)) + 1)


def _is_hub(key: Claim, others: Sequence[Claim]) -> bool:
    """Whether the key shares more members with the other options than each of them does."""
    offered = [set(key), *map(set, others)]
    shared = [sum(len(s & t) for t in offered if t is not s) for s in offered]
    return shared[0] > max(shared[1:])


# ------------------------------------------------------------ the reason


def _the_reason(
    problem: Problem, solution: Solution[Answer], slips: Sequence[Slip], wording: Wording
) -> Draft:
    """A step, and conditions on the numbers, of which one holds and proves it."""
    told, found = _inferences_of(problem, solution)
    index = wording.provenance.index
    inference = found[index // _OPTIONS % len(found)]
    offered = [
        _Offered(other.text, other.name, (other.feedback,))
        for other in inference.others[: _OPTIONS - 1]
    ]
    offered.insert(index % _OPTIONS, _Offered(inference.reason))
    stem = (
        told.given_for_reasons(),
        (lead("Statement."), inference.claim),
        (say("Which of these is true and proves the statement?"),),
    )
    solved = (inference.claim, say("This follows from:"), inference.reason)
    return _chosen_from(stem, offered, solved, wording)


def _inferences_of(
    problem: Problem, solution: Solution[Answer]
) -> tuple[Reasoned, tuple[Inference, ...]]:
    """The steps whose reasons can be asked for; ComposeError where there is none."""
    if not isinstance(problem, Reasoned):
        raise ComposeError(
            worded(
                "the reason: a problem of the kind {kind} tells of no reasons", kind=problem.kind
            )
        )
    found = inferences_told(problem, solution)
    if not found:
        raise ComposeError(worded("the reason: no step whose reason could be asked for"))
    return problem, found


Compose = Callable[[Problem, Solution[Answer], Sequence[Slip], Wording], Draft]

SELECT_ONE: dict[str, Compose] = {
    "the wrong line": _wrong_line,
    "the missing step": _missing_step,
    "the next step": _next_step,
    "the reason": _the_reason,
}
"""By ask, how it is put."""

Require = Callable[[Problem, Solution[Answer]], object]

REQUIREMENTS: dict[str, Require] = {
    "the wrong line": _lines_to_judge,
    "the missing step": lambda p, s: _steps_to_choose(p, s, "the missing step"),
    "the next step": lambda p, s: _steps_to_choose(p, s, "the next step"),
    "the reason": _inferences_of,
}
"""By ask, what it needs of a problem and its solution."""
