"""Student errors in solving ax = b (mod m), each carried through to its answer.

One function a slip, named for the mistake: it takes the true work and returns the
wrong residues with feedback in this congruence's own numbers, or None where the
mistake cannot be made. Feedback names the step and never the key. The catalogue is
common practice of the trade.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import gcd

from itembank.kinds.base import Slip
from itembank.kinds.mistakes import MOST, SetFound
from itembank.kinds.wording import IN_A_SENTENCE
from itembank.kinds.wrong_solutions import by_name, wrong_solutions
from itembank.languages import Said, say
from itembank.notation.building import polynomial
from itembank.notation.tree import Math

_FACTORS_TRIED = 50
"""How far another divisor of b is looked for."""


@dataclass(frozen=True)
class Work:
    """The true work: d = gcd(a, m); a1 x = b1 (mod m1) after division by d, if d divides b.

    Where d does not divide b, b1 is rounded down, as someone divides who does not test.
    """

    a: int
    b: int
    m: int

    @property
    def d(self) -> int:
        return gcd(self.a, self.m)

    @property
    def solvable(self) -> bool:
        return self.b % self.d == 0

    @property
    def a1(self) -> int:
        return self.a // self.d

    @property
    def b1(self) -> int:
        return self.b // self.d

    @property
    def m1(self) -> int:
        return self.m // self.d

    @property
    def inverse(self) -> int:
        return pow(self.a1, -1, self.m1)

    @property
    def x0(self) -> int:
        return self.inverse * self.b1 % self.m1

    @property
    def ax(self) -> Math:
        return polynomial((0, self.a))

    def spread(self, x: int) -> range:
        """The d residues modulo m that are x modulo m1."""
        return range(x % self.m1, self.m, self.m1)


def slips_of(a: int, b: int, m: int, letter: str) -> Iterator[Slip]:
    """All slips that apply and whose answers hold at most MOST residues, in order."""
    work = Work(a, b, m)
    if a == 0 or work.d > MOST or m > IN_A_SENTENCE:
        return
    yield from wrong_solutions(MISTAKES, work, m, letter)


def _solvability_untested(w: Work) -> SetFound:
    if w.solvable:
        return None
    return w.spread(w.x0), _untested(w)


def _untested(w: Work) -> Said:
    """What is said to whoever found something that is not there."""
    return say(
        "Substitute one of these residues: ${ax}$ is always a multiple of {d} modulo {m}. Does {d} "
        "divide {b}?",
        ax=w.ax,
        d=w.d,
        m=w.m,
        b=w.b,
    )


def _unsolved(w: Work, x: int) -> SetFound:
    """A second mistake on the way of whoever did not test; None where it changes nothing."""
    return None if (x - w.x0) % w.m1 == 0 else (w.spread(x), _untested(w))


def _modulus_kept(w: Work) -> SetFound:
    if not w.solvable or w.d == 1:
        return None
    return _solutions(w.a1, w.b1, w.m), say(
        "If you divided {a} and {b} by {d}, check the modulus: ${d} · u ≡ {d} · v (mod {m})$ "
        "implies $u ≡ v (mod {m}/{d})$ only.",
        a=w.a,
        b=w.b,
        d=w.d,
        m=w.m,
    )


def _uneven_division(w: Work) -> SetFound:
    e = _other_divisor(w.b, w.d)
    if not w.solvable or w.d == 1 or e is None:
        return None
    return w.spread(w.inverse * (w.b // e)), say(
        "If you divided {a} and {m} by {d} but {b} by {e}: all three numbers are divided by the "
        "same {d}.",
        a=w.a,
        m=w.m,
        d=w.d,
        b=w.b,
        e=e,
    )


def _integer_quotient(w: Work) -> SetFound:
    """Unsolvable, because a does not divide b among the integers."""
    if w.a == 1 or w.b % w.a == 0:
        return None
    return (), say(
        "{a} does not divide {b} among the integers, but modulo {m} dividing means multiplying by "
        "an inverse, or adding multiples of {m} to {b} until {a} divides it.",
        a=w.a,
        b=w.b,
        m=w.m,
    )


def _inverse_sign(w: Work) -> SetFound:
    if w.m1 <= 2 or w.a1 in (1, w.m1 - 1):
        return None
    wrong = -w.inverse % w.m1
    if not w.solvable:
        return _unsolved(w, wrong * w.b1)
    return w.spread(wrong * w.b1), say(
        "If you multiplied by {wrong}: ${a1} · {wrong} = {product}$ is congruent to $-1$ modulo "
        "{m1}, not to 1. Check the sign of the inverse of {a1}.",
        wrong=wrong,
        a1=w.a1,
        product=w.a1 * wrong,
        m1=w.m1,
    )


def _inverse_taken(w: Work) -> SetFound:
    """The inverse of a1 given for x: b1 forgotten."""
    if w.m1 <= 2 or w.a1 % w.m1 == 1:
        return None
    if not w.solvable:
        return _unsolved(w, w.inverse)
    return w.spread(w.inverse), say(
        "If you gave an inverse: ${a1} · {inverse} ≡ 1 (mod {m1})$, and {b1} is wanted on the "
        "right side. Multiply it by {b1}.",
        a1=w.a1,
        inverse=w.inverse,
        m1=w.m1,
        b1=w.b1,
    )


def _right_side_not_divided(w: Work) -> SetFound:
    """a and m divided by d, and b not."""
    if not w.solvable or w.d == 1:
        return None
    return w.spread(w.inverse * w.b), say(
        "When {a} and {m} are divided by {d}, so is {b}.",
        a=w.a,
        m=w.m,
        d=w.d,
        b=w.b,
    )


def _coefficient_multiplied(w: Work) -> SetFound:
    """b1 multiplied by a1, where its inverse was wanted."""
    if w.m1 <= 2:
        return None
    if not w.solvable:
        return _unsolved(w, w.a1 * w.b1)
    return w.spread(w.a1 * w.b1), say(
        "To undo the factor {a1} multiply both sides by its **inverse** modulo {m1}, not by {a1} "
        "itself.",
        a1=w.a1,
        m1=w.m1,
    )


def _one_representative(w: Work) -> SetFound:
    if not w.solvable or w.d == 1:
        return None
    return (w.x0,), say(
        "This residue is right modulo {m1}. But {d} divides both {a} and {m}: which further "
        "residues modulo {m} are the same modulo {m1}?",
        m1=w.m1,
        d=w.d,
        a=w.a,
        m=w.m,
    )


def _wrong_spacing(w: Work) -> SetFound:
    if not w.solvable or w.d in (1, w.m1):
        return None
    return (w.x0 + k * w.d for k in range(w.d)), say(
        "If you took the solutions {d} apart: the step is ${m}/{d} = {m1}$.",
        d=w.d,
        m=w.m,
        m1=w.m1,
    )


def _coefficient_subtracted(w: Work) -> SetFound:
    """ax taken apart as a + x."""
    if not w.solvable or w.a1 == 1:
        return None
    return w.spread(w.b1 - w.a1), say(
        "If you subtracted {a1} from {b1}: the coefficient multiplies $x$, so it is not "
        "subtracted. Multiply by its inverse modulo {m1}.",
        a1=w.a1,
        b1=w.b1,
        m1=w.m1,
    )


MISTAKES: dict[str, Callable[[Work], SetFound]] = by_name(
    _solvability_untested,
    _modulus_kept,
    _uneven_division,
    _integer_quotient,
    _right_side_not_divided,
    _inverse_sign,
    _inverse_taken,
    _coefficient_multiplied,
    _one_representative,
    _wrong_spacing,
    _coefficient_subtracted,
)
"""In the order of the method, by the names that specs and packages call them."""


def _solutions(a: int, b: int, m: int) -> range:
    """The residues x with ax = b (mod m), as a range; empty if there is none."""
    d = gcd(a, m)
    if b % d:
        return range(0)
    return range(pow(a // d, -1, m // d) * (b // d) % (m // d), m, m // d)


def _other_divisor(b: int, d: int) -> int | None:
    """The least divisor of b above 1 other than d; None if none is small."""
    return next((e for e in range(2, min(b, _FACTORS_TRIED) + 1) if b % e == 0 and e != d), None)
