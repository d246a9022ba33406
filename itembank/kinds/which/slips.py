"""What may lead to a congruence that is not as it is asked for.

Each wrong congruence has one slip, named for what would show that it is wrong. The catalogue is
common practice of the trade.
"""

from itembank.kinds.base import Slip
from itembank.kinds.which.judging import ByDivisor, ByTrial, Judged, among
from itembank.languages import say

_DIVISOR_NOT_COMPARED = "divisor-not-compared"
_COUNTED_WITHOUT_TEST = "counted-without-test"
_COUNT_UNCHECKED = "count-unchecked"
_RESIDUES_NOT_TRIED = "residues-not-tried"
_NUMBERS_NOT_MULTIPLIED = "numbers-not-multiplied"

OF_COUNTS = (
    _DIVISOR_NOT_COMPARED,
    _COUNTED_WITHOUT_TEST,
    _COUNT_UNCHECKED,
    _RESIDUES_NOT_TRIED,
    _NUMBERS_NOT_MULTIPLIED,
)

_MORE_SOLUTIONS = "more-solutions"
_FEWER_SOLUTIONS = "fewer-solutions"
_OTHER_SOLUTIONS = "other-solutions"

OF_SETS = (_MORE_SOLUTIONS, _FEWER_SOLUTIONS, _OTHER_SOLUTIONS)


def of_count(i: int, found: Judged, number: int | None) -> Slip:
    """For a congruence that is not solvable, or has another number of solutions than `number`."""
    shown = found.congruence.shown[0]
    if isinstance(found, ByDivisor):
        a, b, m = found.a, found.b, found.m
        if number is None:
            name = _DIVISOR_NOT_COMPARED
            said = say(
                "Look at ${shown}$ again: {a} and {m} have a common divisor. Does it divide {b}?",
                shown=shown,
                a=a,
                m=m,
                b=b,
            )
        elif found.count == 0 and found.d == number:
            name = _COUNTED_WITHOUT_TEST
            said = say(
                "$gcd({a}, {m})$ is the number of solutions only where there is any: does it "
                "divide {b}?",
                a=a,
                m=m,
                b=b,
            )
        else:
            name = _COUNT_UNCHECKED
            said = say(
                "Look at ${shown}$ again: find $gcd({a}, {m})$, test whether it divides {b}, and "
                "only then count.",
                shown=shown,
                a=a,
                m=m,
                b=b,
            )
    elif _is_power(found):
        name = _RESIDUES_NOT_TRIED if number is None else _COUNT_UNCHECKED
        said = say(
            "Look at ${shown}$ again: which residues modulo {m} solve it?", shown=shown, m=found.m
        )
    elif number is None:
        name = _RESIDUES_NOT_TRIED
        said = say(
            "Look at ${shown}$ again: it has to be solvable modulo each prime power of {m}. Try "
            "the residues of each.",
            shown=shown,
            m=found.m,
        )
    else:
        name = _NUMBERS_NOT_MULTIPLIED
        said = say(
            "Look at ${shown}$ again: count modulo each prime power of {m} by itself, and multiply "
            "the numbers.",
            shown=shown,
            m=found.m,
        )
    return Slip((name,), (i,), ((said,),))


def _is_power(found: Judged) -> bool:
    """Whether the modulus is a power of one prime."""
    return isinstance(found, ByTrial) and len(found.local) == 1


def of_set(i: int, found: Judged, like: Judged) -> Slip:
    """For a congruence with other solutions than `like`."""
    shown, given = found.congruence.shown[0], like.congruence.shown[0]
    if among(like, found):
        name = _MORE_SOLUTIONS
        said = say(
            "Look for an integer that solves ${shown}$ and not ${given}$: may both sides be "
            "multiplied by any number, or divided by it, while the modulus stays?",
            shown=shown,
            given=given,
        )
    elif among(found, like):
        name = _FEWER_SOLUTIONS
        said = say(
            "Look for an integer that solves ${given}$ and not ${shown}$: may both sides be "
            "multiplied by any number, or divided by it, while the modulus stays?",
            shown=shown,
            given=given,
        )
    else:
        name = _OTHER_SOLUTIONS
        said = say(
            "Solve ${shown}$ and put a solution into ${given}$: does it hold? Every step from the "
            "one to the other has to keep the solutions, term by term.",
            shown=shown,
            given=given,
        )
    return Slip((name,), (i,), ((said,),))
