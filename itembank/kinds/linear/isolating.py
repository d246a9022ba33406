"""From ax = b (mod m), a prime to m, to x: with the smallest numbers that lead there.

A coefficient is replaced by the residue nearest to 0, common factors of both sides are
cancelled, the modulus is added to the right side where that makes it divisible; only what is
left is inverted.  53x = 40 (mod 58) is -5x = 40, so x = -8.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import gcd

from itembank.kinds.chains import (
    calculated,
    calculated_or_congruent,
    division,
    residue_chain,
    sum_of,
)
from itembank.kinds.euclid import back_substitution, looked_through, seen_in_turn, turns
from itembank.kinds.wording import FITS_ON_THE_BOARD, IN_A_SENTENCE
from itembank.languages import Told, counted, grid, say, shown
from itembank.maths.remainders import EuclidStep, euclid_steps, nearest_residue
from itembank.notation.building import congruence, dotted, polynomial
from itembank.notation.tree import Letter, Math, Number, Relation

_ADDED = (0, *(sign * k for k in range(1, 7) for sign in (-1, 1)))
"""How often the modulus is added to the right side, in the order in which it is tried."""

_INVERSE_AT_SIGHT = 30
"""Up to this modulus an inverse is named and checked; beyond it Euclid's table finds it ..."""

_MULTIPLES_AT_SIGHT = 4
"""... unless its product is next to one of the first multiples of a modulus that is short."""

_SHORT = 1000

_EUCLIDEAN = ("Euclid backwards", "table")
"""Methods of a course that wants the inverse: the modulus is not added to the right side first."""

_MOST_BACKWARDS = 20
"""At most so many rows are put into each other where a course teaches to go backwards."""

_EUCLID_ROWS = 30
"""The longest table of Euclid's algorithm that is written out."""


@dataclass(frozen=True)
class Move:
    """k times the modulus added to the right side, then both sides divided by c: ax = b."""

    k: int
    c: int
    a: int
    b: int


@dataclass(frozen=True)
class Isolating:
    """ax = b (mod m) as it stands; a made `small`; the moves; the inverse of what is left.

    `inverse` is nearest to 0, and None if nothing is left to invert; `rows` are Euclid's
    that find it, () where it is seen.  x is the least residue.  `method` is how a course finds
    inverses.
    """

    a: int
    b: int
    m: int
    small: int
    moves: tuple[Move, ...]
    inverse: int | None
    rows: tuple[EuclidStep, ...]
    x: int
    method: str = ""

    @property
    def left(self) -> tuple[int, int]:
        """The coefficient and the right side after the moves."""
        return (self.moves[-1].a, self.moves[-1].b) if self.moves else (self.small, self.b)

    @property
    def _turns(self) -> int:
        """How many numbers 1 + m, 1 + 2m, ... are looked through."""
        looked = self.method == "inspection" and not self.rows
        return turns(self.left[0], self.m) if looked else 0

    @property
    def effort(self) -> int:
        inverted = 0 if self.inverse is None else 1 + max(len(self.rows), self._turns, 1)
        return (self.small != self.a) + len(self.moves) + inverted


def isolating(a: int, b: int, m: int, method: str = "") -> Isolating:
    """The shortest of these ways from ax = b (mod m) to x; inverses by the method of a course.

    Requires gcd(a, m) = 1 and m >= 2: unchecked.

    >>> isolating(53, 40, 58).moves, isolating(15, 13, 17).moves
    ((Move(k=0, c=-5, a=1, b=-8),), (Move(k=1, c=15, a=1, b=2),))
    """
    if m > IN_A_SENTENCE:
        inverse, x = pow(a, -1, m), pow(a, -1, m) * b % m
        return Isolating(a, b, m, a, (), None if a == 1 else inverse, euclid_steps(a, m), x)
    starts = dict.fromkeys((a, nearest_residue(a, m)))
    ways = (
        _from_start(a, small, b, m, method, cancelled_first)
        for cancelled_first in (False, True)
        for small in starts
    )
    return min(ways, key=awkwardness)


def awkwardness(way: Isolating) -> int:
    """What its steps cost, and each time that the modulus is added.

    Where an inverse is named, its product with the coefficient lies so many moduli from 0.
    """
    seen = way.inverse is not None and not way.rows and not way.method
    far = abs(way.left[0] * (way.inverse or 0)) // way.m if seen else 0
    return way.effort + sum(abs(move.k) for move in way.moves) + far


def _from_start(
    a: int, small: int, b: int, m: int, method: str = "", cancelled_first: bool = False
) -> Isolating:
    """The way from ax = b where a is taken as the residue `small`.

    Common factors of both sides may be cancelled before the modulus is added.
    """
    x = pow(a, -1, m) * b % m
    moves: list[Move] = []
    left, right = small, b
    c = gcd(small, b) * (1 if small > 0 else -1)
    if cancelled_first and abs(c) > 1:
        left, right = small // c, b // c
        moves.append(Move(0, c, left, right))
    added = _ADDED[:1] if m > FITS_ON_THE_BOARD or method in _EUCLIDEAN else _ADDED
    while left != 1 and (move := _next_move(left, right, m, added)) is not None:
        moves.append(move)
        left, right = move.a, move.b
    if left == 1:
        return Isolating(a, b, m, small, tuple(moves), None, (), x)
    inverse = nearest_residue(pow(left, -1, m), m)
    if method == "inspection":
        at_sight = left > 0 and seen_in_turn(left, m)
        inverse = inverse % m if at_sight else inverse
    else:
        at_sight = not method and _seen(left, inverse, m)
    rows = () if at_sight else euclid_steps(left, m)
    return Isolating(a, b, m, small, tuple(moves), inverse, rows, x, method)


def _next_move(a: int, b: int, m: int, added: Sequence[int]) -> Move | None:
    """What makes a smaller, or positive at least; None where it has to be inverted.

    The modulus may be added to the right side as often as `added` says.
    """
    for k in added:
        if (b + k * m) % a == 0:
            return Move(k, a, 1, (b + k * m) // a)
    for k in added[:2]:
        if (c := gcd(a, b + k * m)) > 1:
            c = c if a > 0 else -c
            return Move(k, c, a // c, (b + k * m) // c)
    return Move(0, -1, -a, -b) if a < 0 else None


def _seen(a: int, inverse: int, m: int) -> bool:
    """Whether an inverse is found without Euclid's algorithm."""
    near = abs(a * inverse) <= _MULTIPLES_AT_SIGHT * m + 1
    return m <= _INVERSE_AT_SIGHT or (near and m <= _SHORT)


# ------------------------------------------------------------ how it is told


def isolated(way: Isolating, unknown: str, m: Math | None = None) -> Iterator[Told]:
    """The way in sentences, the congruence as it stands being said; `m` is how m is written."""
    modulus = Number(way.m) if m is None else m
    if way.small != way.a:
        yield say(
            "${a} ≡ {small} (mod {m})$, so the congruence is ${left} ≡ {b} (mod {m})$.",
            a=way.a,
            small=way.small,
            m=modulus,
            left=polynomial((0, way.small), unknown),
            b=way.b,
        )
    a, b = way.small, way.b
    for move in way.moves:
        yield from _moved(move, a, b, way, unknown, modulus)
        a, b = move.a, move.b
    if way.inverse is not None:
        yield from _inverted(way, way.inverse, unknown, modulus)
    elif not way.moves and way.b != way.x:
        yield say(
            "So ${x} ≡ {value} (mod {m})$.",
            x=Letter(unknown),
            value=residue_chain(b, way.m),
            m=modulus,
        )


def _moved(move: Move, a: int, b: int, way: Isolating, unknown: str, m: Math) -> Iterator[Told]:
    right = b + move.k * way.m
    value = residue_chain(move.b, way.m) if move.a == 1 else Number(move.b)
    result = congruence(polynomial((0, move.a), unknown), value, m)
    if abs(move.k) == 1:
        yield say(
            "As ${b} ≡ {right} (mod {m})$, this is ${ax} ≡ {right} (mod {m})$.",
            b=b,
            right=right,
            m=m,
            ax=polynomial((0, a), unknown),
        )
    elif move.k:
        yield say(
            "As ${b} ≡ {sum} = {right} (mod {m})$, this is ${ax} ≡ {right} (mod {m})$.",
            b=b,
            sum=sum_of(Number(b), dotted((move.k, m))),
            right=right,
            m=m,
            ax=polynomial((0, a), unknown),
        )
    if move.c == -1:
        yield say("Multiply both sides by $-1$: ${result}$.", result=result)
    else:
        yield say(
            "Divide both sides by ${c}$, which has no common factor with ${m}$: ${result}$.",
            c=move.c,
            m=m,
            result=result,
        )


def _inverted(way: Isolating, inverse: int, unknown: str, modulus: Math) -> Iterator[Told]:
    a, b = way.left
    m = way.m
    if m > IN_A_SENTENCE:
        yield counted(
            "Euclid's algorithm finds the inverse in {n} division. Multiply both sides by it.",
            "Euclid's algorithm finds the inverse in {n} divisions. Multiply both sides by it.",
            len(way.rows),
        )
        return
    yield from _euclid(way, a)
    if way.method == "inspection" and not way.rows:
        yield looked_through(a, m)
    yield say(
        "${one} (mod {m})$, so the inverse of {a} is ${i}$.",
        one=calculated_or_congruent(dotted((a, inverse)), a * inverse, m),
        m=modulus,
        a=a,
        i=inverse,
    )
    yield say(
        "Multiplying both sides by ${i}$ gives ${x} ≡ {value} (mod {m})$.",
        i=inverse,
        x=Letter(unknown),
        value=product_of_small(inverse, b, m),
        m=modulus,
    )


def product_of_small(a: int, b: int, m: int) -> Relation:
    """23 · 50 ≡ 23 · (-8) = -184 ≡ 48: by the residues nearest to 0, unless it is short."""
    near_a, near_b = nearest_residue(a, m), nearest_residue(b, m)
    if abs(near_a * near_b) >= abs(a * b) or abs(a * b) <= _MULTIPLES_AT_SIGHT * m:
        return calculated_or_congruent(dotted((a, b)), a * b, m)
    rest = calculated(dotted((near_a, near_b)), near_a * near_b, m)
    if near_a == 1 or near_b == 1:
        rest = Relation(rest.sides[1:], rest.signs[1:])
    return Relation((dotted((a, b)), *rest.sides), ("≡", *rest.signs))


def _euclid(way: Isolating, a: int) -> Iterator[Told]:
    """Euclid's algorithm forwards, with the coefficient of a carried along."""
    if not way.rows:
        return
    if len(way.rows) > _EUCLID_ROWS:
        yield say("Euclid's algorithm takes {n} divisions here and finds:", n=len(way.rows))
        return
    if way.method == "Euclid backwards" and len(way.rows) <= _MOST_BACKWARDS:
        yield from _backwards(way.rows, a, way.m)
        return
    yield say(
        "Euclid's algorithm, carrying along the number $u$ for which each remainder is congruent "
        "to ${a}u (mod {m})$:",
        a=a,
        m=way.m,
    )
    yield grid(
        (say("division"), say("remainder"), Letter("u")),
        [
            (
                say(
                    "${a} = {q} · {b} + {r}$",
                    a=r.dividend,
                    q=r.quotient,
                    b=r.divisor,
                    r=r.remainder,
                ),
                r.remainder,
                r.v,
            )
            for r in way.rows
            if r.remainder
        ],
    )


def _backwards(rows: Sequence[EuclidStep], a: int, m: int) -> Iterator[Told]:
    """The divisions, then 1 as a combination of m and a, each remainder put in from its row."""
    yield say("Euclid's algorithm for {m} and {a}:", m=m, a=a)
    yield shown(*(division(row.dividend, row.divisor) for row in rows if row.remainder))
    yield say("Backwards, each remainder replaced by what its row says:")
    yield shown(*back_substitution(rows[:-1]))
