"""The way of testing a primitive root as questions ask about it.

Notation: N = phi(n), q the primes of N; a is a primitive root unless some a^(N/q) is 1.
"""

from collections.abc import Iterator, Sequence

from itembank.kinds.derivation import SpareLine, StepLine, Wrong, beside, told
from itembank.kinds.order.guidance import NO_PRODUCT, counted_line, wrong_count
from itembank.kinds.order.steps import Phi
from itembank.kinds.power.guidance import powered
from itembank.kinds.primitive_root.steps import Test
from itembank.languages import Said, say
from itembank.notation.building import congruence, equal, factored_modulus, listed
from itembank.notation.tree import Listing

_LARGEST = 10**3
"""Up to this modulus the way is asked about: its powers are found by hand."""


def outline(steps: Sequence[object]) -> tuple[StepLine, ...]:
    """Factor, count, the primes, the exponents, the powers, the verdict; () for another way."""
    match steps:
        case [Phi() as phi, Test() as test] if phi.m <= _LARGEST and len(test.primes) > 1:
            return told(_outlined(phi, test.trial.a))
    return ()


def _outlined(phi: Phi, a: int) -> Iterator[tuple[str, Said]]:
    m, n = phi.m, phi.n
    primes = [q for q, _e in phi.n_factors]
    exponents = [n // q for q in primes]
    values = [pow(a, e, m) for e in exponents]
    if sum(k for _p, k in phi.factors) > 1:
        factors = equal(m, factored_modulus(phi.factors))
        yield "factor", say("Factor the modulus: {factors}.", factors=factors)
    yield "count", counted_line(m, n)
    yield "primes", say("Find the primes that divide this number: ${p}$.", p=listed(primes))
    yield (
        "exponents",
        say("Divide $φ({m})$ by each of these primes: ${found}$.", m=m, found=listed(exponents)),
    )
    yield "powers", _raised(a, exponents, values, m)
    if 1 in values:
        yield (
            "failed",
            say("Conclude, since a power is 1: {a} is not a primitive root modulo {m}.", a=a, m=m),
        )
    else:
        yield (
            "passed",
            say("Conclude, since no power is 1: {a} is a primitive root modulo {m}.", a=a, m=m),
        )


def _raised(a: int, exponents: Sequence[int], values: Sequence[int], m: int) -> Said:
    return say(
        "Take these numbers for exponents: {powers}.",
        powers=congruence(Listing(tuple(powered(a, e) for e in exponents)), listed(values), m),
    )


def spares(steps: Sequence[object], lines: Sequence[StepLine]) -> tuple[SpareLine, ...]:
    """φ as for a prime, and powers taken for products."""
    match steps:
        case [Phi() as phi, Test() as test]:
            return beside(lines, _gone_wrong(phi, test.trial.a))
    return ()


def _gone_wrong(phi: Phi, a: int) -> Iterator[Wrong]:
    m, n = phi.m, phi.n
    exponents = [n // q for q, _e in phi.n_factors]
    wrong = [a * e % m for e in exponents]
    if wrong != [pow(a, e, m) for e in exponents]:
        text = _raised(a, exponents, wrong, m)
        yield "powers", "multiplied-by-the-exponent", text, NO_PRODUCT
    text = _raised(a, exponents, [pow(a, e + 1, m) for e in exponents], m)
    yield "powers", "one-factor-too-many", text, say("Count the factors of one of these powers.")
    yield from wrong_count(m, n)
