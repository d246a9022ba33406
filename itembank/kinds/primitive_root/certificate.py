"""What proves a primitive root by hand: none of the powers a^(phi/q) is 1.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed., 2.8.
"""

from collections.abc import Iterator
from math import gcd, prod

from itembank.kinds.about_modulus import AboutModulus
from itembank.languages import Told, grid, lead, say
from itembank.maths.primes import Unfactored, factorisation
from itembank.notation.building import equal, number
from itembank.notation.tree import Quotient
from itembank.values.answer import Absent, ResidueSet, Value

_TESTED = 12
"""The most primitive roots that are tested one by one."""


def of_the_set(problem: AboutModulus, answer: ResidueSet) -> Iterator[Told]:
    for g in answer.residues()[:_TESTED]:
        yield from _powers(g, problem)


def of_the_least(problem: AboutModulus, answer: Value | Absent) -> Iterator[Told]:
    if isinstance(answer, Value):
        yield from _powers(answer.value, problem)


def of_a_number(number: int, problem: AboutModulus) -> Iterator[Told]:
    if gcd(number, problem.modulus) == 1:
        yield from _powers(number, problem)


def _powers(g: int, problem: AboutModulus) -> Iterator[Told]:
    """The powers of a unit g that decide whether it is a primitive root."""
    m = problem.modulus
    try:
        n = prod((p - 1) * p ** (k - 1) for p, k in factorisation(m, problem.known_factors))
        primes = [q for q, _k in factorisation(n, problem.known_factors)]
    except Unfactored:
        return
    yield lead("Is ${g}$ a primitive root?", g=g)
    yield say("$φ({m}) = {n}$; it is one if and only if none of these powers is $1$.", m=m, n=n)
    if primes:
        yield grid(
            (say("exponent"), say("power of ${a}$ modulo ${m}$", a=g, m=m)),
            [(equal(Quotient(number(n), number(q)), n // q), pow(g, n // q, m)) for q in primes],
            row_heads=True,
        )
