"""The second way for gcd and lcm: from the definition, by trial of divisors or of multiples.

gcd: the largest number that divides all of them, tried downwards from the smallest. lcm: the
first multiple of the largest that is a multiple of all. Beyond that by a property that proves
the claim: a common divisor that is a sum of multiples of the numbers is the greatest (every
common divisor divides the sum); a common multiple is the least if 1 is a sum of multiples of
its quotients. gcd of zeros alone is 0, and so is an lcm with 0, by convention.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import ClassVar, Literal

from itembank.second_way import units
from itembank.second_way.budget import MODULUS_BITS, Work
from itembank.second_way.kind import Kind
from itembank.second_way.verdict import Undecided, Verdict, agreed, disagreed, done
from itembank.values.errors import StatementError

_TRIED = 200_000
"""The most divisors, or multiples, that are tried."""


@dataclass(frozen=True)
class OfIntegers:
    """gcd or lcm of two or three integers; they have no order, and signs do not matter."""

    modulus: ClassVar[None] = None
    function: Literal["gcd", "lcm"]
    numbers: tuple[int, ...]
    """The absolute values, increasing."""
    hints: tuple[int, ...] = field(default=(), compare=False)


_NAMES: dict[str, Literal["gcd", "lcm"]] = {
    "gcd": "gcd",
    "hcf": "gcd",
    "greatest common divisor": "gcd",
    "highest common factor": "gcd",
    "lcm": "lcm",
    "least common multiple": "lcm",
}
_FORM = re.compile(rf"(?:the )?({'|'.join(_NAMES)})(?: ?\((.+)\)| of (.+))", re.I)


def read(statement: str) -> OfIntegers | None:
    """The question of "gcd(84, 30)" or "lcm of 4, 6 and 9"; None for another form."""
    match = _FORM.fullmatch(" ".join(statement.split()))
    if match is None:
        return None
    parts = re.split(r", ?and |,| and ", match[2] or match[3])
    if not 2 <= len(parts) <= 3:
        raise StatementError(
            f"statement '{statement[:60]}': expected two or three numbers, got {len(parts)}"
        )
    numbers = sorted(abs(units.integer(part, statement)) for part in parts)
    return OfIntegers(_NAMES[match[1].lower()], tuple(numbers))


def _value_verdict(question: OfIntegers, claim: int | None) -> Verdict:
    """Whether the claim is the value; None: there is none."""
    if claim is None:
        return disagreed(
            done("by definition"), "expected a number, the answer says that there is none"
        )
    numbers = tuple(n for n in question.numbers if n)
    if any(n.bit_length() > MODULUS_BITS for n in (*numbers, claim)):
        raise Undecided(f"a number of more than {MODULUS_BITS} binary digits")
    if question.function == "lcm":
        return _zero(claim) if 0 in question.numbers else _multiple(numbers, claim)
    return _divisor(numbers, claim) if numbers else _zero(claim)


def _zero(claim: int) -> Verdict:
    method = done("0 by convention, or since it is the only multiple of 0")
    return agreed(method) if claim == 0 else disagreed(method, f"expected 0, got {claim}")


# ------------------------------------------------------------ the greatest common divisor


def _divisor(numbers: Sequence[int], claim: int) -> Verdict:
    if min(numbers) <= _TRIED:
        found = next(t for t in range(min(numbers), 0, -1) if all(n % t == 0 for n in numbers))
        method = done(
            "all numbers from {n} down to the first common divisor were tried", n=min(numbers)
        )
    else:
        found = _proved(numbers)
        method = done("the answer divides the numbers and is a sum of multiples of them")
    if claim == found:
        return agreed(method)
    return disagreed(method, f"expected {found}, the answer says {claim}")


def _proved(numbers: Sequence[int]) -> int:
    """The common divisor that is a sum of multiples of the numbers, both shown by multiplying."""
    d, factors = numbers[0], [1]
    work = Work("finding a sum of multiples")
    for n in numbers[1:]:
        d, u, v = _combined(d, n, work)
        factors = [*(u * factor for factor in factors), v]
    total = sum(u * n for u, n in zip(factors, numbers, strict=True))
    if total != d or any(n % d for n in numbers):
        raise Undecided("no common divisor that is a sum of multiples of the numbers was found")
    return d


def _combined(a: int, b: int, work: Work) -> tuple[int, int, int]:
    """d, u, v with d = ua + vb, by subtracting multiples of such sums from each other."""
    large, small = (a, 1, 0), (b, 0, 1)
    while small[0]:
        work.spend(3, max(a, b))
        q = large[0] // small[0]
        large, small = (
            small,
            (
                large[0] - q * small[0],
                large[1] - q * small[1],
                large[2] - q * small[2],
            ),
        )
    return large


# ------------------------------------------------------------ the least common multiple


def _multiple(numbers: Sequence[int], claim: int) -> Verdict:
    largest = max(numbers)
    if claim < 1 or any(claim % n for n in numbers):
        return disagreed(
            done("the answer was divided by each number"),
            f"expected a positive multiple of each number, the answer says {claim}",
        )
    if claim // largest <= _TRIED:
        found = next(
            k for k in range(largest, claim + 1, largest) if not any(k % n for n in numbers)
        )
        method = done(
            "the multiples of {largest} were tried up to the first common one", largest=largest
        )
        if found == claim:
            return agreed(method)
        return disagreed(method, f"expected {found}, the answer says {claim}")
    method = done("the quotients of the answer by the numbers have no common divisor above 1")
    left = _proved([claim // n for n in numbers])
    if left == 1:
        return agreed(method)
    return disagreed(method, f"expected {claim // left}, the answer says {claim}")


KIND = Kind(checks={"the value": _value_verdict}, solutions=lambda question: None)
