"""Student errors in deciding whether a is a square modulo m, each with its verdict.

One function a slip, named for the mistake: it takes the true work and returns what the
student concludes, with feedback, or None where the mistake cannot be made. The catalogue
is common practice of the trade.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import gcd, isqrt

from itembank.kinds.base import Slip
from itembank.kinds.mistakes import wrong_values
from itembank.kinds.square_test.solve import LISTED_PRIME
from itembank.kinds.symbol.telling import symbol
from itembank.languages import Said, say
from itembank.maths.prime_roots import is_square_mod_prime, jacobi
from itembank.maths.primes import Factors
from itembank.maths.squares import is_square
from itembank.notation.building import power


@dataclass(frozen=True)
class Work:
    a: int
    m: int
    factors: Factors

    @property
    def r(self) -> int:
        return self.a % self.m


Found = tuple[bool, Said] | None
"""What a slip function returns: the conclusion and the feedback."""


def slips_of(a: int, m: int, factors: Factors) -> Iterator[Slip]:
    """The slips that can be made here, in the order of the method."""
    return wrong_values(MISTAKES, Work(a, m, factors))


def _whole_squares_only(w: Work) -> Found:
    """No, because the residue is no square of a whole number."""
    if isqrt(w.r) ** 2 == w.r:
        return None
    return False, say(
        "{r} is not the square of a whole number, but {r} plus a multiple of {m} may be one: test "
        "modulo the prime powers of {m}.",
        r=w.r,
        m=w.m,
    )


def _jacobi_for_residue(w: Work) -> Found:
    """Yes, because the Jacobi symbol over a composite number is 1."""
    if w.m % 2 == 0 or sum(k for _p, k in w.factors) < 2 or jacobi(w.a, w.m) != 1:
        return None
    return True, say(
        "That ${symbol} = 1$ does not decide: {m} is not prime, and two factors −1 give 1 as well. "
        "Test each prime factor of {m} by itself.",
        symbol=symbol(w.a, w.m),
        m=w.m,
    )


def _one_factor_enough(w: Work) -> Found:
    """Yes, because it is a square modulo one of the prime powers."""
    good = [(p, k) for p, k in w.factors if is_square(w.a, p, k)]
    if len(w.factors) < 2 or not good:
        return None
    p, k = good[0]
    return True, say(
        "Modulo ${q}$ it is a square, but that is only one of the prime powers of {m}; modulo "
        "every one of them it has to be a square.",
        q=power(p, k),
        m=w.m,
    )


def _prime_for_prime_power(w: Work) -> Found:
    """Yes, because it is a square modulo each prime, or modulo 4 where 8 divides m."""
    powers = [(p, k) for p, k in w.factors if k > 1]
    if not powers or not all(is_square(w.a, p, min(k, 2 if p == 2 else 1)) for p, k in w.factors):
        return None
    p, k = next((pk for pk in powers if not is_square(w.a, *pk)), powers[0])
    return True, say(
        "If you tested modulo {q} and took the result for ${power}$: see whether a square root "
        "modulo {q} lifts.",
        q=4 if p == 2 and k > 2 else p,
        power=power(p, k),
    )


def _common_factor_excluded(w: Work) -> Found:
    """No, because a and m have a factor in common."""
    d = gcd(w.a, w.m)
    if d == 1:
        return None
    return False, say(
        "That {d} divides both numbers does not rule it out: a square may have a factor in common "
        "with the modulus. Look at the power of each prime in it.",
        d=d,
    )


def _reciprocity_sign_lost(w: Work) -> Found:
    """The wrong value of a Legendre symbol, the modulus a prime."""
    if w.m <= LISTED_PRIME or w.factors != ((w.m, 1),) or w.r == 0:
        return None
    holds = is_square_mod_prime(w.a, w.m)
    return not holds, say(
        "Check the signs in the evaluation of ${symbol}$, rule by rule.", symbol=symbol(w.a, w.m)
    )


MISTAKES: dict[str, Callable[[Work], Found]] = {
    "whole-squares-only": _whole_squares_only,
    "jacobi-for-residue": _jacobi_for_residue,
    "one-factor-enough": _one_factor_enough,
    "prime-for-prime-power": _prime_for_prime_power,
    "common-factor-excluded": _common_factor_excluded,
    "symbol-sign": _reciprocity_sign_lost,
}
"""In the order of the method."""
