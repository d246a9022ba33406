"""A congruence in one unknown: what linear and polynomial congruences share.

Notation: left(x) = right(x) (mod m), f = left - right. Polynomials are tuples of
coefficients, constant term first. Nothing here solves a congruence.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from math import gcd
from typing import Self

from itembank.kinds.asking import OPENINGS_OF_LINES, phrases_of_congruence
from itembank.kinds.base import Given, Phrases, equation_of, integer_of
from itembank.kinds.modular import modulus_formula
from itembank.languages import Said, Shown, Telling, say
from itembank.maths.polynomials import Poly, reduced, scaled, shifted, sum_of
from itembank.notation import building
from itembank.notation.building import naming, none_of, plain_polynomial, polynomial
from itembank.notation.tree import Math

_SHIFTS = 200
"""Largest modulus for which near twins are found by trying every shift."""

_SHOWN_AS_TYPED = 10**9
"""From here on a modulus typed as 3^40 is shown as typed."""


@dataclass(frozen=True, kw_only=True)
class Congruence:
    """left = right (mod modulus) in the unknown `letter`; modulus at least 1.

    `typed_modulus` is the modulus as its author wrote it ("3^40", "7*11^2"): its factors
    help to factor a large one, and its form is shown.
    """

    left: Poly
    right: Poly
    modulus: int
    letter: str = "x"
    typed_modulus: str = field(default="", compare=False)
    known_factors: tuple[int, ...] = field(default=(), compare=False)

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """The congruence of a family's `given`: congruence (an equation) and modulus."""
        left, right = equation_of(given, "congruence")
        return cls(left=left, right=right, modulus=integer_of(given, "modulus"), letter=letter)

    @property
    def f(self) -> Poly:
        """left - right, over the integers."""
        return sum_of(self.left, scaled(self.right, -1))

    @property
    def modulus_text(self) -> str:
        if self.typed_modulus and self.modulus >= _SHOWN_AS_TYPED:
            return self.typed_modulus
        return str(self.modulus)

    @property
    def _unknown_is_missing(self) -> bool:
        """Whether both sides are numbers alone, so that the unknown has to be named."""
        return max(len(self.left), len(self.right)) <= 1

    @property
    def statement(self) -> tuple[str, ...]:
        left = plain_polynomial(self.left, self.letter)
        if self._unknown_is_missing:
            left = f"{left} + 0{self.letter}" if any(self.left) else f"0{self.letter}"
        right = plain_polynomial(self.right, self.letter)
        return (f"{left} = {right} mod {self.modulus_text}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        left = polynomial(self.left, self.letter)
        if self._unknown_is_missing:
            left = naming(left, self.letter) if any(self.left) else none_of(self.letter)
        right = polynomial(self.right, self.letter)
        modulus = modulus_formula(self.modulus, self.modulus_text)
        return (building.congruence(left, right, modulus),)

    def symmetry(self) -> Callable[[int], frozenset[int]] | None:
        """What must solve the congruence with a residue; None where it cannot be read off.

        The partner -b/a - r of a root r of a quadratic, -r where all powers are even, the steps
        m/gcd(a, m) of a linear congruence.
        """
        f, m = reduced(self.f, self.modulus), self.modulus
        if len(f) == 2:
            step = m // gcd(f[1], m)
            return lambda x: frozenset(range(x % step, m, step))
        if len(f) == 3 and gcd(f[2], m) == 1:
            total = -f[1] * pow(f[2], -1, m)
            return lambda x: frozenset((x % m, (total - x) % m))
        if len(f) > 2 and not any(f[1::2]):
            return lambda x: frozenset((x % m, -x % m))
        return None

    def question(self, ask: str) -> Telling:
        return ({**OPENINGS, **OPENINGS_OF_LINES}[ask], Shown(self.shown))

    @property
    def phrases(self) -> Phrases:
        return phrases_of_congruence(self.modulus)

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.modulus, *unit_multiple(self.f, self.modulus))

    @property
    def twin(self) -> tuple[object, ...]:
        return (self.modulus, *shift_class(self.f, self.modulus))


OPENINGS: dict[str, Said] = {
    "all solutions": say("Find **all** solutions of"),
    "the solution": say("Find the solution of"),
    "how many": say("How many solutions does this congruence have?"),
    "the least": say("Find the **least** residue that solves"),
    "the largest": say("Find the **largest** residue that solves"),
    "whether any": say("Decide whether there is a solution of"),
}
"""How each ask begins, before the congruence."""


def out_of_order(shown: tuple[Math, ...]) -> Telling:
    """The question about the order of the steps that solve a congruence."""
    opening = say("The steps of solving the following congruence are out of order.")
    return (opening, Shown(shown))


def unit_multiple(f: Poly, m: int) -> Poly:
    """The unit multiple of f mod m that stands for all of them.

    Multiplying by a unit changes no solution, so congruences with the same result are
    disguises of each other, and others are not. With g the content gcd(f, m), the
    multiple is g h where, modulo each prime power of m/g, the first coefficient of h
    that is a unit, from the leading one down, is 1. No prime has to be known: the
    coefficients themselves split m/g.
    """
    f = reduced(f, m)
    g = gcd(m, *f)
    n = m // g
    unit, done, left = 1, 1, n  # the multiplier modulo done, for done * left = n
    for c in reversed(f):
        part = _coprime_part(left, c // g)
        unit, done, left = _crt(unit, done, pow(c // g, -1, part), part), done * part, left // part
    return tuple(g * (unit * (c // g) % n) for c in f)


def _coprime_part(n: int, c: int) -> int:
    """The largest divisor of n that is coprime to c; n and c are not both 0."""
    while (d := gcd(n, c)) > 1:
        n //= d
    return n


def _crt(a: int, m: int, b: int, n: int) -> int:
    """The x modulo mn with x = a (mod m) and x = b (mod n); m and n are coprime."""
    return a + m * ((b - a) * pow(m, -1, n) % n)


def shift_class(f: Poly, m: int) -> Poly:
    """A polynomial that is the same for f(x) and for every f(x + c) and their unit multiples.

    If n*lead is a unit mod m (n the degree), the shift that removes the term of degree
    n - 1 is the standard one; otherwise all shifts are compared while m is small, and
    beyond that f stands for itself alone.
    """
    f = reduced(f, m)
    n = len(f) - 1
    if n < 1:
        return unit_multiple(f, m)
    if gcd(n * f[-1], m) == 1:
        return unit_multiple(shifted(f, -f[-2] * pow(n * f[-1], -1, m), 1), m)
    if m <= _SHIFTS:
        return min(unit_multiple(shifted(f, c, 1), m) for c in range(m))
    return unit_multiple(f, m)
