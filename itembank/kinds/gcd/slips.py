"""Student errors with common divisors and common multiples, each carried through to its value.

One function a slip, named for the mistake: it takes the numbers and returns the wrong value
with feedback, or None where the mistake cannot be made. The catalogue is common practice of
the trade.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from math import gcd, lcm, prod

from itembank.kinds.base import Slip
from itembank.kinds.gcd.method import Rows, divisions, sizes
from itembank.kinds.mistakes import ValueFound, wrong_values
from itembank.kinds.wrong_solutions import by_name
from itembank.languages import each, say
from itembank.maths.primes import factorisation

_FACTORED = 10**12
"""The largest number that a student would take apart into primes."""


@dataclass(frozen=True)
class Work:
    """Two or three numbers as they are given; their absolute values where they are not 0."""

    given: tuple[int, ...]

    @cached_property
    def numbers(self) -> tuple[int, ...]:
        return sizes(self.given)

    @property
    def has_zero(self) -> bool:
        return 0 in self.given

    @property
    def divisor(self) -> int:
        return gcd(*self.numbers)

    @property
    def multiple(self) -> int:
        return lcm(*self.numbers)

    @cached_property
    def rows(self) -> Rows:
        """The divisions for the first two numbers; none where the others are 0."""
        return divisions(*self.numbers[:2]) if len(self.numbers) > 1 else ()

    @cached_property
    def last_rows(self) -> Rows:
        """The divisions for the last number and the greatest common divisor of those before."""
        *before, last = self.numbers
        return divisions(gcd(*before), last) if gcd(*before) > 1 else ()

    def carried(self, wrong: int) -> int:
        """A wrong divisor of the first two numbers, taken on to the third."""
        return gcd(wrong, *self.numbers[2:])


def slips_of(
    given: tuple[int, ...], mistakes: Mapping[str, Callable[[Work], ValueFound]]
) -> Iterator[Slip]:
    """The slips of a table that can be made here, in the order of the method."""
    work = Work(given)
    if not work.numbers:
        return iter(())
    return wrong_values(mistakes, work, least=-work.multiple)


def _primes_of(n: int) -> tuple[int, ...]:
    return tuple(p for p, _k in factorisation(n))


# ------------------------------------------------------------ the greatest common divisor


def _zero_taken(w: Work) -> ValueFound:
    """gcd(a, 0) taken as 0."""
    if not w.has_zero:
        return None
    return 0, say(
        "0 divides no other number than 0. It is the other way round: every number divides 0, so "
        "0 takes no divisor away."
    )


def _quotient_for_remainder(w: Work) -> ValueFound:
    """The quotient of the last division."""
    if not w.last_rows:
        return None
    n, divisor = w.last_rows[-1]
    return n // divisor, say(
        "If this is the last quotient: the quotients only count how often a number goes into "
        "another; look at the **remainders**."
    )


def _stopped_early(w: Work) -> ValueFound:
    """The remainder before the last one that is not 0."""
    if len(w.rows) < 3:
        return None
    n, divisor = w.rows[-2]
    return w.carried(divisor), say(
        "Go on from the remainder {divisor}: it does not divide {n}. The algorithm ends when a "
        "division comes out even.",
        divisor=divisor,
        n=n,
    )


def _third_left_out(w: Work) -> ValueFound:
    """The greatest common divisor of the first two of three."""
    if len(w.numbers) < 3:
        return None
    used = w.numbers[:2]
    return gcd(*used), say(
        "Check all of the numbers: this divides {used}, but not the remaining one.", used=each(used)
    )


def _primes_once(w: Work) -> ValueFound:
    """Each common prime factor once."""
    if w.divisor > _FACTORED or w.has_zero:
        return None
    return prod(_primes_of(w.divisor)), say(
        "Check how often each common prime counts: one that divides every number more than once "
        "counts as often as it divides all of them."
    )


def _difference_taken(w: Work) -> ValueFound:
    """The difference of two numbers."""
    if len(w.numbers) != 2 or w.has_zero:
        return None
    a, b = w.numbers
    larger, wrong = max(a, b), abs(a - b)
    if not wrong:
        return None
    return wrong, say(
        "If this is the difference of the numbers: a common divisor divides the difference, but "
        "the difference need not divide the numbers: {wrong} does not divide {larger}.",
        wrong=wrong,
        larger=larger,
    )


def _not_the_greatest(w: Work) -> ValueFound:
    """A common divisor to which a common prime is missing."""
    if w.divisor == 1 or w.divisor > _FACTORED or w.has_zero:
        return None
    return w.divisor // _primes_of(w.divisor)[-1], say(
        "This divides each of the numbers, but it is not the greatest that does: the quotients "
        "still have a common factor."
    )


def _multiple_for_divisor(w: Work) -> ValueFound:
    """The least common multiple."""
    if w.has_zero:
        return None
    return w.multiple, say(
        "This is a common **multiple**: it is divided by the numbers. A common divisor divides "
        "them, and is not larger than any of them."
    )


def _divisor_product(w: Work) -> ValueFound:
    """The product of the numbers."""
    if w.has_zero:
        return None
    return prod(w.numbers), say(
        "This is the product of the numbers. A common divisor divides each of them, and is not "
        "larger than any of them."
    )


def _sign_kept(w: Work) -> ValueFound:
    """The divisor with the sign of the numbers."""
    if min(w.given) >= 0:
        return None
    return -w.divisor, say(
        "This divides each of the numbers. So does its opposite, which is positive and so the "
        "greater of the two."
    )


GCD = by_name(
    _zero_taken,
    _quotient_for_remainder,
    _stopped_early,
    _third_left_out,
    _primes_once,
    _not_the_greatest,
    _difference_taken,
    _multiple_for_divisor,
) | {"product-taken": _divisor_product, "sign-kept": _sign_kept}
"""In the order of the method."""


# ------------------------------------------------------------ the least common multiple


def _zero_ignored(w: Work) -> ValueFound:
    """The least common multiple of the numbers that are not 0."""
    if not w.has_zero:
        return None
    return w.multiple, say(
        "Check all of the numbers: a common multiple has to be a multiple of every number, also of "
        "0."
    )


def _divided_twice(w: Work) -> ValueFound:
    """Both numbers divided by their greatest common divisor."""
    if w.has_zero or len(w.numbers) > 2:
        return None
    wrong = prod(w.numbers) // w.divisor**2
    return wrong, say(
        "If you divided both numbers by their greatest common divisor, their common factor is "
        "missing altogether: {wrong} is not a common multiple.",
        wrong=wrong,
    )


def _multiple_third_left_out(w: Work) -> ValueFound:
    """The least common multiple of the first two of three."""
    if w.has_zero or len(w.numbers) < 3:
        return None
    used = w.numbers[:2]
    return lcm(*used), say(
        "Check all of the numbers: this is a multiple of {used}, but not of the remaining one.",
        used=each(used),
    )


def _rule_for_two_numbers(w: Work) -> ValueFound:
    """The product of three numbers by the greatest divisor that all of them have."""
    if w.has_zero or len(w.numbers) < 3:
        return None
    return prod(w.numbers) // w.divisor, say(
        "If you divided the product by the greatest common divisor of all three: that rule holds "
        "for two numbers. Take two first, then their least common multiple with the third."
    )


def _multiple_primes_once(w: Work) -> ValueFound:
    """Each prime factor once."""
    if w.has_zero or max(w.numbers) > _FACTORED:
        return None
    wrong = prod({p for n in w.numbers for p in _primes_of(n)})
    return wrong, say(
        "Check how often each prime counts: {wrong} is not a common multiple. A prime counts as "
        "often as it divides the number that has it most often.",
        wrong=wrong,
    )


def _largest_taken(w: Work) -> ValueFound:
    """The largest of the numbers."""
    if w.has_zero:
        return None
    return max(w.numbers), say(
        "This is the largest of the numbers; {largest} is not a common multiple.",
        largest=max(w.numbers),
    )


def _divisor_for_multiple(w: Work) -> ValueFound:
    """The greatest common divisor."""
    if w.has_zero:
        return None
    return w.divisor, say(
        "This is a common **divisor**: it divides the numbers. A common multiple is divided by "
        "them, and is not smaller than any of them."
    )


def _multiple_product(w: Work) -> ValueFound:
    """The product of the numbers."""
    if w.has_zero:
        return None
    return prod(w.numbers), say(
        "The product of the numbers is a common multiple, but not the least: where two of the "
        "numbers have a common factor, it counts twice."
    )


def _multiple_sign_kept(w: Work) -> ValueFound:
    """The multiple with the sign of the product."""
    if w.has_zero or prod(w.given) > 0:
        return None
    return -w.multiple, say(
        "This is a common multiple, but it is negative. The least common multiple is the least "
        "that is **positive**."
    )


LCM: dict[str, Callable[[Work], ValueFound]] = {
    "zero-ignored": _zero_ignored,
    "divided-twice": _divided_twice,
    "product-taken": _multiple_product,
    "third-left-out": _multiple_third_left_out,
    "rule-for-two-numbers": _rule_for_two_numbers,
    "primes-once": _multiple_primes_once,
    "largest-taken": _largest_taken,
    "divisor-for-multiple": _divisor_for_multiple,
    "sign-kept": _multiple_sign_kept,
}
"""In the order of the method."""
