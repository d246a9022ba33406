"""Calculations as trees: 6 · 9 = 54 ≡ 2, and the sums and left sides that they begin with."""

from collections.abc import Sequence
from typing import Literal

from itembank.kinds.wording import fits
from itembank.notation.building import (
    dotted,
    number,
    polynomial,
    power,
    signed_terms,
    tree,
)
from itembank.notation.tree import Listing, Math, Minus, Modulo, Number, Product, Relation, Sum


def calculated(calculation: int | Math, value: int, m: int) -> Relation:
    """The calculation, its value, and the least residue of that where it is another number.

    >>> calculated(number(5), 5, 3).signs
    ('=', '≡')
    """
    if 0 <= value < m:
        return Relation((tree(calculation), number(value)), ("=",))
    return Relation((tree(calculation), number(value), number(value % m)), ("=", "≡"))


def division(n: int, divisor: int) -> Relation:
    """n divided with its remainder: 26 = 3 · 7 + 5.

    >>> division(26, 7).signs
    ('=',)
    """
    product = dotted((n // divisor, divisor))
    return Relation((number(n), Sum(((1, product), (1, number(n % divisor))))), ("=",))


def congruent(a: int | Math, b: int | Math) -> Relation:
    """a ≡ b, in a line where the modulus is known."""
    return Relation((tree(a), tree(b)), ("≡",))


def calculated_or_congruent(calculation: int | Math, value: int, m: int) -> Relation:
    """As `calculated`; a value that is too long to write is left out: 6^99 ≡ 3."""
    if 0 <= value < m or fits(value):
        return calculated(calculation, value, m)
    return congruent(calculation, value % m)


def residue_chain(value: int, m: int) -> Math:
    """63 ≡ 11; 7 alone if it is its own least residue; 11 alone for a number too long to write."""
    if 0 <= value < m:
        return number(value)
    return congruent(value, value % m) if fits(value) else number(value % m)


def modulo(chains: Sequence[Relation], m: Math) -> Math:
    """Chains under one modulus: 6 · 4 = 24 ≡ 4, 6 · 9 = 54 ≡ 4 (mod 10).

    A sole equality is put as the congruence that follows from it.
    """
    if len(chains) > 1:
        return Modulo(Listing(tuple(chains)), m)
    (chain,) = chains
    return Modulo(Relation(chain.sides, ("≡",)) if chain.signs == ("=",) else chain, m)


# ------------------------------------------------------------ sums, with nothing worked out


def sum_of(*terms: Math) -> Math:
    """2 · 3 + 5, nothing worked out; a negative number or product is subtracted.

    A sum among the terms gives its own.
    """
    signed = [part for term in terms for part in _signed_parts(term)]
    if len(signed) > 1:
        return Sum(tuple(signed))
    ((sign, term),) = signed
    if sign == 1:
        return term
    return Number(-term.value) if isinstance(term, Number) else Minus(term)


def _signed_parts(term: Math) -> tuple[tuple[Literal[1, -1], Math], ...]:
    return term.terms if isinstance(term, Sum) else (_signed_term(term),)


def _signed_term(term: Math) -> tuple[Literal[1, -1], Math]:
    match term:
        case Number(n) if n < 0:
            return -1, Number(-n)
        case Product((Number(n), *others), True) if n < 0:
            return -1, dotted((-n, *others))
        case Minus(inside):
            return -1, inside
    return 1, term


def shift(r: int, d: int, letter: str) -> Math:
    """r + dt, in the letter given for t; the term alone where the other is 0."""
    term = polynomial((0, d), letter)
    if not r or not d:
        return term if d else Number(r)
    return sum_of(Number(r), term)


def value_put_in(f: Sequence[int], x: int) -> Math:
    """A polynomial with a number for its unknown, nothing worked out: 3 · 4 + 1, 4^2 + 4 + 1."""
    terms = [_term_with(sign * c, x, k) for sign, c, k in signed_terms(f)]
    return sum_of(*terms) if terms else Number(0)


def _term_with(c: int, x: int, k: int) -> Math:
    """c x^k with a number for x, c not 0."""
    if k == 0:
        return Number(c)
    if c == 1:
        return power(x, k)
    return Minus(power(x, k)) if c == -1 else dotted((c, power(x, k)))
