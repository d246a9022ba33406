"""Integers of a range in the place of residues: how they are asked for, claimed, worked out.

An answer and what slips lead to are residues; here they become the integers of the range that are
congruent to these. Whoever overlooks the range answers with the residues themselves.
"""

from collections.abc import Callable, Iterator

from itembank.kinds.base import Slip
from itembank.languages import Said, Telling, say
from itembank.pipeline.compose.draft import Wording, is_hidden, residue_set
from itembank.pipeline.ranges import ENDS, end_in_range, end_of
from itembank.values.answer import Answer, Claimed, Range
from itembank.values.errors import ComposeError
from itembank.values.worded import worded

OfSlip = Callable[[Claimed], int | None]

OVERLOOKED = "range-overlooked"
"""The slip of whoever answers with residues where a range is asked for."""

# ------------------------------------------------------------ one integer


def number_of_range(answer: Answer, wording: Wording) -> tuple[int, None, OfSlip]:
    """The integer of the range that is asked for, which counts alone; and that of a slip."""
    solution, found = residue_set(answer, "integer"), range_asked(wording)
    m = solution.modulus
    if wording.ask in ENDS:
        key = end_in_range(solution, wording.ask, found)
        return key, None, lambda claim: end_of(classes(claim, m), wording.ask, found)
    r = solution.least()
    only = None if r is None or solution.count != 1 else found.integer(r, m)
    if only is None:
        raise ComposeError(worded("answer: not exactly one integer of the range solves it"))

    def of_slip(claim: Claimed) -> int | None:
        residues = classes(claim, m)
        return found.integer(*residues[0]) if len(residues) == 1 else None

    return only, None, of_slip


def range_asked(wording: Wording) -> Range:
    assert wording.range
    return wording.range


def classes(claim: Claimed, m: int) -> list[tuple[int, int]]:
    """What a slip leads to, as classes modulo m."""
    return [(r % m, m) for r in claim if isinstance(r, int)]


def where(wording: Wording) -> Said:
    """Which integer is to be typed; where the question has said so, how it is typed."""
    found = range_asked(wording)
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
    solution, found = residue_set(answer, "integer"), range_asked(wording)
    residue = solution.largest() if wording.ask == "the largest" else solution.least()
    if residue is not None and not found.holds(residue):
        yield residue, overlooked((residue,), found, solution.modulus)


def overlooked(residues: Claimed, found: Range, m: int) -> Slip:
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
    return Slip((OVERLOOKED,), residues, ((said,),))


# ------------------------------------------------------------ the worked solution


def in_the_range(answer: Answer, wording: Wording) -> Telling:
    """The last lines of the worked solution, where integers of a range are asked for."""
    if not wording.range:
        return
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
