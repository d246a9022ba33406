"""The way to the solutions of ax = b (mod m) as questions ask about it.

Notation: d = gcd(a, m); after division by d, a1 x = b1 (mod m1).
"""

from collections.abc import Iterator, Sequence

from itembank.kinds.base import Slip
from itembank.kinds.derivation import NumberStage, RootStage, Stage, StepLine, told
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

TOLD = 8
"""At most this many solutions stand in a line, or are typed in a stage."""

LARGEST = 10**6
"""Up to this modulus the way is asked about: its numbers are written by hand."""


def writable(answer: ResidueSet) -> bool:
    return answer.modulus <= LARGEST and 0 < answer.count <= TOLD


def outline(steps: Sequence[object], letter: str, answer: ResidueSet) -> tuple[StepLine, ...]:
    """Common divisor, division, inverse, solution, all classes, check; () if unsolvable."""
    if not writable(answer):
        return ()
    lines = [(name, in_letter(said, letter)) for name, said in outlined(steps)]
    collected = lines[0][0] == "collect" if lines else False
    if collected and lines[-1][0] == "check":
        lines.pop()  # the way is long enough
    return told(iter(lines))


def outlined(steps: Sequence[object]) -> Iterator[tuple[str, Said]]:
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
                yield (
                    "divide",
                    say(
                        "Divide by the common divisor: {congruence}.",
                        congruence=proportion(a, b, m),
                    ),
                )
            case Isolate(way):
                yield (
                    "invert",
                    say(
                        "Invert the coefficient: ${a} · {y} ≡ 1 (mod {m})$.",
                        a=way.a,
                        y=inverse(way.a, way.m),
                        m=way.m,
                    ),
                )
                yield (
                    "multiply",
                    say("Multiply by the inverse: $x ≡ {r} (mod {m})$.", r=way.x, m=way.m),
                )
            case Spread(x, m1, m):
                found = congruence(Letter("x"), listed(range(x, m, m1)), m)
                yield (
                    "spread",
                    say("List all solutions: {found}.", found=found),
                )
            case Substitute(m=m):
                yield "check", say("Substitute the solutions modulo ${m}$ to check them.", m=m)


def proportion(a: int, b: int, m: int) -> Math:
    """ax ≡ b (mod m)."""
    return congruence(polynomial((0, a)), polynomial((b,)), m)


def stages(
    a: int, answer: ResidueSet, steps: Sequence[object], slips: tuple[Slip, ...]
) -> Iterator[Stage]:
    """The common divisor d > 1, what division by it leaves, an inverse, all solutions."""
    inverses = [step for step in steps if isinstance(step, Isolate)]
    divided = [step for step in steps if isinstance(step, Divide)]
    if not (writable(answer) and inverses and divided) or isinstance(steps[0], Collect):
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
