"""Student errors about the right sides for which a x^k = c (mod m) is solvable.

One function a slip, named for the mistake. The catalogue is common practice of the trade.
Notation: d = gcd(a, m) where k = 1, e = gcd(k, m - 1) where k > 1 and m is a prime.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from math import gcd

from itembank.kinds.mistakes import SetFound, ValueFound
from itembank.kinds.wrong_solutions import by_name
from itembank.languages import say
from itembank.notation.building import polynomial, power
from itembank.notation.tree import Letter


@dataclass(frozen=True)
class Work:
    """The congruence; a is a least residue."""

    a: int
    k: int
    m: int

    @property
    def linear(self) -> bool:
        return self.k == 1

    @property
    def d(self) -> int:
        return gcd(self.a, self.m)

    @property
    def e(self) -> int:
        return gcd(self.k, self.m - 1)

    @cached_property
    def sides(self) -> frozenset[int]:
        """All that are right."""
        return frozenset(self.a * pow(x, self.k, self.m) % self.m for x in range(self.m))


# ------------------------------------------------------------ sets


def _zero_left_out(w: Work) -> SetFound:
    return w.sides - {0}, say("Check $c = 0$: is there an $x$ for it?")


def _every_residue(w: Work) -> SetFound:
    if w.linear:
        return range(w.m), say(
            "Not every right side will do: {a} and {m} have a common divisor, and ${ax}$ keeps it.",
            a=w.a,
            m=w.m,
            ax=polynomial((0, w.a)),
        )
    return range(w.m), say(
        "Not every right side will do: several residues have the same power, so others are missing."
    )


def _step_of_solutions(w: Work) -> SetFound:
    """The spacing m/d of solutions taken for that of right sides."""
    if not w.linear or w.d == 1 or w.a == 0:
        return None
    return range(0, w.m, w.m // w.d), say(
        "If you took steps of ${m}/gcd({a}, {m})$: that is how far the solutions of one congruence "
        "are apart. The right sides are the multiples of something else.",
        a=w.a,
        m=w.m,
    )


def _divisors_for_multiples(w: Work) -> SetFound:
    if not w.linear or w.d == 1:
        return None
    return [c for c in range(1, w.m) if w.d % c == 0], say(
        "Check which divides which: the greatest common divisor has to divide $c$, not $c$ it."
    )


def _multiples_below_the_modulus(w: Work) -> SetFound:
    """0, a, 2a, ... as long as they stay below m."""
    if not w.linear or w.a < 2:
        return None
    return range(0, w.m, w.a), say(
        "If you stopped at the multiples of {a} below {m}: larger ones are reduced modulo {m}, and "
        "may give further right sides.",
        a=w.a,
        m=w.m,
    )


def _units_only(w: Work) -> SetFound:
    if not w.linear or w.a == 0:
        return None
    return {w.a * x % w.m for x in range(w.m) if gcd(x, w.m) == 1}, say(
        "Which $x$ were tried? They need not be coprime to {m}.", m=w.m
    )


def _whole_powers_only(w: Work) -> SetFound:
    if w.linear:
        return None
    below = [w.a * x**w.k for x in range(w.m) if w.a * x**w.k < w.m]
    return below, say(
        "If you kept the values below {m}: larger ones are reduced modulo {m}, and give further "
        "right sides.",
        m=w.m,
    )


def _coefficient_ignored(w: Work) -> SetFound:
    if w.linear or w.a == 1:
        return None
    return {pow(x, w.k, w.m) for x in range(w.m)}, say(
        "Check the factor {a}: the values of ${power}$ alone are not the right sides.",
        a=w.a,
        power=power(Letter("x"), w.k),
    )


def _last_row_left_out(w: Work) -> SetFound:
    if w.linear or w.k % 2 or w.m < 7:
        return None
    return {w.a * x**w.k % w.m for x in range(w.m // 2)}, say(
        "Check where the table stops: $x = {last}$ has to be tried as well.", last=w.m // 2
    )


def _complement(w: Work) -> SetFound:
    """The residues that are none, and 0."""
    if w.linear or w.e == 1:
        return None
    return {0, *(set(range(w.m)) - w.sides)}, say(
        "Substitute small numbers for $x$: is what comes out among the right sides found?"
    )


SETS: dict[str, Callable[[Work], SetFound]] = by_name(
    _zero_left_out,
    _multiples_below_the_modulus,
    _step_of_solutions,
    _divisors_for_multiples,
    _units_only,
    _whole_powers_only,
    _last_row_left_out,
    _coefficient_ignored,
    _complement,
    _every_residue,
)
"""In the order of the method."""


def _others(w: Work, sides: Iterable[int]) -> set[int]:
    return set(range(w.m)) - set(sides)


def _solvable_ones(w: Work) -> SetFound:
    return w.sides, say(
        "Which right sides are wanted? Put a few residues in for $x$: what comes out has a "
        "solution."
    )


def _zero_counted(w: Work) -> SetFound:
    return {0, *_others(w, w.sides)}, say("Check $c = 0$: is there an $x$ for it?")


def _larger_powers_overlooked(w: Work) -> SetFound:
    found = _whole_powers_only(w)
    return found and (_others(w, found[0]), found[1])


def _factor_overlooked(w: Work) -> SetFound:
    found = _coefficient_ignored(w)
    return found and (_others(w, found[0]), found[1])


def _larger_multiples_overlooked(w: Work) -> SetFound:
    found = _multiples_below_the_modulus(w)
    return found and (_others(w, found[0]), found[1])


def _last_row_overlooked(w: Work) -> SetFound:
    found = _last_row_left_out(w)
    return found and (_others(w, found[0]), found[1])


OTHERS: dict[str, Callable[[Work], SetFound]] = by_name(
    _solvable_ones,
    _larger_multiples_overlooked,
    _larger_powers_overlooked,
    _last_row_overlooked,
    _factor_overlooked,
    _zero_counted,
)
"""Where those are asked for that have no solution, in the order of the method."""


# ------------------------------------------------------------ numbers


def _zero_uncounted(w: Work) -> ValueFound:
    return len(w.sides) - 1, say("Check $c = 0$: is there an $x$ for it?")


def _every_residue_counted(w: Work) -> ValueFound:
    found = _every_residue(w)
    return (w.m, found[1]) if found else None


def _solutions_counted(w: Work) -> ValueFound:
    """How many solutions there are for one right side."""
    if w.linear:
        return w.d, say(
            "$gcd({a}, {m})$ tells how many solutions there are for one right side that will do. "
            "How many right sides are multiples of it?",
            a=w.a,
            m=w.m,
        )
    return w.e, say(
        "$gcd({k}, {m} - 1)$ tells how many $x$ have the same power, where it is not 0. How many "
        "different powers are there?",
        k=w.k,
        m=w.m,
    )


def _units_counted(w: Work) -> ValueFound:
    if not w.linear or w.a == 0:
        return None
    return len({w.a * x % w.m for x in range(w.m) if gcd(x, w.m) == 1}), say(
        "Which $x$ were allowed? They need not be coprime to {m}.", m=w.m
    )


def _multiples_of_the_coefficient(w: Work) -> ValueFound:
    if not w.linear or w.a < 2:
        return None
    return len(range(0, w.m, w.a)), say(
        "If you counted the multiples of {a} below {m}: larger ones are reduced modulo {m}, and "
        "may give further right sides.",
        a=w.a,
        m=w.m,
    )


def _divisors_counted(w: Work) -> ValueFound:
    if not w.linear or w.d == 1:
        return None
    return sum(w.d % c == 0 for c in range(1, w.d + 1)), say(
        "Check which divides which: the greatest common divisor has to divide $c$, not $c$ it."
    )


def _divided_by_the_exponent(w: Work) -> ValueFound:
    if w.linear or w.e == w.k:
        return None
    return 1 + (w.m - 1) // w.k, say(
        "If you divided {n} by {k}: how many residues have the same power, where {k} does not "
        "divide {n}?",
        n=w.m - 1,
        k=w.k,
    )


def _as_for_squares(w: Work) -> ValueFound:
    if w.linear or w.e == 2 or w.m == 2:
        return None
    return (w.m + 1) // 2, say(
        "If you took half of the residues, as for squares: the exponent is {k} here.", k=w.k
    )


def _values_below_the_modulus(w: Work) -> ValueFound:
    found = _whole_powers_only(w)
    return (len(set(found[0])), found[1]) if found else None


NUMBERS: dict[str, Callable[[Work], ValueFound]] = by_name(
    _zero_uncounted,
    _solutions_counted,
    _units_counted,
    _multiples_of_the_coefficient,
    _divisors_counted,
    _divided_by_the_exponent,
    _as_for_squares,
    _values_below_the_modulus,
    _every_residue_counted,
)
"""In the order of the method."""
