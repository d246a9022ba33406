"""The way to phi(n) as questions ask about it: prime powers split off, lowered, multiplied."""

from collections.abc import Iterator, Sequence
from math import prod

from itembank.kinds.derivation import Matching, SpareLine, StepLine, Wrong, beside, told
from itembank.languages import Said, say
from itembank.maths.primes import Factors, divisors, phi
from itembank.notation.building import difference, dotted, equal
from itembank.notation.building import power as raised
from itembank.notation.tree import Group

_LARGEST = 10**5
"""Up to this number the way is asked about: it is factored by hand."""

_MOST_SOURCES = 4
"""The most divisors to match with their values."""


def outline(n: int, factors: Factors) -> tuple[StepLine, ...]:
    """A prime power a line, each lowered once, multiplied; () for a prime power."""
    if n > _LARGEST or len(factors) < 2:
        return ()
    return told(_outlined(n, factors))


def _outlined(n: int, factors: Factors) -> Iterator[tuple[str, Said]]:
    left = n
    for i, (p, k) in enumerate(factors[:-1], 1):
        rest = left // p**k
        split = equal(left, dotted([raised(p, k), rest]))
        yield (
            f"split {i}",
            say("Split off the smallest prime: {split}.", split=split),
        )
        left = rest
    parts = [p**k - p ** (k - 1) for p, k in factors]
    if any(k > 1 for _p, k in factors):
        lowered = dotted(Group(difference(p**k, p ** (k - 1))) for p, k in factors)
        yield (
            "lower",
            say("Take from each prime power the one below it: ${product}$.", product=lowered),
        )
        yield "brackets", say("Work out the brackets: ${product}$.", product=dotted(parts))
    else:
        yield "minus one", say("Take 1 from each prime: ${product}$.", product=dotted(parts))
    yield "multiply", _multiplied(n, phi(n))


def spares(n: int, factors: Factors, lines: Sequence[StepLine]) -> tuple[SpareLine, ...]:
    """The value as for a prime, of prime powers taken for primes, and of a sum."""
    return beside(lines, _gone_wrong(n, factors))


def _gone_wrong(n: int, factors: Factors) -> Iterator[Wrong]:
    value, whole = phi(n), prod(p**k - 1 for p, k in factors)
    if whole != value:
        feedback = say("Taking 1 away is right for a prime, not for a power of one.")
        yield "multiply", "prime-powers-as-primes", _multiplied(n, whole), feedback
    total = sum(p**k - p ** (k - 1) for p, k in factors)
    if total != value:
        feedback = say("The values for the prime powers are multiplied, not added.")
        yield "multiply", "added-for-multiplied", _multiplied(n, total), feedback
    feedback = say("One less than the number itself is right for primes alone.")
    yield "multiply", "phi-as-for-a-prime", _multiplied(n, n - 1), feedback


def _multiplied(n: int, value: int) -> Said:
    return say("Multiply: $φ({n}) = {value}$.", n=n, value=value)


def matching(n: int, factors: Factors) -> Matching | None:
    """Divisors of n above 1, the largest, with their values of phi."""
    if n > _LARGEST:
        return None
    found = divisors(n, [p for p, _k in factors])
    chosen = tuple(d for d in found if 2 < d < n)[-_MOST_SOURCES:]
    return Matching(
        say(
            "Only a step on the way is asked for: match each of these divisors $d$ of ${n}$ with "
            "the value of $φ(d)$.",
            n=n,
        ),
        chosen,
        tuple(map(phi, chosen)),
        tuple(d - 1 for d in chosen),
        "phi-as-for-a-prime",
        (
            say(
                "One less than the number itself is right for primes alone; other numbers share "
                "factors with more than one number up to them."
            ),
        ),
    )
