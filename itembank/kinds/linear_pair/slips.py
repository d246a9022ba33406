"""Student errors in solving two linear congruences in two unknowns, carried to their answers.

One function a slip, named for the mistake: from the rows, the modulus and the true pairs
to the wrong pairs and the feedback, or None where the mistake cannot be made. The catalogue
is common practice of the trade, in the order of the method.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from math import gcd

from itembank.kinds.base import Remark, Slip, Step, sentences
from itembank.kinds.linear_pair.solve import (
    by_substitution,
    determinant,
    pair_with,
    reduced,
    right_sides,
    unit_coefficient,
)
from itembank.kinds.linear_pair.steps import OneUnknown, Pair, Rows
from itembank.kinds.mistakes import MOST, made
from itembank.kinds.wrong_solutions import by_name
from itembank.languages import Said, say
from itembank.languages.lettering import relettered
from itembank.notation.building import listed
from itembank.notation.tree import Group

_Found = tuple[Iterable[Pair], Remark] | None


@dataclass(frozen=True)
class _PairWork:
    """The true work: the rows with least residues, the modulus and all pairs."""

    rows: Rows
    m: int
    pairs: tuple[Pair, ...]

    @cached_property
    def D(self) -> int:
        return determinant(self.rows) % self.m

    @property
    def is_unit(self) -> bool:
        return gcd(self.D, self.m) == 1

    @cached_property
    def last(self) -> OneUnknown | None:
        """The congruence in one unknown that is left; None if no coefficient is a unit."""
        pivot = unit_coefficient(self.rows, self.m)
        if pivot is None:
            return None
        steps: list[Step] = []
        by_substitution(self.rows, self.m, *pivot, steps)
        step = steps[-1]
        assert isinstance(step, OneUnknown)
        return step

    def divided(self, x: int, y: int, by: int) -> tuple[Pair]:
        """The pair of two right sides divided by a unit."""
        inverse = pow(by, -1, self.m)
        return ((inverse * x % self.m, inverse * y % self.m),)

    def failing(self, pair: Pair) -> tuple[Said, ...]:
        """What comes of a pair in a congruence that it does not satisfy; () if it is right."""
        x, y = pair
        shown = Group(listed(pair))
        for i, (a, b, c) in enumerate(self.rows):
            left = (a * x + b * y) % self.m
            if left == c:
                continue
            if i == 0:
                failing = say(
                    "Put ${pair}$ into the first congruence: the left side leaves {left} modulo "
                    "{m}, not {c}.",
                    pair=shown,
                    left=left,
                    m=self.m,
                    c=c,
                )
            else:
                failing = say(
                    "Put ${pair}$ into the second congruence: the left side leaves {left} modulo "
                    "{m}, not {c}.",
                    pair=shown,
                    left=left,
                    m=self.m,
                    c=c,
                )
            return (failing,)
        return ()


# ------------------------------------------------------------ elimination


def _right_side_not_multiplied(w: _PairWork) -> _Found:
    """The left sides multiplied before subtracting, the right sides not."""
    if not w.is_unit:
        return None
    c1, c2 = w.rows[0][2], w.rows[1][2]
    wrong = w.divided(c1 - c2, c2 - c1, w.D)
    return wrong, (
        say(
            "Check the right sides before subtracting: the right side of a congruence is "
            "multiplied with the left."
        ),
        *w.failing(wrong[0]),
    )


def _right_sides_added(w: _PairWork) -> _Found:
    if not w.is_unit:
        return None
    (a1, b1, c1), (a2, b2, c2) = w.rows
    wrong = w.divided(c1 * b2 + c2 * b1, a1 * c2 + a2 * c1, w.D)
    return wrong, (
        say(
            "Check the right side of the difference: what is subtracted on the left is subtracted "
            "on the right."
        ),
        *w.failing(wrong[0]),
    )


def _determinant_not_divided(w: _PairWork) -> _Found:
    if not w.is_unit or w.D == 1:
        return None
    x, y = right_sides(w.rows)
    wrong = ((x % w.m, y % w.m),)
    return wrong, (
        say(
            "After eliminating, the unknown still has a coefficient: multiply by the inverse of "
            "{D} modulo {m}.",
            D=w.D,
            m=w.m,
        ),
        *w.failing(wrong[0]),
    )


def _determinant_sign(w: _PairWork) -> _Found:
    if not w.is_unit:
        return None
    (a1, b1, _c1), (a2, b2, _c2) = w.rows
    wrong = w.divided(*right_sides(w.rows), -w.D)
    return wrong, (
        say(
            "Check the sign of the determinant: it is ${a1} · {b2} - {a2} · {b1}$.",
            a1=a1,
            b1=b1,
            a2=a2,
            b2=b2,
        ),
        *w.failing(wrong[0]),
    )


def _determinant_added(w: _PairWork) -> _Found:
    (a1, b1, _c1), (a2, b2, _c2) = w.rows
    wrong_one = (a1 * b2 + a2 * b1) % w.m
    if not w.is_unit or gcd(wrong_one, w.m) != 1:
        return None
    wrong = w.divided(*right_sides(w.rows), wrong_one)
    return wrong, (
        say(
            "Check the determinant: it is the **difference** ${a1} · {b2} - {a2} · {b1}$, not the "
            "sum.",
            a1=a1,
            b1=b1,
            a2=a2,
            b2=b2,
        ),
        *w.failing(wrong[0]),
    )


def _unknowns_exchanged(w: _PairWork) -> _Found:
    if not w.pairs:
        return None
    return tuple((y, x) for x, y in w.pairs), say(
        "Check the order of the unknowns: $x$ comes first in a pair $(x, y)$."
    )


def _back_substituted_with_the_wrong_sign(w: _PairWork) -> _Found:
    """x right, then b1 y = c1 + a1 x."""
    if not w.is_unit:
        return None
    a1, b1, c1 = w.rows[0]
    if gcd(b1, w.m) != 1:
        return None
    ((x, _y),) = w.pairs
    wrong = ((x, pow(b1, -1, w.m) * (c1 + a1 * x) % w.m),)
    return wrong, (
        say(
            "Check the sign when $x$ is put back into the first congruence: ${a1}x$ changes it on "
            "the way to the right side.",
            a1=a1,
        ),
        *w.failing(wrong[0]),
    )


# ------------------------------------------------------------ the determinant no unit


def _no_inverse_so_none(w: _PairWork) -> _Found:
    if w.is_unit or not w.pairs:
        return None
    return (), say(
        "The determinant {D} has no inverse modulo {m}, but that does not rule out solutions: it "
        "leaves none, or several. Express one unknown by the other and see.",
        D=w.D,
        m=w.m,
    )


def _one_pair_only(w: _PairWork) -> _Found:
    if len(w.pairs) < 2:
        return None
    return w.pairs[:1], say(
        "The determinant {D} has no inverse modulo {m}, so one pair cannot be all. Express one "
        "unknown by the other, and look for further values.",
        D=w.D,
        m=w.m,
    )


def _values_paired_freely(w: _PairWork) -> _Found:
    """Every value of x with every value of y."""
    xs, ys = ({pair[i] for pair in w.pairs} for i in (0, 1))
    if len(xs) * len(ys) > MOST or len(w.pairs) < 2:
        return None
    wrong = tuple(product(sorted(xs), sorted(ys)))
    failing = next((pair for pair in wrong if pair not in w.pairs), None)
    if failing is None:
        return None
    return wrong, (
        say(
            "Check which values go together: each value of $x$ belongs to certain values of $y$ "
            "only."
        ),
        *w.failing(failing),
    )


def _pair_left(step: OneUnknown, t: int) -> Pair:
    """The pair with the value t of the unknown that was left."""
    return pair_with(t, step.unknown, step.r, step.s, step.m)


def _modulus_not_divided(w: _PairWork) -> _Found:
    """A t = B (mod m) divided by g, and t spread with the step g in place of m/g."""
    step = w.last
    if step is None or not step.values or step.g in (1, w.m) or step.g**2 == w.m:
        return None
    spaced = (step.values[0] + i * step.g for i in range(step.g))
    return tuple(_pair_left(step, t % w.m) for t in spaced), say(
        "Check how far the values of the unknown that was left are apart: the step is ${m}/{g} = "
        "{n}$, not {g}.",
        g=step.g,
        m=w.m,
        n=w.m // step.g,
    )


def _solvability_untested(w: _PairWork) -> _Found:
    """A t = B (mod m) solved although g does not divide B, by rounding down."""
    step = w.last
    if step is None or step.values or step.A == 0:
        return None
    n = w.m // step.g
    t = pow(step.A // step.g, -1, n) * (step.B // step.g) % n
    pair = _pair_left(step, t)
    return (pair,), (
        say(
            "Look at what is left after eliminating: does $gcd({A}, {m}) = {g}$ divide {B}?",
            A=step.A,
            m=w.m,
            g=step.g,
            B=step.B,
        ),
        *w.failing(pair),
    )


def _first_congruence_only(w: _PairWork) -> _Found:
    """The pairs that satisfy the first congruence, whatever the second says."""
    a, b, c = w.rows[0]
    if w.m > MOST:
        return None
    wrong = tuple((x, y) for x in range(w.m) for y in range(w.m) if (a * x + b * y - c) % w.m == 0)
    failing = next((pair for pair in wrong if pair not in w.pairs), None)
    if failing is None or len(wrong) > MOST:
        return None
    return wrong, (
        say("Check the second congruence as well: both have to hold."),
        *w.failing(failing),
    )


_MISTAKES = by_name(
    _right_side_not_multiplied,
    _right_sides_added,
    _determinant_not_divided,
    _determinant_sign,
    _determinant_added,
    _back_substituted_with_the_wrong_sign,
    _unknowns_exchanged,
    _no_inverse_so_none,
    _one_pair_only,
    _values_paired_freely,
    _modulus_not_divided,
    _solvability_untested,
    _first_congruence_only,
)
"""In the order of the method."""

NAMES = tuple(_MISTAKES)
"""What specs and packages call them."""


def slips_of(
    rows: Rows, m: int, pairs: tuple[Pair, ...], letters: tuple[str, str]
) -> Iterator[Slip]:
    """All slips that apply and whose answers hold at most MOST pairs, in order."""
    if m == 1 or len(pairs) > MOST**2:
        return
    work = _PairWork(reduced(rows, m), m, pairs)
    names = {"x": letters[0], "y": letters[1]}
    for name, wrong, feedback in made(_MISTAKES, work):
        answer = tuple(sorted(set(wrong)))
        if len(answer) <= MOST:
            yield Slip((name,), answer, (relettered(sentences(feedback), names),))
