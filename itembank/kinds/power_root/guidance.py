"""The way to the one root of x^k = a (mod m) as questions ask about it.

Notation: ku = 1 (mod phi(m)), so x = a^u.
"""

from collections.abc import Iterator, Sequence

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
from itembank.kinds.linear.guidance import OPPOSITE
from itembank.kinds.order.guidance import counted_line, wrong_count
from itembank.kinds.power.guidance import LARGEST, multiplied, powered, wrong_product
from itembank.kinds.power_root.steps import InvertExponent
from itembank.languages import Said, say
from itembank.languages.lettering import in_letter
from itembank.notation.building import (
    congruence,
    dotted,
    equal,
    factored_modulus,
    listed,
)
from itembank.notation.tree import Listing, Math, Number
from itembank.values.answer import ResidueSet


def outline(steps: Sequence[object], letter: str) -> tuple[StepLine, ...]:
    """Factor, count, invert the exponent, raise, square, multiply; () for another way."""
    match steps:
        case [InvertExponent() as step, *_] if 1 < step.a < step.q <= LARGEST:
            lines = _outlined(step)
            return told((name, in_letter(said, letter)) for name, said in lines)
    return ()


def _outlined(step: InvertExponent) -> Iterator[tuple[str, Said]]:
    a, m, n, u = step.a, step.q, step.phi, step.u
    if sum(e for _p, e in step.factors) > 1:
        factors = equal(m, factored_modulus(step.factors))
        yield "factor", say("Factor the modulus: {factors}.", factors=factors)
    yield "count", counted_line(m, n)
    k = step.k % n
    if k < step.k:
        yield (
            "lower",
            say(
                "Divide the exponent by that number, and keep the remainder: "
                "${k} ≡ {r} (mod {n})$.",
                k=step.k,
                r=k,
                n=n,
            ),
        )
    yield "invert", _inverted(k, u, n)
    parts = [2**i for i in reversed(range(u.bit_length())) if u >> i & 1]
    yield (
        "raise",
        say(
            "Raise both sides to the power of that inverse: $x ≡ {power} (mod {m})$.",
            power=equal(powered(a, u), dotted([_power(a, e) for e in parts])),
            m=m,
        ),
    )
    squares = [2**i for i in range(1, u.bit_length())]
    powers = Listing(tuple(powered(a, e) for e in squares)) if u > 3 else powered(a, 2)
    yield (
        "square",
        say(
            "Square to get these powers: {powers}.",
            powers=congruence(powers, listed(pow(a, e, m) for e in squares), m),
        ),
    )
    yield "multiply", multiplied([pow(a, e, m) for e in parts], step.root, m)


def _inverted(k: int, u: int, n: int) -> Said:
    return say("Invert the exponent modulo that number: ${k} · {u} ≡ 1 (mod {n})$.", k=k, u=u, n=n)


def spares(steps: Sequence[object], lines: Sequence[StepLine]) -> tuple[SpareLine, ...]:
    """φ as for a prime, the opposite of the inverse, factors added."""
    match steps:
        case [InvertExponent() as step, *_]:
            return beside(lines, _gone_wrong(step))
    return ()


def _gone_wrong(step: InvertExponent) -> Iterator[Wrong]:
    a, m, n, u = step.a, step.q, step.phi, step.u
    if n > 2:
        yield "invert", "opposite-for-inverse", _inverted(step.k % n, n - u, n), OPPOSITE
    factors = [pow(a, 2**i, m) for i in reversed(range(u.bit_length())) if u >> i & 1]
    if len(factors) > 1:
        yield from wrong_product(factors, step.root, m)
    yield from wrong_count(m, n)


def _power(a: int, e: int) -> Math:
    return powered(a, e) if e > 1 else Number(a)


def stages(steps: Sequence[object], answer: ResidueSet, slips: tuple[Slip, ...]) -> Iterator[Stage]:
    """phi(m), the inverse of the exponent modulo it, the root; () for another way."""
    match steps:
        case [InvertExponent() as step, *_] if 1 < step.a < step.q <= LARGEST:
            yield NumberStage(say("Stage {n}. The value of $φ({m})$:", n=1, m=step.q), (step.phi,))
            yield NumberStage(
                say(
                    "Stage {n}. The inverse of {k} modulo that value (a least residue):",
                    n=2,
                    k=step.k,
                ),
                (step.u,),
            )
            yield RootStage(answer, slips)
