"""The way to a power modulo m as questions ask about it: Euler's theorem, then squares.

Notation: a base, e exponent, n = phi(m), r the remainder of e by n.
"""

from collections.abc import Iterator, Sequence

from itembank.kinds.base import Slip
from itembank.kinds.derivation import Matching, NumberStage, StepLine, told
from itembank.kinds.order.guidance import powers
from itembank.kinds.power.steps import Euler, ReduceBase, Square
from itembank.languages import Said, say
from itembank.notation.building import added, congruence, dotted, equal, factored_modulus, listed
from itembank.notation.tree import Listing, Math, Number, Power

LARGEST = 10**4
"""Up to this modulus the way is asked about: its squares are found by hand."""

Way = tuple[ReduceBase | None, Euler, Square]


def way(steps: Sequence[object]) -> Way | None:
    """The steps of a power whose exponent Euler's theorem reduces; None for another way."""
    match steps:
        case [
            ReduceBase() as base,
            Euler(remainder=int(), quotient=int()) as euler,
            Square() as square,
        ]:
            found: Way = base, euler, square
        case [Euler(remainder=int(), quotient=int()) as euler, Square() as square]:
            found = None, euler, square
        case _:
            return None
    return found if euler.m <= LARGEST else None


def outline(steps: Sequence[object]) -> tuple[StepLine, ...]:
    """Reduce or factor, Euler, exponent, squares, the result; () for another way."""
    found = way(steps)
    if found is None or (found[0] and not found[1].prime):
        return ()  # base and modulus could be taken in either order
    return told(outlined(*found))


def outlined(base: ReduceBase | None, euler: Euler, square: Square) -> Iterator[tuple[str, Said]]:
    a, m, n, e = square.a, euler.m, euler.n, euler.exponents[0]
    if base:
        yield (
            "reduce",
            say("Take the least residue of the base: ${a} ≡ {r} (mod {m})$.", a=base.a, r=a, m=m),
        )
    if not euler.prime:
        factors = equal(m, factored_modulus(euler.factors))
        yield "factor", say("Factor the modulus: {factors}.", factors=factors)
    yield (
        "euler",
        say(
            "Fermat or Euler: $φ({m}) = {n}$, so ${power} ≡ 1 (mod {m})$.",
            m=m,
            n=n,
            power=Power(Number(a), Number(n)),
        ),
    )
    yield (
        "exponent",
        say(
            "Divide the exponent: ${e} = {q} · {n} + {r}$.",
            e=e, q=euler.quotient or 0, n=n, r=square.e,
        ),
    )  # fmt: skip
    parts = [2**i for i in reversed(square.bits)]
    if len(parts) > 1:
        yield (
            "binary",
            say(
                "In powers of two: ${r} = {parts}$.",
                r=square.e,
                parts=added(parts),
            ),
        )
    squares = [(2**i, value) for i, value in enumerate(square.squares) if i]
    powers = [powered(a, k) for k, _value in squares]
    left = powers[0] if len(powers) == 1 else Listing(tuple(powers))
    last = say(
        "Square until the exponent is {n}: {powers}.",
        n=squares[-1][0],
        powers=congruence(left, listed(value for _k, value in squares), m),
    )
    yield "square", last
    if len(parts) > 1:
        factors = dotted([square.squares[i] for i in reversed(square.bits)])
        yield (
            "multiply",
            say(
                "Multiply: ${product} ≡ {value} (mod {m})$.",
                product=factors,
                value=square.value,
                m=m,
            ),
        )
    else:
        yield (
            "result",
            say(
                "State the result: ${power} ≡ {value} (mod {m})$.",
                power=powered(a, e),
                value=square.value,
                m=m,
            ),
        )


def powered(a: int, e: int) -> Math:
    return Power(Number(a), Number(e))


def stages(steps: Sequence[object], slips: tuple[Slip, ...]) -> Iterator[NumberStage]:
    """phi(m), the remainder of the exponent, the power."""
    found = way(steps)
    if found is None:
        return
    _base, euler, square = found
    e = euler.exponents[0]
    yield NumberStage(say("Stage {n}. The value of $φ({m})$:", n=1, m=euler.m), (euler.n,))
    yield NumberStage(
        say("Stage {n}. The remainder of {e} when it is divided by that value:", n=2, e=e),
        (square.e,),
    )
    yield NumberStage(
        say("Stage {n}. The least residue of the power modulo {m}:", n=3, m=euler.m),
        (square.value,),
        slips,
    )


def matching(steps: Sequence[object]) -> Matching | None:
    """The exponents 2, 4, 8, ... with the squares they lead to."""
    found = way(steps)
    if found is None:
        return None
    _base, euler, square = found
    exponents = tuple(2**i for i in range(1, len(square.squares)))
    return powers(square.a, exponents, euler.m)
