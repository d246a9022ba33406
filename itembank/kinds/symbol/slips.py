"""Student errors in finding a symbol, each carried through to its value.

One function a slip, named for the mistake: it takes the true work and returns the wrong
value with feedback, or None where the mistake cannot be made. Most apply every rule but
one, which they apply as the student did. The catalogue is common practice of the trade.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from math import gcd, isqrt, prod

from itembank.kinds.base import Slip, slip
from itembank.kinds.symbol.solve import chain
from itembank.kinds.symbol.steps import CommonFactor, Flip, MinusOne, Rewrite, TakeOutTwos
from itembank.kinds.symbol.telling import symbol
from itembank.languages import Said, say


@dataclass(frozen=True)
class Work:
    """(a/n), n odd and positive, and the rules that bring it to its value."""

    a: int
    n: int

    @cached_property
    def rules(self) -> tuple[Rewrite, ...]:
        return tuple(chain(self.a, self.n))

    @property
    def value(self) -> int:
        return prod(rule.factor for rule in self.rules)

    def with_factors(self, factor: Callable[[Rewrite], int]) -> int:
        """The value when each rule multiplies by what the student took."""
        return prod(factor(rule) for rule in self.rules)

    def first(self, kind: type[Rewrite], of: Callable[[Rewrite], bool]) -> Rewrite | None:
        return next((r for r in self.rules if isinstance(r, kind) and of(r)), None)


Found = tuple[int, Said] | None
"""What a slip function returns: the wrong value and the feedback."""


def slips_of(a: int, n: int) -> Iterator[Slip]:
    """The slips that can be made here, in the order of the method."""
    work = Work(a, n)
    for name, mistake in MISTAKES.items():
        found = mistake(work)
        if found is not None:
            yield slip(name, (found[0],), found[1])


# ------------------------------------------------------------ the idea of a symbol


def _fraction_cancelled(w: Work) -> Found:
    """The symbol taken for a fraction: its common factor cancelled."""
    d = gcd(w.a, w.n)
    if d == 1 or w.a % w.n == 0 or d == w.n:
        return None
    return Work(w.a // d, w.n // d).value, say(
        "If you cancelled {d} as in a fraction: a symbol is not a fraction. See what a common "
        "factor of the top and the bottom makes of it.",
        d=d,
    )


def _multiple_taken_for_square(w: Work) -> Found:
    """0 is a square, so the symbol is taken for 1."""
    if w.a % w.n or w.n == 1:
        return None
    return 1, say(
        "${a}$ is a multiple of {n}. That case has a value of its own, apart from the squares and "
        "the others.",
        a=w.a,
        n=w.n,
    )


def _whole_squares_only(w: Work) -> Found:
    """-1 because the top is no square of a whole number."""
    r = w.a % w.n
    if r < 2 or isqrt(r) ** 2 == r or gcd(r, w.n) > 1:
        return None
    return -1, say(
        "{r} is not the square of a whole number, but a square **modulo** a prime is meant: {r} "
        "plus a multiple of the prime may be a square.",
        r=r,
    )


# ------------------------------------------------------------ the rules


def _minus_one_rule(w: Work) -> Found:
    """(-1/n) with the two cases exchanged."""
    rule = w.first(MinusOne, lambda r: True)
    if rule is None:
        return None
    return w.with_factors(lambda r: -r.factor if isinstance(r, MinusOne) else r.factor), say(
        "In ${symbol}$ look at {n} modulo 4 once more: which remainder goes with which value?",
        symbol=symbol(-1, rule.n),
        n=rule.n,
    )


def _twos_dropped(w: Work) -> Found:
    """An odd power of 2 in the top left out."""
    rule = w.first(TakeOutTwos, lambda r: r.factor == -1)
    if rule is None:
        return None
    value = w.with_factors(lambda r: 1 if isinstance(r, TakeOutTwos) else r.factor)
    two = symbol(2, rule.n)
    if rule.a == 2:
        return value, say(
            "Check the value of ${two}$: it depends on {n} modulo 8.", two=two, n=rule.n
        )
    return value, say(
        "Check the twos that were taken out: an odd power of 2 in {a} leaves the factor ${two}$.",
        a=rule.a,
        two=two,
    )


def _even_power_counted(w: Work) -> Found:
    """(2/n) counted once although 2 stands to an even power."""
    rule = w.first(TakeOutTwos, _is_minus_to_an_even_power)
    if rule is None:
        return None

    def once(r: Rewrite) -> int:
        return r.s if isinstance(r, TakeOutTwos) else r.factor

    assert isinstance(rule, TakeOutTwos)
    return w.with_factors(once), say(
        "$2^{e}$ divides {a}: that is an even power, a square, and leaves no factor ${two}$ "
        "behind.",
        e=rule.e,
        a=rule.a,
        two=symbol(2, rule.n),
    )


def _is_minus_to_an_even_power(rule: Rewrite) -> bool:
    return isinstance(rule, TakeOutTwos) and rule.s == -1 and rule.e % 2 == 0


def _two_by_modulo_four(w: Work) -> Found:
    """(2/n) taken from n modulo 4."""
    rule = w.first(TakeOutTwos, lambda r: _by_four(r) != r.factor)
    if rule is None:
        return None
    return w.with_factors(lambda r: _by_four(r) if isinstance(r, TakeOutTwos) else r.factor), say(
        "If you looked at {n} modulo 4 for ${two}$: that decides ${minus}$; ${two}$ needs the "
        "remainder modulo 8.",
        two=symbol(2, rule.n),
        n=rule.n,
        minus=symbol(-1, rule.n),
    )


def _by_four(rule: Rewrite) -> int:
    """What a rule on 2 multiplies by if n modulo 4 decided."""
    assert isinstance(rule, TakeOutTwos)
    return 1 if rule.n % 4 == 1 or rule.e % 2 == 0 else -1


def _reciprocity_sign_lost(w: Work) -> Found:
    """Every symbol turned over without a sign."""
    rule = w.first(Flip, lambda r: r.factor == -1)
    if rule is None:
        return None
    return w.with_factors(lambda r: 1 if isinstance(r, Flip) else r.factor), say(
        "Check the sign when ${symbol}$ is turned over: look at {a} and {n} modulo 4.",
        symbol=symbol(rule.a, rule.n),
        a=rule.a,
        n=rule.n,
    )


def _sign_for_one_of_them(w: Work) -> Found:
    """A minus sign although only one of the two numbers is 3 modulo 4."""
    rule = w.first(Flip, lambda r: r.factor == 1 and 3 in (r.a % 4, r.n % 4))
    if rule is None:
        return None

    def either(r: Rewrite) -> int:
        return (-1 if 3 in (r.a % 4, r.n % 4) else 1) if isinstance(r, Flip) else r.factor

    return w.with_factors(either), say(
        "Check the sign when ${symbol}$ is turned over: only one of {a} and {n} is 3 modulo 4, and "
        "the sign changes when **both** are.",
        symbol=symbol(rule.a, rule.n),
        a=rule.a,
        n=rule.n,
    )


def _always_a_sign(w: Work) -> Found:
    """A minus sign at every turn, though neither number is 3 modulo 4."""
    rule = w.first(Flip, lambda r: 3 not in (r.a % 4, r.n % 4))
    if rule is None:
        return None
    return w.with_factors(lambda r: -1 if isinstance(r, Flip) else r.factor), say(
        "Check the sign when symbols are turned over: neither {a} nor {n} is 3 modulo 4, so "
        "${symbol}$ keeps its sign.",
        a=rule.a,
        n=rule.n,
        symbol=symbol(rule.a, rule.n),
    )


def _common_factor_overlooked(w: Work) -> Found:
    """1 or -1 from the rules, the last symbol taken for 1."""
    rule = w.first(CommonFactor, lambda r: r.a % r.n != 0)
    if rule is None:
        return None
    return w.with_factors(lambda r: 1 if isinstance(r, CommonFactor) else r.factor), say(
        "If the rules lead to ${symbol}$: look for a common factor of {a} and {n} before going on.",
        symbol=symbol(rule.a, rule.n),
        a=rule.a,
        n=rule.n,
    )


MISTAKES: dict[str, Callable[[Work], Found]] = {
    "fraction-cancelled": _fraction_cancelled,
    "multiple-taken-for-square": _multiple_taken_for_square,
    "whole-squares-only": _whole_squares_only,
    "minus-one-rule": _minus_one_rule,
    "twos-dropped": _twos_dropped,
    "even-power-counted": _even_power_counted,
    "two-by-modulo-four": _two_by_modulo_four,
    "reciprocity-sign-lost": _reciprocity_sign_lost,
    "sign-for-one-of-them": _sign_for_one_of_them,
    "sign-at-every-turn": _always_a_sign,
    "common-factor-overlooked": _common_factor_overlooked,
}
"""In the order of the method."""
