"""The way to the order of a modulo m as questions ask about it: phi, its divisors, powers.

Notation: n = phi(m), t the order, e a divisor of n.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

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
from itembank.kinds.order.steps import Phi, TryDivisors
from itembank.languages import Said, say
from itembank.maths.primes import divisors
from itembank.notation.building import equal, factored_modulus, listed
from itembank.notation.tree import Number, Power

_LARGEST = 10**4
"""Up to this modulus the way is asked about: its powers are found by hand."""

_MOST_DIVISORS = 8
"""The most divisors of phi(m) in a line or a stage."""


def outline(steps: Sequence[object]) -> tuple[StepLine, ...]:
    """Factor, count, divisors, a power a line, the order; () where it is too long."""
    match steps:
        case [Phi() as phi, TryDivisors() as tried, *_] if _suits(phi) and tried.a > 1:
            return told(_outlined(phi, tried))
    return ()


def _suits(phi: Phi) -> bool:
    return 2 < phi.m <= _LARGEST and len(_divisors_of(phi)) <= _MOST_DIVISORS


def _divisors_of(phi: Phi) -> tuple[int, ...]:
    return tuple(divisors(phi.n, [q for q, _e in phi.n_factors]))


def _outlined(phi: Phi, tried: TryDivisors) -> Iterator[tuple[str, Said]]:
    m, a = phi.m, tried.a
    if sum(k for _p, k in phi.factors) > 1:
        factors = equal(m, factored_modulus(phi.factors))
        yield "factor", say("Factor the modulus: {factors}.", factors=factors)
    yield "count", counted_line(m, phi.n)
    found = listed(_divisors_of(phi))
    yield "divisors", say("List the divisors of that number: ${divisors}$.", divisors=found)
    exponents = [e for e in _divisors_of(phi) if e <= tried.t]
    for before, e in pairwise(exponents):
        yield f"power {e}", _power_line(a, e, before, m)
    yield (
        "least",
        say("Take the first exponent that gives 1 as the order: ${t}$.", t=tried.t),
    )


def _power_line(a: int, e: int, before: int, m: int, wrong: int | None = None) -> Said:
    """a^e from the power before it; or with a wrong value."""
    known, left = pow(a, before, m), e - before
    return say(
        "Next divisor: ${power} ≡ {known} · {left} ≡ {value} (mod {m})$.",
        power=Power(Number(a), Number(e)),
        known=known,
        left=Number(a) if left == 1 else Power(Number(a), Number(left)),
        value=pow(a, e, m) if wrong is None else wrong,
        m=m,
    )


def counted_line(m: int, n: int) -> Said:
    return say("Count the coprime residues: $φ({m}) = {n}$.", m=m, n=n)


def wrong_count(m: int, n: int) -> Iterator[Wrong]:
    """φ(m) = n counted as for a prime."""
    if n < m - 1:
        yield "count", "phi-as-for-a-prime", counted_line(m, m - 1), AS_FOR_A_PRIME


AS_FOR_A_PRIME = say(
    "One less than the number itself is right for primes alone; other numbers share factors with "
    "more than one number up to them."
)

NO_PRODUCT = say("A power multiplies the base by itself: it is not the base times the exponent.")


def spares(steps: Sequence[object], lines: Sequence[StepLine]) -> tuple[SpareLine, ...]:
    """The count as for a prime, and powers taken for products."""
    match steps:
        case [Phi() as phi, TryDivisors() as tried, *_]:
            return beside(lines, _gone_wrong(phi, tried))
    return ()


def _gone_wrong(phi: Phi, tried: TryDivisors) -> Iterator[Wrong]:
    m, a = phi.m, tried.a
    for before, e in pairwise(e for e in _divisors_of(phi) if e <= tried.t):
        wrong = a * e % m
        if wrong != pow(a, e, m):
            text = _power_line(a, e, before, m, wrong)
            yield f"power {e}", "multiplied-by-the-exponent", text, NO_PRODUCT
    yield from wrong_count(m, phi.n)


def stages(steps: Sequence[object], slips: tuple[Slip, ...], number: int) -> Iterator[NumberStage]:
    """phi(m), its divisors, the order."""
    match steps:
        case [Phi() as phi, TryDivisors() as tried, *_] if _suits(phi) and tried.a > 1:
            m, t = phi.m, tried.t
            yield NumberStage(say("Stage {n}. The value of $φ({m})$:", n=1, m=m), (phi.n,))
            yield NumberStage(
                say("Stage {n}. All positive divisors of that value:", n=2), _divisors_of(phi)
            )
            yield NumberStage(
                say("Stage {n}. The order of ${a}$ modulo {m}:", n=3, a=number, m=m), (t,), slips
            )


def matching(steps: Sequence[object]) -> Matching | None:
    """The divisors of phi(m) above 1 with the powers of a."""
    match steps:
        case [Phi() as phi, TryDivisors() as tried, *_] if _suits(phi) and tried.a > 1:
            return powers(tried.a, _divisors_of(phi)[1:], phi.m)
    return None


def powers(a: int, exponents: tuple[int, ...], m: int) -> Matching:
    """Exponents, each to be matched with its power of a."""
    return Matching(
        say(
            "Only a step on the way is asked for: match each of these exponents $k$ with the least "
            "residue of ${a}^k$ modulo {m}.",
            a=a,
            m=m,
        ),
        exponents,
        tuple(pow(a, e, m) for e in exponents),
        tuple(a * e % m for e in exponents),
        "multiplied-by-the-exponent",
        (NO_PRODUCT,),
    )
