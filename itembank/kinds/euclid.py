"""Inverses as courses find them: Euclid's rows put into each other, or multiples looked through."""

from collections.abc import Iterator, Sequence

from itembank.languages import Said, say
from itembank.maths.remainders import EuclidStep
from itembank.notation.building import difference, dotted, equal, listed, number
from itembank.notation.layout import NOTHING
from itembank.notation.tree import Group, Math, Number, Product, Relation

_LOOKED_THROUGH = 30
"""At most so many numbers 1, 1 + m, 1 + 2m, ... are looked through for a multiple of a."""


def turns(a: int, m: int) -> int:
    """The least k with 1 + km a multiple of a; requires a >= 1 prime to m: unchecked.

    >>> turns(7, 26), turns(1, 5)
    (4, 0)
    """
    return (a * pow(a, -1, m) - 1) // m if m > 1 else 0


def seen_in_turn(a: int, m: int) -> bool:
    """Whether looking through comes to its end soon."""
    return turns(a, m) < _LOOKED_THROUGH


def looked_through(a: int, m: int) -> Said:
    """1, 27, 53, 79, 105: the first multiple of 7 is 105 = 7 · 15."""
    last = 1 + turns(a, m) * m
    return say(
        "The numbers that are congruent to 1 modulo {m} are ${numbers}$, ...; the first of them "
        "that {a} divides is ${product}$.",
        m=m,
        numbers=listed(range(1, last + 1, m)),
        a=a,
        product=equal(last, dotted((a, last // a))),
    )


def back_substitution(rows: Sequence[EuclidStep]) -> Iterator[Relation]:
    """1 = ..., then one row for each replacement, as chains that go on with =."""
    *earlier, last = rows
    s, t = 1, -last.quotient
    yield Relation((number(1), _combination(s, last.dividend, t, last.divisor)), ("=",))
    for row in reversed(earlier):
        # s * dividend + t * remainder, with remainder = row.dividend - quotient * dividend
        remainder = _combination(1, row.dividend, -row.quotient, row.divisor)
        put_in = _put_together((s, number(row.divisor)), (t, Group(remainder)))
        s, t = t, s - t * row.quotient
        yield Relation((NOTHING, put_in, _combination(s, row.dividend, t, row.divisor)), ("=", "="))


def _combination(s: int, u: int, t: int, v: int) -> Math:
    """su + tv for s and t of opposite signs."""
    return _put_together((s, number(u)), (t, number(v)))


def _put_together(*terms: tuple[int, Math]) -> Math:
    """Two multiples, the positive one first, without a factor 1."""
    (s, u), (t, v) = sorted(terms, key=lambda term: -term[0])
    return difference(_multiple(s, u), _multiple(-t, v))


def _multiple(s: int, u: Math) -> Math:
    return u if s == 1 else Product((number(s), u), dot=isinstance(u, Number))
