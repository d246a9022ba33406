"""What students answer who mistake what a test shows: a table for each kind."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from itembank.kinds.mistakes import ValueFound
from itembank.kinds.pseudoprimes.steps import square_free
from itembank.languages import say

if TYPE_CHECKING:
    from itembank.kinds.pseudoprimes.kind import (
        CarmichaelTest,
        OfANumber,
        PseudoprimeTest,
        StrongPseudoprimeTest,
    )


def _passed_for_prime(w: "OfANumber") -> ValueFound:
    return 0, say(
        "If you took {n} for a prime because it passes the test: there are composite numbers that "
        "pass it. Divide {n} by small primes.",
        n=w.number,
    )


def _composite_is_enough(w: "OfANumber") -> ValueFound:
    if w.is_prime:
        return None
    return 1, say(
        "If you only saw that {n} is composite: most composite numbers fail the test.", n=w.number
    )


def _prime_that_passes(w: "OfANumber") -> ValueFound:
    if not w.is_prime:
        return None
    return 1, say(
        "If you only worked out the test: primes pass it too, and only composite numbers count."
    )


def _minus_one_for_one(w: "PseudoprimeTest") -> ValueFound:
    if pow(w.base, w.number - 1, w.number) != w.number - 1:
        return None
    return 1, say("If you took the power $-1$ for 1: the condition says 1.")


def _exponent_one_off(w: "PseudoprimeTest") -> ValueFound:
    n, a = w.number, w.base
    if (pow(a, n, n) == 1) == w.passes:
        return None
    return int(not w.passes), say("Check the exponent: it is ${n} - 1$.", n=n)


FERMAT: dict[str, Callable[..., ValueFound]] = {
    "passed-for-prime": _passed_for_prime,
    "exponent-one-off": _exponent_one_off,
    "minus-one-for-one": _minus_one_for_one,
    "prime-that-passes": _prime_that_passes,
    "composite-is-enough": _composite_is_enough,
}
"""In the order of the method."""


def _fermat_for_strong(w: "StrongPseudoprimeTest") -> ValueFound:
    if w.passes or pow(w.base, w.number - 1, w.number) != 1:
        return None
    return 1, say(
        "If you found that the power with the exponent ${n} - 1$ is 1: the strong test also asks "
        "what is squared on the way to it.",
        n=w.number,
    )


def _minus_one_passed_over(w: "StrongPseudoprimeTest") -> ValueFound:
    if not w.passes or pow(w.base, w.halved[1], w.number) == 1:
        return None
    return 0, say("If you only looked for 1: one of the powers may also be $-1$.")


STRONG: dict[str, Callable[..., ValueFound]] = {
    "passed-for-prime": _passed_for_prime,
    "minus-one-passed-over": _minus_one_passed_over,
    "fermat-for-strong": _fermat_for_strong,
    "prime-that-passes": _prime_that_passes,
    "composite-is-enough": _composite_is_enough,
}
"""In the order of the method."""


def _some_primes_tested(w: "CarmichaelTest") -> ValueFound:
    n = w.number
    if w.is_prime or not any((n - 1) % (p - 1) == 0 for p, _k in w.factors):
        return None
    return 1, say("If you tested some of the primes: each of them has to meet the condition.")


def _square_passed_over(w: "CarmichaelTest") -> ValueFound:
    if square_free(w.factors):
        return None
    return 1, say("Does the square of a prime divide {n}? Then it is not one.", n=w.number)


def _primes_divided_into_number(w: "CarmichaelTest") -> ValueFound:
    n = w.number
    if all(n % (p - 1) == 0 for p, _k in w.factors) == w.passes:
        return None
    return int(not w.passes), say(
        "Check what is divided: not {n}, but the number one less.", n=w.number
    )


CARMICHAEL: dict[str, Callable[..., ValueFound]] = {
    "square-passed-over": _square_passed_over,
    "number-for-one-less": _primes_divided_into_number,
    "some-primes-tested": _some_primes_tested,
    "prime-that-passes": _prime_that_passes,
}
"""In the order of the method."""
