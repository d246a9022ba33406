"""Student errors about the sum of the solutions, each with the number it gives.

What goes wrong in solving the congruence gives the sum of the wrong solutions; the mistakes of this
file are made afterwards, or instead. The catalogue is common practice of the trade.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import gcd

from itembank.kinds.base import Feedback, Slip, Solution
from itembank.kinds.linear import slips as linear
from itembank.kinds.linear.kind import LinearCongruence
from itembank.kinds.mistakes import ValueFound, wrong_values
from itembank.kinds.one_unknown import OneUnknown
from itembank.kinds.polynomial import slips as polynomial
from itembank.kinds.power_root import slips as power_root
from itembank.kinds.power_root.kind import PowerRoot
from itembank.kinds.wrong_solutions import by_name, in_unknown
from itembank.languages import say
from itembank.maths.polynomials import Poly, reduced
from itembank.notation.building import polynomial as polynomial_tree
from itembank.values.answer import ResidueSet


@dataclass(frozen=True)
class _Work:
    """The congruence and its solutions, increasing."""

    congruence: OneUnknown
    solutions: tuple[int, ...]

    @property
    def m(self) -> int:
        return self.congruence.modulus

    @property
    def quadratic(self) -> Poly | None:
        """Its coefficients where it is x^2 + bx + c = 0 (mod m), b not 0."""
        if isinstance(self.congruence, PowerRoot | LinearCongruence):
            return None
        f = reduced(self.congruence.f, self.m)
        return f if len(f) == 3 and f[2] == 1 and f[1] else None


def _coefficient_read_off(w: _Work) -> ValueFound:
    """The sum of two roots, -b, taken for that of all."""
    f = w.quadratic
    if f is None:
        return None
    return -f[1] % w.m, say(
        "If you took the sum from the coefficient of $x$: it tells the sum of two roots modulo {m} "
        "only. How many solutions are there, and does the sum of two of them stay below {m}?",
        m=w.m,
    )


def _coefficient_with_wrong_sign(w: _Work) -> ValueFound:
    f = w.quadratic
    if f is None:
        return None
    return f[1], say(
        "If you took the sum from the coefficient of $x$: mind its sign, and find out how many "
        "solutions there are."
    )


def _sum_reduced(w: _Work) -> ValueFound:
    return sum(w.solutions) % w.m, say(
        "The sum is asked for as an integer: it is not reduced modulo {m}.", m=w.m
    )


def _first_and_last_only(w: _Work) -> ValueFound:
    if len(w.solutions) < 3:
        return None
    return w.solutions[0] + w.solutions[-1], say(
        "Check that every solution is in the sum, not only the first and the last."
    )


def _last_left_out(w: _Work) -> ValueFound:
    if len(w.solutions) < 2:
        return None
    return sum(w.solutions[:-1]), say(
        "Check that every solution from 0 to {last} is in the sum, the largest too.", last=w.m - 1
    )


def _modulus_for_zero(w: _Work) -> ValueFound:
    """m counted as a solution beside 0, or in its place."""
    if 0 not in w.solutions:
        return None
    return sum(w.solutions) + w.m, say(
        "The modulus {m} is not a least residue: 0 stands for its class.", m=w.m
    )


def _counted_instead(w: _Work) -> ValueFound:
    return len(w.solutions), say("The solutions are to be added, not counted.")


_OWN = by_name(
    _coefficient_read_off,
    _coefficient_with_wrong_sign,
    _sum_reduced,
    _first_and_last_only,
    _last_left_out,
    _modulus_for_zero,
    _counted_instead,
)
"""After those in solving, in the order of the method."""

NAMES = tuple(dict.fromkeys((*linear.MISTAKES, *polynomial.MISTAKES, *power_root.MISTAKES, *_OWN)))
"""What specs and packages call them."""


def _said_of_sum(congruence: OneUnknown, name: str, feedback: Feedback) -> Feedback:
    """What is said to a mistake in solving where a sum was given, and no residue to speak of."""
    if not isinstance(congruence, LinearCongruence):
        return feedback
    a, b, m = congruence.a, congruence.b, congruence.modulus
    d = gcd(a, m)
    if b % d:
        return (
            say(
                "Test the right side before solving: ${ax}$ is always a multiple of {d} modulo "
                "{m}. Does {d} divide {b}?",
                ax=polynomial_tree((0, a), congruence.letter),
                d=d,
                m=m,
                b=b,
            ),
        )
    if name == "one-representative":
        return (
            say(
                "{d} divides both {a} and {m}: which residues modulo {m} are the same modulo {n}?",
                d=d,
                a=a,
                m=m,
                n=m // d,
            ),
        )
    return feedback


def slips_of(congruence: OneUnknown, solution: Solution[ResidueSet]) -> Iterator[Slip]:
    """The slips that can be made here: in solving, then in adding."""
    for slip in congruence.slips(solution):
        total = sum(x for x in slip.answer if isinstance(x, int))
        feedback = tuple(
            _said_of_sum(congruence, name, feedback)
            for name, feedback in zip(slip.names, slip.feedback, strict=True)
        )
        yield Slip(slip.names, (total,), feedback)
    work = _Work(congruence, solution.answer.residues())
    yield from in_unknown(wrong_values(_OWN, work), congruence.letter)
