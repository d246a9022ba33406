"""The way to a power modulo m as questions ask about it: Euler's theorem, then squares.

Notation: a base, e exponent, n = phi(m), r the remainder of e by n.
"""

from collections.abc import Iterator, Sequence

from itembank.kinds.base import Slip
from itembank.kinds.derivation import (
    Matching,
    NumberStage,
    SpareLine,
    StepLine,
    Wrong,
    beside,
    told,
)
from itembank.kinds.order.guidance import AS_FOR_A_PRIME, NO_PRODUCT, powers
from itembank.kinds.power.steps import Euler, ReduceBase, Square
from itembank.languages import Said, say
from itembank.notation.building import added, congruence, dotted, equal, factored_modulus, listed
from itembank.notation.tree import Listing, Math, Number, Power

LARGEST = 10**4
"""Up to this modulus the way is asked about: its squares are found by hand."""

_Way = tuple[ReduceBase | None, Euler, Square]


def _way(steps: Sequence[object]) -> _Way | None:
    """The steps of a power whose exponent Euler's theorem reduces; None for another way."""
    match steps:
        case [
            ReduceBase() as base,
            Euler(remainder=int(), quotient=int()) as euler,
            Square() as square,
        ]:
            found: _Way = base, euler, square
        case [Euler(remainder=int(), quotient=int()) as euler, Square() as square]:
            found = None, euler, square
        case _:
            return None
    return found if euler.m <= LARGEST else None


def outline(steps: Sequence[object]) -> tuple[StepLine, ...]:
    """Reduce or factor, Euler, exponent, squares, the result; () for another way."""
    found = _way(steps)
    if found is None or (found[0] and not found[1].prime):
        return ()  # base and modulus could be taken in either order
    return told(_outlined(*found))


def _outlined(base: ReduceBase | None, euler: Euler, square: Square) -> Iterator[tuple[str, Said]]:
    a, m, n, e = square.a, euler.m, euler.n, euler.exponents[0]
    if base:
        yield (
            "reduce",
            say("Take the least residue of the base: ${a} ≡ {r} (mod {m})$.", a=base.a, r=a, m=m),
        )
    if not euler.prime:
        factors = equal(m, factored_modulus(euler.factors))
        yield "factor", say("Factor the modulus: {factors}.", factors=factors)
    yield "euler", _by_euler(a, n, m)
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
    yield "square", _squared(a, squares, m)
    if len(parts) > 1:
        yield "multiply", multiplied(_chosen(square), square.value, m)
    else:
        yield "result", _stated(a, e, square.value, m)


def _by_euler(a: int, n: int, m: int) -> Said:
    return say(
        "Fermat or Euler: $φ({m}) = {n}$, so ${power} ≡ 1 (mod {m})$.",
        m=m,
        n=n,
        power=Power(Number(a), Number(n)),
    )


def _squared(a: int, squares: Sequence[tuple[int, int]], m: int) -> Said:
    powers = [powered(a, k) for k, _value in squares]
    left = powers[0] if len(powers) == 1 else Listing(tuple(powers))
    return say(
        "Square until the exponent is {n}: {powers}.",
        n=squares[-1][0],
        powers=congruence(left, listed(value for _k, value in squares), m),
    )


def _chosen(square: Square) -> list[int]:
    """The powers that are multiplied."""
    return [square.squares[i] for i in reversed(square.bits)]


def multiplied(factors: Sequence[int], value: int, m: int) -> Said:
    return say(
        "Multiply: ${product} ≡ {value} (mod {m})$.", product=dotted(factors), value=value, m=m
    )


def _stated(a: int, e: int, value: int, m: int) -> Said:
    return say(
        "State the result: ${power} ≡ {value} (mod {m})$.", power=powered(a, e), value=value, m=m
    )


def spares(steps: Sequence[object], lines: Sequence[StepLine]) -> tuple[SpareLine, ...]:
    """φ as for a prime, squares doubled, powers added."""
    found = _way(steps)
    return beside(lines, _gone_wrong(found[1], found[2])) if found else ()


def _gone_wrong(euler: Euler, square: Square) -> Iterator[Wrong]:
    a, m, n = square.a, euler.m, euler.n
    if n < m - 1:
        yield "euler", "phi-as-for-a-prime", _by_euler(a, m - 1, m), AS_FOR_A_PRIME
    factors = _chosen(square)
    if len(factors) > 1:
        yield from wrong_product(factors, square.value, m)
    elif (wrong := a * square.e % m) != square.value:
        text = _stated(a, euler.exponents[0], wrong, m)
        yield "result", "multiplied-by-the-exponent", text, NO_PRODUCT
    doubled = [(2**i, a * 2**i % m) for i in range(1, len(square.squares))]
    if [value for _e, value in doubled] != list(square.squares[1:]):
        text = _squared(a, doubled, m)
        yield "square", "multiplied-by-the-exponent", text, NO_PRODUCT


def wrong_product(factors: Sequence[int], value: int, m: int) -> Iterator[Wrong]:
    """The sum of factors, taken for their product."""
    wrong = sum(factors) % m
    if wrong != value:
        feedback = say("Exponents are added where powers are multiplied; the powers are not.")
        yield "multiply", "added-for-multiplied", multiplied(factors, wrong, m), feedback


def powered(a: int, e: int) -> Math:
    return Power(Number(a), Number(e))


def stages(steps: Sequence[object], slips: tuple[Slip, ...]) -> Iterator[NumberStage]:
    """phi(m), the remainder of the exponent, the power."""
    found = _way(steps)
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
    found = _way(steps)
    if found is None:
        return None
    _base, euler, square = found
    exponents = tuple(2**i for i in range(1, len(square.squares)))
    return powers(square.a, exponents, euler.m)
