"""What proves an order by hand: a^t = 1, and a^(t/q) != 1 for every prime q that divides t.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed., 2.8.
"""

from collections.abc import Iterator
from math import gcd

from itembank.kinds.modular import AboutResidue
from itembank.languages import Told, grid, lead, say
from itembank.maths.primes import Unfactored, factorisation
from itembank.notation.building import equal, number
from itembank.notation.tree import Quotient
from itembank.values.answer import Absent, Value


def certificate(problem: AboutResidue, answer: Value | Absent) -> Iterator[Told]:
    """The powers that decide, or the factor that leaves no order."""
    a, m = problem.number, problem.modulus
    if isinstance(answer, Absent):
        yield lead("No order.")
        yield say("$gcd({a}, {m}) = {d}$.", a=a, m=m, d=gcd(a, m))
        return
    t = answer.value
    yield lead("Order.")
    yield say(
        "The exponent ${t}$ gives ${one}$; divided by any prime it gives another residue.",
        t=t,
        one=pow(a, t, m),
    )
    yield grid(
        (say("exponent"), say("power of ${a}$ modulo ${m}$", a=a, m=m)),
        [
            (number(t), pow(a, t, m)),
            *(
                (equal(Quotient(number(t), number(q)), t // q), pow(a, t // q, m))
                for q in _primes_of(t, problem.known_factors)
            ),
        ],
        row_heads=True,
    )


def _primes_of(n: int, hints: tuple[int, ...] = ()) -> tuple[int, ...]:
    """The primes that divide n; () where n is not factored."""
    try:
        return tuple(p for p, _k in factorisation(n, hints))
    except Unfactored:
        return ()
