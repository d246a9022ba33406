"""Student errors about squares modulo m, each carried through to its answer.

One function a slip, named for the mistake; it takes the true work and returns the wrong
answer with feedback, or None where the mistake cannot be made. The catalogue is common
practice of the trade.

Notation: m modulus; `units`: the squares coprime to m are asked for, else all of them.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from math import gcd, isqrt, prod

from itembank.kinds.base import Slip
from itembank.kinds.mistakes import SetFound, ValueFound, wrong_sets, wrong_values
from itembank.languages import say
from itembank.maths.prime_roots import jacobi
from itembank.maths.primes import Factors, is_prime
from itembank.maths.squares import number_of_squares, number_of_unit_squares
from itembank.notation.building import power

_LARGEST = 2000
"""Largest modulus for which slips that give sets are computed."""


@dataclass(frozen=True)
class Work:
    """The modulus, its factorisation, and whether only units are asked for."""

    m: int
    factors: Factors
    units: bool

    @property
    def is_prime(self) -> bool:
        return is_prime(self.m)

    @cached_property
    def asked(self) -> tuple[int, ...]:
        """The residues whose squares are meant."""
        return tuple(x for x in range(self.m) if not self.units or gcd(x, self.m) == 1)

    @cached_property
    def squares(self) -> frozenset[int]:
        return frozenset(x * x % self.m for x in self.asked)

    @cached_property
    def coprime(self) -> tuple[int, ...]:
        return tuple(x for x in range(self.m) if gcd(x, self.m) == 1)


def of_the_set(m: int, factors: Factors, units: bool) -> Iterator[Slip]:
    """The slips that can be made in listing the squares, in the order of the method."""
    if not 3 <= m <= _LARGEST:
        return
    for made in wrong_sets(SETS, Work(m, factors, units)):
        if made.answer:
            yield made


def of_the_number(m: int, factors: Factors, units: bool) -> Iterator[Slip]:
    """The slips that can be made in counting the squares."""
    if m < 3:
        return iter(())
    return wrong_values(NUMBERS, Work(m, factors, units))


# ------------------------------------------------------------ sets


def _whole_squares_only(w: Work) -> SetFound:
    wrong = [x * x for x in range(isqrt(w.m - 1) + 1) if x in w.asked]
    return wrong, say(
        "If you kept the squares of whole numbers below {m}: larger squares have to be reduced "
        "modulo {m}, and most of them give further residues.",
        m=w.m,
    )


def _zero_left_out(w: Work) -> SetFound:
    if w.units:
        return None
    return w.squares - {0}, say("Check the residue 0: is it the square of a residue?")


def _zero_counted(w: Work) -> SetFound:
    if not w.units:
        return None
    return w.squares | {0}, say("0 is a square, but it is not coprime to {m}.", m=w.m)


def _last_row_left_out(w: Work) -> SetFound:
    """The table stopped one residue too early."""
    rows = [x for x in w.asked if x <= w.m // 2]
    if len(rows) < 3:
        return None
    return {x * x % w.m for x in rows[:-1]}, say(
        "Check where the table of squares stops: the residue {x} has to be squared as well.",
        x=rows[-1],
    )


def _coprime_only(w: Work) -> SetFound:
    """Only the squares of units, where all squares are asked for."""
    if w.units or w.is_prime:
        return None
    return {x * x % w.m for x in w.coprime}, say(
        "If you squared only residues coprime to {m}: the others have squares too.",
        m=w.m,
    )


def _all_squares_kept(w: Work) -> SetFound:
    """All squares, where only those coprime to m are asked for."""
    if not w.units or w.is_prime:
        return None
    return {x * x % w.m for x in range(w.m)}, say(
        "Some of these squares have a factor in common with {m}. A quadratic residue is coprime to "
        "the modulus.",
        m=w.m,
    )


def _non_residues_taken(w: Work) -> SetFound:
    """The residues that are no squares, modulo a prime."""
    if not w.is_prime:
        return None
    others = set(range(w.m)) - w.squares - {0}
    return others | (set() if w.units else {0}), say(
        "Square a few residues and see which values come up: these are the ones that do **not**."
    )


def _closed_under_sign(w: Work) -> SetFound:
    """With each square its negative."""
    return w.squares | {-x % w.m for x in w.squares}, say(
        "If you took the negative of each square as a square too: $(-x)^2$ is $x^2$, not $-x^2$."
    )


def _one_factor_enough(w: Work) -> SetFound:
    """A square modulo one prime power taken for a square modulo m."""
    if len(w.factors) < 2:
        return None
    q = max(p**k for p, k in w.factors)
    local = {x * x % q for x in range(q)}
    return [x for x in w.asked if x % q in local], say(
        "If you tested modulo {q} alone: a square modulo {m} has to be a square modulo every prime "
        "power of {m}.",
        q=q,
        m=w.m,
    )


def _jacobi_for_residue(w: Work) -> SetFound:
    """Units with Jacobi symbol 1, for a composite odd modulus."""
    if not w.units or w.m % 2 == 0 or w.is_prime:
        return None
    return [x for x in w.coprime if jacobi(x, w.m) == 1], say(
        "If you kept every residue whose Jacobi symbol over {m} is 1: two factors −1 give 1 as "
        "well. Modulo each prime factor of {m} the residue has to be a square.",
        m=w.m,
    )


SETS: dict[str, Callable[[Work], SetFound]] = {
    "whole-squares-only": _whole_squares_only,
    "zero-left-out": _zero_left_out,
    "zero-counted": _zero_counted,
    "last-row-left-out": _last_row_left_out,
    "coprime-only": _coprime_only,
    "all-squares-kept": _all_squares_kept,
    "non-residues-taken": _non_residues_taken,
    "closed-under-sign": _closed_under_sign,
    "one-factor-enough": _one_factor_enough,
    "jacobi-for-residue": _jacobi_for_residue,
}
"""In the order of the method."""

_WITH_ZERO = {"zero-left-out", "coprime-only", "multiples-forgotten"}
"""Slips that can be made only where all squares are asked for ..."""

_COPRIME = {"zero-counted", "all-squares-kept", "jacobi-for-residue", "halved-once"}
"""... and only where those coprime to the modulus are."""


def names(mistakes: Iterable[str], units: bool) -> tuple[str, ...]:
    """Those of the mistakes that can be made where only units are asked for, or where all are."""
    return tuple(name for name in mistakes if name not in (_WITH_ZERO if units else _COPRIME))


# ------------------------------------------------------------ numbers


def _local_count(p: int, k: int, units: bool) -> int:
    return number_of_unit_squares(p, k) if units else number_of_squares(p, k)


def _prime_rule_for_composite(w: Work) -> ValueFound:
    """(m + 1)/2 or (m - 1)/2, as if m were a prime."""
    if w.is_prime:
        return None
    half = (w.m - 1) // 2 if w.units else w.m // 2 + 1
    return half, say(
        "If you counted as if {m} were prime: modulo a composite number more than two residues can "
        "have the same square. Split {m} first.",
        m=w.m,
    )


def _zero_miscounted(w: Work) -> ValueFound:
    """0 left out where it counts, or counted where it does not, modulo each prime power."""
    change = 1 if w.units else -1
    counts = [_local_count(p, k, w.units) + change for p, k in w.factors]
    if w.units:
        return prod(counts), say(
            "Check the residue 0: it is not coprime to the modulus, and here only squares coprime "
            "to it count."
        )
    return prod(counts), say("Check the residue 0: modulo each prime power it is a square too.")


def _prime_power_as_prime(w: Work) -> ValueFound:
    """(q + 1)/2 squares modulo q = p^k, or (q - 1)/2."""
    powers = [(p, k) for p, k in w.factors if k > 1]
    if not powers:
        return None
    p, k = powers[0]
    counts = [(q - 1) // 2 if w.units else q // 2 + 1 for q in (p**k for p, k in w.factors)]
    return prod(counts), say(
        "Check the count modulo ${q}$: the multiples of {p} need care. Count the squares coprime "
        "to {p} first, then those divisible by ${p}^2$, and so on.",
        q=power(p, k),
        p=p,
    )


def _multiples_forgotten(w: Work) -> ValueFound:
    """Modulo p^k, k >= 3, only 0 and the squares coprime to p counted."""
    high = [(p, k) for p, k in w.factors if k > 2]
    if w.units or not high:
        return None
    p, k = high[0]
    counts = [number_of_unit_squares(p, k) + 1 for p, k in w.factors]
    return prod(counts), say(
        "If you counted 0 and the squares coprime to {p} modulo ${q}$: numbers such as ${p}^2$ are "
        "squares too.",
        q=power(p, k),
        p=p,
    )


def _odd_rule_for_two(w: Work) -> ValueFound:
    """Half of the odd residues modulo 2^k taken for squares."""
    twos = [k for p, k in w.factors if p == 2 and k > 2]
    if not twos:
        return None

    def wrong(p: int, k: int) -> int:
        """The number modulo p^k, with half of the odd residues for p = 2."""
        true = _local_count(p, k, w.units)
        if p > 2:
            return true
        return true - number_of_unit_squares(2, k) + int(2 ** (k - 2))

    return prod(wrong(p, k) for p, k in w.factors), say(
        "Check which odd residues are squares modulo $2^{k}$: an odd square is 1 modulo 8.",
        k=twos[0],
    )


def _added(w: Work) -> ValueFound:
    """The numbers modulo the prime powers added."""
    if len(w.factors) < 2:
        return None
    return sum(_local_count(p, k, w.units) for p, k in w.factors), say(
        "If you added the numbers modulo the prime powers: every square modulo one goes with every "
        "square modulo the others."
    )


def _units_for_all(w: Work) -> ValueFound:
    """phi(m) or m/2 less careful: only the squares coprime to m, or all of them."""
    if w.is_prime:
        return None
    total = prod(_local_count(p, k, not w.units) for p, k in w.factors)
    if w.units:
        return total, say(
            "If you counted all squares: only those coprime to {m} are asked for.", m=w.m
        )
    return total, say(
        "If you counted only the squares coprime to {m}: the others are asked for too.", m=w.m
    )


def _halved_once(w: Work) -> ValueFound:
    """Half of the units, as modulo a prime."""
    if not w.units or len(w.factors) < 2:
        return None
    return prod((p - 1) * p ** (k - 1) for p, k in w.factors) // 2, say(
        "If you took half of the residues coprime to {m}: modulo {m} more than two of them have "
        "the same square. Halve for each prime.",
        m=w.m,
    )


NUMBERS: dict[str, Callable[[Work], ValueFound]] = {
    "prime-rule-for-composite": _prime_rule_for_composite,
    "zero-miscounted": _zero_miscounted,
    "prime-power-as-prime": _prime_power_as_prime,
    "odd-rule-for-two": _odd_rule_for_two,
    "multiples-forgotten": _multiples_forgotten,
    "halved-once": _halved_once,
    "counts-added": _added,
    "units-for-all": _units_for_all,
}
"""In the order of the method."""
