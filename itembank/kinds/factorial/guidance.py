"""The way to n! modulo a prime p as questions ask about it: what is missing of (p - 1)!.

Notation: k = p - 1 - n factors are missing; their product is c = (-1)^k k! modulo p.
"""

from collections.abc import Iterator, Sequence

from itembank.kinds.base import Slip
from itembank.kinds.derivation import NumberStage, SpareLine, StepLine, Wrong, beside, told
from itembank.kinds.factorial.method import Divide
from itembank.kinds.linear.guidance import FROM_OPPOSITE, OPPOSITE
from itembank.languages import Said, say
from itembank.notation.building import congruence, dotted
from itembank.notation.tree import Factorial, Modulo, Number, Relation

_LARGEST = 10**4
"""Up to this modulus the way is asked about: its numbers are written by hand."""


def _divided(steps: Sequence[object]) -> Divide | None:
    """The step that divides by what is missing; None for another way."""
    match steps[-1]:
        case Divide(p=p, k=k) as step if k > 2 and p <= _LARGEST:
            return step
    return None


def outline(steps: Sequence[object]) -> tuple[StepLine, ...]:
    """k! factor by factor, its sign, its inverse, Wilson; () for another way."""
    step = _divided(steps)
    return told(_outlined(step)) if step else ()


def _outlined(step: Divide) -> Iterator[tuple[str, Said]]:
    p, value = step.p, 2
    for j in range(3, step.k + 1):
        before, value = value, value * j % p
        yield f"product {j}", _product(j, before, value, p)
    if step.k % 2:
        line = congruence(Number(-value), Number(step.c), p)
        yield "sign", say("Change the sign: {line}.", line=line)
    yield "invert", _inverted(step.c, step.inverse, p)
    yield "divide", _divided_by(step.n, step.inverse, step.value, p)


def _product(j: int, before: int, value: int, p: int) -> Said:
    """j! from (j - 1)!."""
    sides = (Factorial(Number(j)), dotted([before, j]), Number(value))
    return say("Multiply on: {line}.", line=Modulo(Relation(sides, ("≡", "≡")), Number(p)))


def _inverted(c: int, inverse: int, p: int) -> Said:
    line = congruence(dotted([c, inverse]), Number(1), p)
    return say("Invert that product: {line}.", line=line)


def _divided_by(n: int, inverse: int, value: int, p: int) -> Said:
    sides = (Factorial(Number(n)), Number(-inverse), Number(value))
    line = Modulo(Relation(sides, ("≡", "≡")), Number(p))
    return say("Divide −1 by it (Wilson): {line}.", line=line)


def spares(steps: Sequence[object], lines: Sequence[StepLine]) -> tuple[SpareLine, ...]:
    """A factor added, the opposite of the inverse, and what it leads to."""
    step = _divided(steps)
    return beside(lines, _gone_wrong(step)) if step else ()


def _gone_wrong(step: Divide) -> Iterator[Wrong]:
    p, value = step.p, 2
    for j in range(3, step.k + 1):
        before, value = value, value * j % p
        if (before + j - value) % p:
            text = _product(j, before, (before + j) % p, p)
            yield f"product {j}", "added-for-multiplied", text, say("Multiply, and do not add.")
    yield "invert", "opposite-for-inverse", _inverted(step.c, p - step.inverse, p), OPPOSITE
    text = _divided_by(step.n, p - step.inverse, step.inverse, p)
    yield "divide", "opposite-for-inverse", text, FROM_OPPOSITE


def stages(steps: Sequence[object], slips: tuple[Slip, ...]) -> Iterator[NumberStage]:
    """How many factors are missing, their product, the factorial."""
    step = _divided(steps)
    if step is None:
        return
    p = step.p
    yield NumberStage(
        say("Stage {n}. The number of factors that are missing of ${m}!$:", n=1, m=p - 1), (step.k,)
    )
    yield NumberStage(
        say(
            "Stage {n}. The least residue of the product of the missing factors modulo {p}:",
            n=2,
            p=p,
        ),
        (step.c,),
    )
    yield NumberStage(
        say("Stage {n}. The least residue of the factorial modulo {p}:", n=3, p=p),
        (step.value,),
        slips,
    )
