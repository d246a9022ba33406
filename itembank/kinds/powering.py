"""A power modulo m as it is computed by hand: squares in a table, then the product of some.

Every residue is the one nearest to 0, so that (-71)^2 is squared and not 929^2, and every
product is reduced before the next. Notation: a^n modulo m; i a power of 2.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from itembank.kinds.chains import calculated, congruent
from itembank.kinds.wording import fits
from itembank.languages import Said, Told, grid, say, shown
from itembank.maths.remainders import nearest_residue
from itembank.notation.building import added, dotted, number
from itembank.notation.tree import Group, Letter, Math, Modulo, Power, Relation

LARGEST_MODULUS = 10**7
"""Squarings are shown up to this modulus; beyond it the power is only stated."""

_MOST_SQUARINGS = 24

_MULTIPLIED_OUT = 10**5
"""Up to this value a power is worked out at once."""


class Row(NamedTuple):
    """a^i, the square of the row before; residues nearest to 0."""

    i: int
    before: int
    value: int


@dataclass(frozen=True)
class Squares:
    """a^1, a^2, a^4, ... up to a^n, and no further than the first that is its own square.

    Nor further than -1 where n is a multiple of its exponent.
    """

    a: int
    n: int
    m: int
    rows: tuple[Row, ...]

    @property
    def ends(self) -> bool:
        """Whether the last square is 1 or -1 and a^n a power of it."""
        last = self.rows[-1]
        return last.value in (1, -1) and last.i < self.n and self.n % last.i == 0

    @property
    def further(self) -> int | None:
        """What the squares are that a^n needs beyond the last row; None if it needs none."""
        last = self.rows[-1]
        return last.value if 2 * last.i <= self.n else None

    def value(self, i: int) -> int:
        """a^i for a power i of 2."""
        return next((row.value for row in self.rows if row.i == i), self.rows[-1].value)


def squares_up_to(a: int, n: int, m: int) -> Squares:
    """The squares that a^n needs, n >= 1.

    >>> [(row.i, row.value) for row in squares_up_to(3, 9, 20).rows]
    [(1, 3), (2, 9), (4, 1)]
    >>> [(row.i, row.value) for row in squares_up_to(3, 12, 41).rows]
    [(1, 3), (2, 9), (4, -1)]
    """
    first = nearest_residue(a, m)
    rows = [Row(1, first, first)]
    while 2 * rows[-1].i <= n and (rows[-1].value ** 2 - rows[-1].value) % m:
        i, before = rows[-1].i, rows[-1].value
        if before == -1 and n % i == 0:
            break
        rows.append(Row(2 * i, before, nearest_residue(before**2, m)))
    return Squares(a, n, m, tuple(rows))


# ------------------------------------------------------------ chains


def chain_to_nearest(calculation: Math, value: int, m: int) -> Relation:
    """12^2 = 144 ≡ -5: the value, and its residue nearest to 0 where that is another number."""
    near = nearest_residue(value, m)
    if near == value:
        return Relation((calculation, number(value)), ("=",))
    if not fits(value):
        return congruent(calculation, near)
    return Relation((calculation, number(value), number(near)), ("=", "≡"))


def joined(left: Math, chain: Relation) -> Relation:
    """left ≡ chain."""
    return Relation((left, *chain.sides), ("≡", *chain.signs))


def to_least(chain: Relation, value: int, m: int) -> Relation:
    """The chain, with the least residue at its end where it ends in another number."""
    if chain.sides[-1] == number(value % m):
        return chain
    return Relation((*chain.sides, number(value % m)), (*chain.signs, "≡"))


def as_congruence(chain: Relation, m: int) -> Modulo:
    """The chain with its modulus; equalities alone become congruences."""
    signs = chain.signs if "≡" in chain.signs else ("≡",) * len(chain.signs)
    return Modulo(Relation(chain.sides, signs), number(m))


# ------------------------------------------------------------ telling


def power_told(
    a: int,
    n: int,
    m: int,
    of: Letter | None = None,
    least: bool = True,
    known: int = 0,
) -> Iterator[Told]:
    """The sentences and tables that compute a^n modulo m, which the unknown `of` is, if given.

    If not `least`, the last number is the residue nearest to 0, as for a test of 1 or -1. If
    a^known was told before, so were the squares of a up to there, and the table is not written
    twice.
    Requires n >= 1: unchecked.
    """
    near = nearest_residue(a, m)
    left = Power(number(a), number(n))
    if n == 1:
        yield say("The power with the exponent 1 is the number itself, {a}.", a=a)
    elif near in (0, 1, -1):
        yield say("${power}$.", power=as_congruence(_after(of, _of_unit(a, n, m, least)), m))
    elif worked_out_at_once(near, n):
        small = Power(number(near), number(n))
        chain = (calculated if least else chain_to_nearest)(small, near**n, m)
        yield say(
            "${power}$.",
            power=as_congruence(_after(of, chain if near == a else joined(left, chain)), m),
        )
    elif m > LARGEST_MODULUS or n.bit_length() > _MOST_SQUARINGS:
        value = pow(a, n, m) if least else nearest_residue(pow(a, n, m), m)
        chain = _after(of, Relation((left, number(value)), ("≡",)))
        yield say("Repeated squaring gives ${power}$.", power=as_congruence(chain, m))
    else:
        squares = squares_up_to(a, n, m)
        if n.bit_length() > known.bit_length() or worked_out_at_once(near, known):
            yield say("Square again and again, reducing modulo {m} each time:", m=m)
            yield from table_of_squares(squares)
        yield from product_told(squares, n, of, least)


def worked_out_at_once(a: int, n: int) -> bool:
    """Whether a^n, |a| > 1, is small enough to be written without squaring step by step.

    >>> worked_out_at_once(4, 7), worked_out_at_once(2, 100)
    (True, False)
    """
    return n < _MULTIPLIED_OUT.bit_length() and abs(a) ** n <= _MULTIPLIED_OUT


def _of_unit(a: int, n: int, m: int, least: bool) -> Relation:
    """46^23 ≡ (-1)^23 = -1."""
    near = nearest_residue(a, m)
    chain: Relation = Relation((Power(number(a), number(n)), number(near**n)), ("=",))
    if near != a:
        chain = joined(
            Power(number(a), number(n)),
            Relation((Power(number(near), number(n)), number(near**n)), ("=",)),
        )
    return to_least(chain, near**n, m) if least else chain


def _after(of: Letter | None, chain: Relation) -> Relation:
    """x ≡ a chain, or the chain alone."""
    return joined(of, chain) if of else chain


def table_of_squares(squares: Squares) -> Iterator[Told]:
    """A row a square, up to one that is its own square; then what the others are."""
    a, m = squares.a, squares.m
    yield grid(
        (say("power"), say("calculation")),
        [(Power(number(a), number(row.i)), _square_row(row, a, m)) for row in squares.rows],
    )
    if squares.further is not None and not squares.ends:
        yield say("From here on every square is ${v}$.", v=squares.further)


def _square_row(row: Row, a: int, m: int) -> Math:
    """(-71)^2 = 5041 ≡ 12; in the first row a itself, or 98 ≡ -2."""
    if row.i == 1:
        return number(a) if a == row.value else congruent(a, row.value)
    return chain_to_nearest(Power(number(row.before), number(2)), row.before**2, m)


def product_told(
    squares: Squares, n: int, of: Letter | None = None, least: bool = True
) -> Iterator[Told]:
    """The squares of the table that a^n needs, multiplied one after another."""
    a, m = squares.a, squares.m
    if squares.ends:
        yield _power_of_unit(squares, n, of, least)
        return
    needed = [1 << i for i in range(n.bit_length()) if n >> i & 1]
    if len(needed) == 1 or all(squares.value(i) == 1 for i in needed):
        value = squares.value(needed[-1])
        chain = Relation((Power(number(a), number(n)), number(value)), ("≡",))
        last = as_congruence(_after(of, to_least(chain, value, m) if least else chain), m)
        yield say("So ${power}$.", power=last)
        return
    yield say(
        "As ${n} = {sum}$, the product of these powers is wanted:", n=n, sum=added(needed[::-1])
    )
    yield shown(*_product_rows(squares, needed, of, least))


def _power_of_unit(squares: Squares, n: int, of: Letter | None, least: bool) -> Said:
    """a^54 = (a^2)^27 ≡ (-1)^27 = -1."""
    a, m, last = squares.a, squares.m, squares.rows[-1]
    q, value = n // last.i, last.value ** (n // last.i)
    chain = Relation(
        (
            Power(number(a), number(n)),
            Power(Group(Power(number(a), number(last.i))), number(q)),
            Power(number(last.value), number(q)),
            number(value),
        ),
        ("=", "≡", "="),
    )
    return say(
        "So ${power}$.",
        power=as_congruence(_after(of, to_least(chain, value, m) if least else chain), m),
    )


def _product_rows(
    squares: Squares, needed: list[int], of: Letter | None, least: bool
) -> Iterator[Math]:
    """a^17 ≡ 11 · (-127) = -1397 ≡ 71, a row a factor; only the last factor is told if it is 1."""
    a, m = squares.a, squares.m
    exponent, value = needed[0], squares.value(needed[0])
    for i in needed[1:]:
        factor, exponent = squares.value(i), exponent + i
        if factor == 1 and i < needed[-1]:
            continue
        before, value = value, nearest_residue(value * factor, m)
        chain = joined(
            Power(number(a), number(exponent)),
            chain_to_nearest(dotted((before, factor)), before * factor, m),
        )
        if i < needed[-1]:
            yield as_congruence(chain, m)
        elif least and 0 <= before * factor < m:
            value, chain = (
                before * factor,
                Relation((*chain.sides[:2], number(before * factor)), ("≡", "=")),
            )
    yield as_congruence(_after(of, to_least(chain, value, m) if least else chain), m)
