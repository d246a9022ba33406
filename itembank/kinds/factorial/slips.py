"""Student errors in a factorial, each carried through to its answer.

One function a slip, named for the mistake: from n and m to a wrong number with feedback, or
None where the mistake cannot be made. The catalogue is common practice of the trade.
"""

from collections.abc import Callable, Iterator
from math import factorial

from itembank.kinds.base import Slip, slip
from itembank.kinds.factorial.method import modulo_a_prime
from itembank.kinds.mistakes import ValueFound
from itembank.languages import say
from itembank.maths.primes import is_prime

_LARGEST_SLIP = 20_000
"""Slips are computed for factorials of at most this many factors."""


def slips_of(n: int, m: int) -> Iterator[Slip]:
    """The slips that can be made here."""
    if m < 3 or min(n, abs(m - 1 - n)) > _LARGEST_SLIP:
        return
    mistakes = _MISTAKES_MODULO_A_PRIME if is_prime(m) else _MISTAKES_OTHERWISE
    for name, mistake in mistakes.items():
        found = mistake(n, m)
        if found is not None:
            yield slip(name, (found[0] % m,), found[1])


_Mistake = Callable[[int, int], ValueFound]
"""From n and m to a wrong residue and the feedback."""


def _residue(n: int, p: int) -> int:
    """n! mod p, quickly for n near p."""
    if n >= p:
        return 0
    return modulo_a_prime(n, p).answer.value


def _wilson_sign(n: int, p: int) -> ValueFound:
    if n >= p or n <= p - 1 - n:
        return None
    return -_residue(n, p), say(
        "If you used ${last}! ≡ 1 (mod {p})$, look at Wilson's theorem again: every factor but 1 "
        "and {last} cancels against its inverse. What is $1 · {last}$?",
        last=p - 1,
        p=p,
    )


def _wilson_for_every_factorial(n: int, p: int) -> ValueFound:
    if n == p - 1:
        return None
    return -1, say(
        "Wilson's theorem is about ${last}!$ modulo {p}. For ${n}!$ the factors that are missing "
        "or added have to be dealt with.",
        last=p - 1,
        p=p,
        n=n,
    )


def _missing_signs(n: int, p: int) -> ValueFound:
    k = p - 1 - n
    if not 0 < k < n or k % 2 == 0:
        return None
    if k == 1:
        said = say(
            "Check the sign: the missing factor {last} is congruent to $-1$, not to 1.",
            last=p - 1,
        )
    else:
        said = say(
            "Check the sign: the {k} missing factors are the **negatives** of 1 to {k}. How many "
            "minus signs is that?",
            k=k,
        )
    return -_residue(n, p), said


def _multiplied_instead_of_divided(n: int, p: int) -> ValueFound:
    k = p - 1 - n
    if not 1 < k < n:
        return None
    c = (-1) ** k * _residue(k, p)
    return -c, say(
        "If you multiplied by the missing factors, turn it round: ${n}!$ **times** the missing "
        "factors is $-1$, so they have to be divided out by the inverse of their product.",
        n=n,
    )


def _one_factor_too_many(n: int, p: int) -> ValueFound:
    if not 0 < n < p - 1:
        return None
    return _residue(n, p) * (n + 1), say(
        "This is ${more}!$. Count the missing factors again: {more} is missing from ${n}!$ too.",
        more=n + 1,
        n=n,
    )


def _one_factor_too_few(n: int, p: int) -> ValueFound:
    if not 1 < n < p:
        return None
    return _residue(n - 1, p), say(
        "This is ${less}!$: the factor {n} belongs to ${n}!$ and is not missing.", less=n - 1, n=n
    )


def _number_reduced(n: int, m: int) -> ValueFound:
    if n < m or n % m > _LARGEST_SLIP:
        return None
    r = n % m
    return factorial(r) if r < 500 else 1, say(
        "If you reduced {n} modulo {m} before taking the factorial: congruent numbers do not have "
        "congruent factorials. Look for the factor {m} in ${n}!$.",
        n=n,
        m=m,
    )


def _wilson_for_composite(n: int, m: int) -> ValueFound:
    return -1, say(
        "Wilson's theorem is about prime moduli, and {m} is not prime. Look for the prime factors "
        "of {m} among the numbers up to {n}.",
        m=m,
        n=n,
    )


_MISTAKES_MODULO_A_PRIME: dict[str, _Mistake] = {
    "number-reduced": _number_reduced,
    "wilson-sign": _wilson_sign,
    "wilson-for-every-factorial": _wilson_for_every_factorial,
    "missing-signs": _missing_signs,
    "multiplied-instead-of-divided": _multiplied_instead_of_divided,
    "one-factor-too-many": _one_factor_too_many,
    "one-factor-too-few": _one_factor_too_few,
}
"""In the order of the method."""

_MISTAKES_OTHERWISE: dict[str, _Mistake] = {
    "number-reduced": _number_reduced,
    "wilson-for-composite": _wilson_for_composite,
}
"""Modulo a composite number."""
