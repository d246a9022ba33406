"""The way to the solutions of ax = b (mod m) as questions ask about it.

Notation: d = gcd(a, m); after division by d, a1 x = b1 (mod m1).
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from itembank.kinds.base import Slip
from itembank.kinds.derivation import (
    NumberStage,
    RootStage,
    SpareLine,
    Stage,
    StepLine,
    Wrong,
    beside,
    told,
)
from itembank.kinds.linear.steps import (
    Collect,
    CommonDivisor,
    Divide,
    Isolate,
    Spread,
    Substitute,
)
from itembank.languages import Said, say
from itembank.languages.lettering import in_letter
from itembank.maths.remainders import inverse
from itembank.notation.building import congruence, listed, polynomial
from itembank.notation.tree import Letter, Math
from itembank.values.answer import ResidueSet

_TOLD = 8
"""At most this many solutions stand in a line, or are typed in a stage."""

LARGEST = 10**6
"""Up to this modulus the way is asked about: its numbers are written by hand."""


def _writable(answer: ResidueSet) -> bool:
    return answer.modulus <= LARGEST and 0 < answer.count <= _TOLD


def outline(steps: Sequence[object], letter: str, answer: ResidueSet) -> tuple[StepLine, ...]:
    """Common divisor, division, inverse, solution, all classes, check; () if unsolvable."""
    if not _writable(answer):
        return ()
    lines = [(name, in_letter(said, letter)) for name, said in _outlined(steps)]
    collected = lines[0][0] == "collect" if lines else False
    if collected and lines[-1][0] == "check":
        lines.pop()  # the way is long enough
    return told(iter(lines))


def _outlined(steps: Sequence[object]) -> Iterator[tuple[str, Said]]:
    for step in steps:
        match step:
            case Collect(a, b, m, moved=False):
                yield (
                    "collect",
                    say("Write least residues: {congruence}.", congruence=proportion(a, b, m)),
                )
            case Collect(a, b, m):
                yield (
                    "collect",
                    say(
                        "Bring the unknown to the left: {congruence}.",
                        congruence=proportion(a, b, m),
                    ),
                )
            case CommonDivisor(a, _b, m, 1):
                yield (
                    "divisor",
                    say(
                        "See whether the coefficient has an inverse: $gcd({a}, {m}) = 1$.", a=a, m=m
                    ),
                )
            case CommonDivisor(a, _b, m, d):
                yield (
                    "divisor",
                    say(
                        "Find the greatest common divisor: $gcd({a}, {m}) = {d}$.",
                        a=a, m=m, d=d,
                    ),
                )  # fmt: skip
            case Divide(_d, a, b, m):
                yield "divide", _divided(a, b, m)
            case Isolate(way):
                yield "invert", inverted(way.a, inverse(way.a, way.m), way.m)
                yield "multiply", _multiplied(way.x, way.m)
            case Spread(x, m1, m):
                yield "spread", _spread(range(x, m, m1), m)
            case Substitute(m=m):
                yield "check", say("Substitute the solutions modulo ${m}$ to check them.", m=m)


def _divided(a: int, b: int, m: int) -> Said:
    return say("Divide by the common divisor: {congruence}.", congruence=proportion(a, b, m))


def inverted(a: int, y: int, m: int) -> Said:
    return say("Invert the coefficient: ${a} · {y} ≡ 1 (mod {m})$.", a=a, y=y, m=m)


def _multiplied(x: int, m: int) -> Said:
    return say("Multiply by the inverse: $x ≡ {r} (mod {m})$.", r=x, m=m)


def _spread(residues: Sequence[int], m: int) -> Said:
    return say("List all solutions: {found}.", found=congruence(Letter("x"), listed(residues), m))


OPPOSITE = say("Multiply it out: this product leaves −1, not 1.")

FROM_OPPOSITE = say("This comes out if the opposite of the inverse is taken: put it in.")


def wrong_inverse(a: int, m: int) -> Iterator[Wrong]:
    """The opposite of an inverse, taken for it."""
    if m > 2:
        yield "invert", "opposite-for-inverse", inverted(a, m - inverse(a, m), m), OPPOSITE


def spares(
    steps: Sequence[object], letter: str, lines: Sequence[StepLine]
) -> tuple[SpareLine, ...]:
    """The right side not divided, and what the opposite of the inverse leads to."""
    return tuple(
        replace(spare, text=in_letter(spare.text, letter))
        for spare in beside(lines, _gone_wrong(steps))
    )


def _gone_wrong(steps: Sequence[object]) -> Iterator[Wrong]:
    opposite: tuple[int, int] | None = None
    for step in steps:
        match step:
            case Divide(d, a, b, m) if (d - 1) * b % m:
                feedback = say("Every side is divided by the common divisor, the right one too.")
                yield "divide", "right-side-not-divided", _divided(a, b * d % m, m), feedback
            case Isolate(way):
                yield from wrong_inverse(way.a, way.m)
                if 2 * way.x % way.m:
                    opposite = -way.x % way.m, way.m
                    yield "multiply", "opposite-for-inverse", _multiplied(*opposite), FROM_OPPOSITE
            case Spread(_x, m1, m):
                if opposite:
                    text = _spread(range(opposite[0], m, m1), m)
                    yield "spread", "opposite-for-inverse", text, FROM_OPPOSITE


def proportion(a: int, b: int, m: int) -> Math:
    """ax ≡ b (mod m)."""
    return congruence(polynomial((0, a)), polynomial((b,)), m)


def stages(
    a: int, answer: ResidueSet, steps: Sequence[object], slips: tuple[Slip, ...]
) -> Iterator[Stage]:
    """The common divisor d > 1, what division by it leaves, an inverse, all solutions."""
    inverses = [step for step in steps if isinstance(step, Isolate)]
    divided = [step for step in steps if isinstance(step, Divide)]
    if not (_writable(answer) and inverses and divided) or isinstance(steps[0], Collect):
        return
    m = answer.modulus
    yield NumberStage(
        say("Stage {n}. The greatest common divisor of ${a}$ and ${b}$:", n=1, a=a, b=m),
        (divided[0].d,),
    )
    yield NumberStage(
        say("Stage {n}. The right side, after the congruence is divided by it:", n=2),
        (divided[0].b1,),
    )
    yield NumberStage(
        say(
            "Stage {n}. After that division, the inverse of the coefficient of the unknown (a "
            "least residue):",
            n=3,
        ),
        (inverse(inverses[0].way.a, inverses[0].way.m),),
    )
    yield RootStage(answer, slips)
