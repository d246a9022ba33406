"""The way to a greatest common divisor as questions ask about it: Euclid's rows."""

from collections.abc import Iterator, Sequence

from itembank.kinds.base import Slip
from itembank.kinds.derivation import NumberStage, SpareLine, StepLine, Wrong, beside, told
from itembank.kinds.gcd.method import divisions
from itembank.kinds.inverse.guidance import LARGEST, division, wrong_division
from itembank.languages import Said, each, say
from itembank.notation.building import dotted, equal

_CHECKED_UP_TO = 4
"""Up to this many divisions the result is checked in a line of its own."""


def outline(numbers: Sequence[int]) -> tuple[StepLine, ...]:
    """The divisions, the last divisor, a check; () for other than two positive numbers."""
    return told(_outlined(max(numbers), min(numbers))) if _suits(numbers) else ()


def _suits(numbers: Sequence[int]) -> bool:
    """Whether these are two different positive numbers, neither of which divides the other."""
    return len(numbers) == 2 and 1 < min(numbers) < max(numbers) <= LARGEST


def _outlined(a: int, b: int) -> Iterator[tuple[str, Said]]:
    rows = divisions(a, b)
    for i, (n, d) in enumerate(rows, 1):
        yield f"divide {i}", division(n, n // d, d, n % d)
    d = rows[-1][1]
    yield "take", _taken(a, b, d)
    if len(rows) <= _CHECKED_UP_TO and d > 1:
        multiples = each(equal(n, dotted([n // d, d])) for n in (a, b))
        yield "check", say("Write both numbers as its multiples: {multiples}.", multiples=multiples)


def spares(numbers: Sequence[int], lines: Sequence[StepLine]) -> tuple[SpareLine, ...]:
    """Remainders from above, and the divisor before the last."""
    return beside(lines, _gone_wrong(max(numbers), min(numbers)))


def _gone_wrong(a: int, b: int) -> Iterator[Wrong]:
    rows = divisions(a, b)
    for i, (n, d) in enumerate(rows, 1):
        yield from wrong_division(f"divide {i}", n, n // d, d, n % d)
    before = rows[-1][0]
    yield "take", "divisor-before-last", _taken(a, b, before), _DIVIDES_BOTH


_DIVIDES_BOTH = say("Does this number divide both numbers?")


def _taken(a: int, b: int, d: int) -> Said:
    return say("Take the last divisor: $gcd({a}, {b}) = {d}$.", a=a, b=b, d=d)


def stages(numbers: Sequence[int], slips: tuple[Slip, ...]) -> Iterator[NumberStage]:
    """The first two remainders, if there are as many above 0; the divisor."""
    rows = divisions(*numbers) if _suits(numbers) else ()
    if len(rows) < 3:
        return
    remainders = [n % d for n, d in rows]
    a, b = max(numbers), min(numbers)
    yield NumberStage(
        say(
            "Stage {n}. The first remainder of Euclid's algorithm, the larger number divided by "
            "the smaller:",
            n=1,
        ),
        (remainders[0],),
    )
    yield NumberStage(
        say("Stage {n}. The second remainder of Euclid's algorithm:", n=2), (remainders[1],)
    )
    yield NumberStage(
        say("Stage {n}. The greatest common divisor of ${a}$ and ${b}$:", n=3, a=a, b=b),
        (rows[-1][1],),
        slips,
    )
