"""Integers of a range in the place of residues: how they are asked for, claimed, worked out.

An answer and what slips lead to are residues; here they become the integers of the range that are
congruent to these. Whoever overlooks the range answers with the residues themselves.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from itembank.kinds.base import Slip
from itembank.languages import BREAK, Said, Telling, lead, say
from itembank.notation.building import listed
from itembank.pipeline.compose.draft import Wording, is_hidden, residue_set
from itembank.pipeline.compose.options import Together
from itembank.pipeline.ranges import ENDS, all_in_range, end_in_range, end_of, integers
from itembank.values.answer import Answer, Claimed, Range, ResidueSet, claimed
from itembank.values.errors import ComposeError
from itembank.values.worded import worded

OfSlip = Callable[[Claimed], int | None]

_OVERLOOKED = "range-overlooked"
"""The slip of whoever answers with residues where a range is asked for."""

# ------------------------------------------------------------ one integer


def number_of_range(answer: Answer, wording: Wording) -> tuple[int, None, OfSlip]:
    """The integer of the range that is asked for, which counts alone; and that of a slip."""
    solution, found = residue_set(answer, "integer"), _range_asked(wording)
    m = solution.modulus
    if wording.ask in ENDS:
        key = end_in_range(solution, wording.ask, found)
        return key, None, lambda claim: end_of(_classes(claim, m), wording.ask, found)
    r = solution.least()
    only = None if r is None or solution.count != 1 else found.integer(r, m)
    if only is None:
        raise ComposeError(worded("answer: not exactly one integer of the range solves it"))

    def of_slip(claim: Claimed) -> int | None:
        residues = _classes(claim, m)
        return found.integer(*residues[0]) if len(residues) == 1 else None

    return only, None, of_slip


def _range_asked(wording: Wording) -> Range:
    assert wording.range
    return wording.range


def _classes(claim: Claimed, m: int) -> list[tuple[int, int]]:
    """What a slip leads to, as classes modulo m."""
    return [(r % m, m) for r in claim if isinstance(r, int)]


def where(wording: Wording) -> Said:
    """Which integer is to be typed; where the question has said so, how it is typed."""
    found = _range_asked(wording)
    if wording.ask in ENDS and not is_hidden(wording):
        if found.low is None or found.low < 0:
            return say("Type it in digits; $-3$ is typed -3.")
        return say("Type it in digits.")
    match found:
        case Range(int(low), None):
            return say("Type the least integer greater than ${n}$ that solves it.", n=low - 1)
        case Range(None, int(high)):
            return say(
                "Type the largest integer less than ${n}$ that solves it; $-3$ is typed -3.",
                n=high + 1,
            )
        case Range(int(low), int(high)) if wording.ask == "the least":
            return say(
                "Type the least integer from ${low}$ to ${high}$ that solves it.",
                low=low,
                high=high,
            )
        case Range(int(low), int(high)) if wording.ask == "the largest":
            return say(
                "Type the largest integer from ${low}$ to ${high}$ that solves it.",
                low=low,
                high=high,
            )
        case Range(int(low), int(high)):
            return say(
                "Exactly one integer from ${low}$ to ${high}$ solves it. Type this integer.",
                low=low,
                high=high,
            )
    raise ComposeError(worded("answer: a range without bounds"))


def residue_typed(answer: Answer, wording: Wording) -> Iterator[tuple[int, Slip]]:
    """The residue that is typed by whoever overlooks the range, where it is not in it."""
    solution, found = residue_set(answer, "integer"), _range_asked(wording)
    residue = solution.largest() if wording.ask == "the largest" else solution.least()
    if residue is not None and not found.holds(residue):
        yield residue, _overlooked((residue,), found, solution.modulus)


def _overlooked(residues: Claimed, found: Range, m: int) -> Slip:
    """The answer of whoever overlooks the range."""
    match found:
        case Range(int(low), None):
            said = say(
                "If you took a least residue ($0$ to ${last}$): an integer greater than ${n}$ is "
                "asked for.",
                last=m - 1,
                n=low - 1,
            )
        case Range(None, int(high)):
            said = say(
                "If you took a least residue ($0$ to ${last}$): an integer less than ${n}$ is "
                "asked for.",
                last=m - 1,
                n=high + 1,
            )
        case Range(int(low), int(high)):
            said = say(
                "If you took least residues ($0$ to ${last}$): what is asked for lies from ${low}$ "
                "to ${high}$.",
                last=m - 1,
                low=low,
                high=high,
            )
        case _:
            raise ComposeError(worded("answer: a range without bounds"))
    return Slip((_OVERLOOKED,), residues, ((said,),))


# ------------------------------------------------------------ all of them


@dataclass(frozen=True)
class Claims:
    """The key and what slips lead to, as an entry or an option lists them; what goes together."""

    key: Claimed
    slips: tuple[Slip, ...]
    together: Together | None


def claims_of(
    answer: Answer, slips: Sequence[Slip], together: Together | None, found: Range | None
) -> Claims:
    """The answer as it is, or the integers of a range in the place of a set of residues.

    Raises TooMany; ComposeError for too many integers in the range.
    """
    if found is None or not isinstance(answer, ResidueSet):
        return Claims(claimed(answer), tuple(slips), together)
    m, key = answer.modulus, all_in_range(answer, found)
    return Claims(key, _moved(slips, key, m, found), _together_in(together, m, found))


def _moved(slips: Sequence[Slip], key: Claimed, m: int, found: Range) -> tuple[Slip, ...]:
    """What slips lead to in a range, none of it the key; those that lead to one answer as one."""
    merged: dict[Claimed, Slip] = {}
    for slip in slips:
        answer = integers(_classes(slip.answer, m), found)
        if answer == key:
            continue
        before = merged.get(answer, Slip((), answer, ()))
        names, feedback = (*before.names, *slip.names), (*before.feedback, *slip.feedback)
        merged[answer] = Slip(names, answer, feedback)
    return tuple(merged.values())


def _together_in(together: Together | None, m: int, found: Range) -> Together | None:
    """What must solve with an integer of the range: the partners of its residue, moved there.

    Where a range is longer than a period, what differs by a period goes together.
    """
    assert found.low is not None
    assert found.high is not None
    if together is None and found.high - found.low < m:
        return None

    def partners(n: int) -> frozenset[int]:
        residues = together(n % m) if together else (n % m,)
        return frozenset(integers(_classes(tuple(residues), m), found))

    return partners


def list_overlooked(answer: ResidueSet, asked: Claims, found: Range) -> Iterator[Slip]:
    """The least residues in the place of the integers of a range, where no slip leads to them."""
    residues = answer.residues()
    known = {asked.key, *(slip.answer for slip in asked.slips)}
    if residues and residues not in known:
        yield _overlooked(residues, found, answer.modulus)


def set_asked(found: Range) -> Said:
    """Which set is to be chosen."""
    return say(
        "Which set contains **all** integers from ${low}$ to ${high}$ that solve it, and nothing "
        "else?",
        low=found.low or 0,
        high=found.high or 0,
    )


def ticks_asked(found: Range) -> Said:
    """What is to be ticked."""
    return say(
        "Tick every integer from ${low}$ to ${high}$ that solves it. If there is none, tick only "
        "“no solutions”.",
        low=found.low or 0,
        high=found.high or 0,
    )


def list_asked(found: Range, example: str, none: str) -> Said:
    """What is to be typed, with what is typed where there is none."""
    low, high = found.low or 0, found.high or 0
    if low < 0:
        return say(
            "Type all integers from ${low}$ to ${high}$ that solve it, in increasing order, "
            "separated by commas, such as {example}; $-3$ is typed -3. If there is none, type "
            "“{none}”.",
            low=low,
            high=high,
            example=example,
            none=none,
        )
    return say(
        "Type all integers from ${low}$ to ${high}$ that solve it, in increasing order, separated "
        "by commas, such as {example}. If there is none, type “{none}”.",
        low=low,
        high=high,
        example=example,
        none=none,
    )


# ------------------------------------------------------------ the worked solution


def in_the_range(answer: Answer, wording: Wording) -> Telling:
    """The last lines of the worked solution, where integers of a range are asked for."""
    if not wording.range:
        return
    if wording.ask == "all solutions":
        yield from _all_worked_out(residue_set(answer, wording.form), wording.range)
        return
    yield BREAK
    yield lead("In the range.")
    solution = residue_set(answer, "integer")
    m = solution.modulus
    n, _modulus, _of_slip = number_of_range(answer, wording)
    r = n % m
    if solution.count == 1:
        yield say(
            "The solutions are the integers ${r} + {m}k$. The one that is asked for is "
            "${n} = {r} + {m} * ({k})$.",
            r=r, m=m, n=n, k=(n - r) // m,
        )  # fmt: skip
        return
    yield say(
        "What differs from a solution by a multiple of ${m}$ is one too. The one that is asked for "
        "is ${n} = {r} + {m} * ({k})$.",
        r=r, m=m, n=n, k=(n - r) // m,
    )  # fmt: skip


def _all_worked_out(answer: ResidueSet, found: Range) -> Telling:
    """Which integers of the range the solutions give."""
    if not answer:
        return
    key, bounds = all_in_range(answer, found), {"low": found.low or 0, "high": found.high or 0}
    yield BREAK
    yield lead("In the range.")
    yield say("What differs from a solution by a multiple of ${m}$ is one too.", m=answer.modulus)
    if key:
        yield say(
            "From ${low}$ to ${high}$ the solutions are ${numbers}$.", numbers=listed(key), **bounds
        )
    else:
        yield say("From ${low}$ to ${high}$ there is no solution.", **bounds)
