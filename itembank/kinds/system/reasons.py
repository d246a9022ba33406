"""Why a system of two congruences whose moduli have a common divisor is solvable, or is not.

Each reason is a condition on the numbers that can be decided by a calculation.
Notation: x = a (mod m), x = b (mod n), d = gcd(m, n), e = |a - b|.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed., section
2.3: solvable if and only if d divides e, and then in one class modulo lcm(m, n).
"""

from collections.abc import Iterator, Sequence
from math import gcd, lcm

from itembank.kinds.linear.lines import LARGEST, of_one_number, small_divisor_mistaken
from itembank.kinds.lines import (
    Inference,
    WrongReason,
    composite_taken_for_prime,
    coprime_mistaken,
)
from itembank.languages import Said, say

Facts = Sequence[tuple[int, int]]
"""The congruences, as (a, m)."""


def _suits(facts: Facts) -> bool:
    """Whether there are two, with different residues, and moduli that share a divisor."""
    if len(facts) != 2 or not all(0 < a < m for a, m in facts):
        return False
    (a, m), (b, n) = facts
    return a != b and 1 < gcd(m, n) < min(m, n) and lcm(m, n) <= LARGEST


def difference(facts: Facts) -> tuple[Said, ...]:
    """By how much the residues differ: conditions speak of it."""
    if not _suits(facts):
        return ()
    (a, _m), (b, _n) = facts
    return (say("The residues on the right sides differ by ${n}$.", n=abs(a - b)),)


def inferences(facts: Facts) -> Iterator[Inference]:
    """Whether there are solutions, and that there is an inverse on the way, with the reasons."""
    if not _suits(facts):
        return
    (a, m), (b, n) = facts
    d, e = gcd(m, n), abs(a - b)
    yield _solvability(m, n, d, e)
    m1, n1 = m // d, n // d
    composite = any(n1 % p == 0 for p in range(2, min(n1, 1000)))
    if e % d == 0 and composite and m1 > 1:
        yield Inference(
            "inverse exists",
            say("There is an inverse of ${a}$ modulo ${m}$.", a=m1, m=n1),
            say("$gcd({a}, {m}) = 1$.", a=m1, m=n1),
            (
                composite_taken_for_prime(n1),
                coprime_mistaken(m, n),
                small_divisor_mistaken(d, m1, n1),
            ),
        )


def _solvability(m: int, n: int, d: int, e: int) -> Inference:
    values = {"a": m, "b": e, "m": n, "d": d}
    solvable = say("$gcd({a}, {m}) = {d}$, and ${d}$ divides ${b}$.", **values)
    unsolvable = say("$gcd({a}, {m}) = {d}$, and ${d}$ does not divide ${b}$.", **values)
    check = say("Find $gcd({a}, {m})$: does it divide ${b}$?", a=m, b=e, m=n)
    if e % d == 0:
        claim = say("Exactly one residue modulo ${m}$ solves the system.", m=lcm(m, n))
        right, wrong = solvable, unsolvable
    else:
        claim = say("No integer solves the system.")
        right, wrong = unsolvable, solvable
    mistaken = WrongReason("divisibility-of-the-difference", wrong, check)
    return Inference("solvability", claim, right, (mistaken, *of_one_number(m, e, n, d)))
