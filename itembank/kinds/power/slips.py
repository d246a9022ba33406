"""Student errors in finding a power modulo m, each carried through to its answer.

One function a slip, named for the mistake: it takes the true work and returns a wrong
residue with feedback in this power's own numbers, or None where the mistake cannot be
made. The catalogue is common practice of the trade.

Notation: a the base as given, e its exponent (a tower's value, None where that is too
large to write), m modulus, n = phi(m).
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from math import gcd, prod

from itembank.kinds.base import Slip, slip
from itembank.kinds.power.solve import EASILY_FACTORED, phi_of, power_steps, value_of
from itembank.kinds.power.steps import Euler, Split, Square
from itembank.kinds.power.worked import power_text, tower_text
from itembank.languages.words import _
from itembank.maths.primes import Factors, Unfactored, factorisation

Found = tuple[int, str] | None
"""What a slip function returns: the wrong residue and the feedback."""

WRITTEN_PRODUCT = 10**12
"""Products of exponents up to here are shown in feedback."""


@dataclass(frozen=True)
class Work:
    """The problem, and the steps by which it is solved."""

    a: int
    exponents: tuple[int, ...]
    m: int
    hints: tuple[int, ...]
    steps: tuple[object, ...]

    @cached_property
    def e(self) -> int | None:
        return value_of(self.exponents)

    @cached_property
    def factors(self) -> Factors:
        """The factorisation of m; () where it takes too long, or m is 1."""
        if not any(isinstance(step, Euler | Split) for step in self.steps):
            return factorisation(self.m) if self.m <= EASILY_FACTORED else ()
        try:
            return factorisation(self.m, self.hints)
        except Unfactored:
            return ()

    @property
    def coprime(self) -> bool:
        return gcd(self.a, self.m) == 1

    @property
    def prime(self) -> bool:
        return [k for _p, k in self.factors] == [1]

    @property
    def text(self) -> str:
        return tower_text(self.exponents)

    def at_least(self, n: int) -> bool:
        """Whether the exponent is at least n."""
        return self.e is None or self.e >= n

    def exponent_modulo(self, n: int) -> int:
        """The exponent's remainder modulo n."""
        if self.e is not None:
            return self.e % n
        return power_steps(self.exponents[0], self.exponents[1:], n, self.hints, [])

    def with_exponent(self, e: int) -> int:
        """a^e modulo m, for any e >= 0."""
        return pow(self.a, e, self.m)

    @property
    def squaring(self) -> Square | None:
        """The last repeated squaring of the work."""
        return next((s for s in reversed(self.steps) if isinstance(s, Square)), None)


def base_times_exponent(w: Work) -> Found:
    if w.e is None or abs(w.e) < 2:
        return None
    return w.a * w.e % w.m, _(
        "You multiplied {a} by the exponent. ${power}$ is a product of factors {a}, not a sum of "
        "them."
    ).format(a=f"${w.a}$", power=power_text(w.a, w.exponents))


def tower_from_the_bottom(w: Work) -> Found:
    if len(w.exponents) < 2:
        return None
    return w.with_exponent(prod(w.exponents)), _(
        "You worked from the bottom, ${a}^{b}$ first: that multiplies the exponents. A tower is "
        "worked from the top: the exponent of ${a}$ is ${tower}$."
    ).format(a=base(w), b=w.exponents[0], tower=w.text)


def exponent_modulo_modulus(w: Work) -> Found:
    if not w.at_least(w.m) or w.m < 3:
        return None
    r = w.exponent_modulo(w.m)
    return w.with_exponent(r), _(
        "You reduced the exponent modulo {m} and took ${a}^{r}$. Bases are reduced modulo {m}; "
        "exponents are not."
    ).format(m=w.m, a=base(w), r=r) + period_sentence(w)


def period_sentence(w: Work) -> str:
    """Modulo what exponents count here, if Euler's theorem says it."""
    if not w.coprime or not w.factors:
        return ""
    n = phi_of(w.factors)
    return " " + _("They count modulo {n}, since ${a}^{n} ≡ 1 (mod {m})$.").format(
        n=n, a=base(w), m=w.m
    )


def base(w: Work) -> str:
    """The base as it stands before an exponent."""
    return f"({w.a})" if w.a < 0 else str(w.a)


def prime_modulus_assumed(w: Work) -> Found:
    n = w.m - 1
    if not w.factors or w.prime or n < 2 or not w.at_least(n) or not w.coprime:
        return None
    return w.with_exponent(w.exponent_modulo(n)), _(
        "You reduced the exponent modulo {n}, as Fermat's theorem does for a prime modulus. "
        "${m} = {product}$ is not prime: use $φ({m})$."
    ).format(n=n, m=w.m, product=factors_text(w.factors))


def factors_text(factors: Factors) -> str:
    return " * ".join(f"{p}^{k}" if k > 1 else str(p) for p, k in factors)


def common_factor_ignored(w: Work) -> Found:
    if w.coprime or not w.factors:
        return None
    n = phi_of(w.factors)
    if not w.at_least(n) or n < 2:
        return None
    r = w.exponent_modulo(n)
    return w.with_exponent(r), _(
        "You reduced the exponent modulo $φ({m}) = {n}$ and took ${a}^{r}$. Euler's theorem needs "
        "a base coprime to the modulus, and $gcd({b}, {m}) = {d}$: split the modulus first."
    ).format(m=w.m, n=n, a=base(w), b=w.a, r=r, d=gcd(w.a, w.m))


def phi_of_prime_power(w: Work) -> Found:
    p, k = next(((p, k) for p, k in w.factors if k > 1), (0, 0))
    n = prod(p**k - 1 for p, k in w.factors)
    if not p or not w.coprime or n < 2 or not w.at_least(n):
        return None
    return w.with_exponent(w.exponent_modulo(n)), _(
        "You took ${p}^{k} - 1$ for $φ({p}^{k})$. Of the numbers up to ${p}^{k}$ one in every {p} "
        "is a multiple of {p}, so $φ({p}^{k}) = {p}^{k} - {below}$."
    ).format(p=p, k=k, below=f"{p}^{k - 1}" if k > 2 else p)


def phi_of_equal_factors(w: Work) -> Found:
    p, k = next(((p, k) for p, k in w.factors if k > 1), (0, 0))
    n = prod((p - 1) ** k for p, k in w.factors)
    if not p or not w.coprime or n < 2 or not w.at_least(n):
        return None
    return w.with_exponent(w.exponent_modulo(n)), _(
        "You took $({p} - 1)^{k}$ for $φ({p}^{k})$. φ of a product is the product of the φ only "
        "for coprime factors, and equal factors {p} are not."
    ).format(p=p, k=k)


def zero_for_exponent_zero(w: Work) -> Found:
    euler = next((s for s in w.steps if isinstance(s, Euler)), None)
    if euler is None or euler.m != w.m or w.exponent_modulo(euler.n):
        return None
    return 0, _(
        "The exponent is a multiple of {n}, so it may be replaced by 0, but a power with exponent "
        "0 is not 0: it is the empty product."
    ).format(n=euler.n)


def odd_factor_forgotten(w: Work) -> Found:
    s = w.squaring
    if s is None or s.m != w.m or s.e % 2 == 0:
        return None
    return pow(s.a, s.e - 1, w.m), _(
        "You multiplied the squares but left out the first power: {e} is odd, so one factor {a} "
        "remains."
    ).format(e=s.e, a=s.a)


def all_squares_multiplied(w: Work) -> Found:
    s = w.squaring
    if s is None or s.m != w.m:
        return None
    if len(s.bits) > 1:
        said = _(
            "You multiplied all rows of the table of squares. Only those belong into the product "
            "whose exponents add up to {e}: ${e} = {sum}$."
        )
    else:
        said = _(
            "You multiplied all rows of the table of squares. The exponent {e} is a power of 2, so "
            "its row alone is wanted."
        )
    return pow(s.a, (1 << s.e.bit_length()) - 1, w.m), said.format(
        e=s.e, sum=" + ".join(str(1 << i) for i in reversed(s.bits))
    )


def only_the_last_square(w: Work) -> Found:
    s = w.squaring
    if s is None or s.m != w.m:
        return None
    top = 1 << (s.e.bit_length() - 1)
    return pow(s.a, top, w.m), _(
        "You stopped at ${a}^{top}$. The exponent is {e}, so the factor ${a}^{rest}$ is still "
        "missing."
    ).format(a=s.a, top=top, e=s.e, rest=s.e - top)


def minus_lost(w: Work) -> Found:
    if w.a >= 0 or w.e is None or w.e < 1:
        return None
    if w.e % 2:
        said = _("The base is negative and the exponent {e} is odd: the minus sign stays.")
        return pow(-w.a, w.e, w.m), said.format(e=w.e)
    said = _("The exponent {e} is even: an even number of minus signs leaves none.")
    return -pow(w.a, w.e, w.m) % w.m, said.format(e=w.e)


def exponent_sign_ignored(w: Work) -> Found:
    if w.e is None or w.e >= 0:
        return None
    return w.with_exponent(-w.e), _(
        "You left out the minus sign of the exponent. A negative exponent asks for a power of the "
        "inverse of {a} modulo {m}."
    ).format(a=f"${w.a}$", m=w.m)


def exponent_sign_moved(w: Work) -> Found:
    if w.e is None or w.e >= 0:
        return None
    return -w.with_exponent(-w.e) % w.m, _(
        "You moved the minus sign of the exponent before the power. A negative exponent asks for "
        "the inverse, not for the opposite."
    )


MISTAKES: tuple[Callable[[Work], Found], ...] = (
    base_times_exponent,
    tower_from_the_bottom,
    exponent_sign_ignored,
    exponent_sign_moved,
    minus_lost,
    exponent_modulo_modulus,
    prime_modulus_assumed,
    common_factor_ignored,
    phi_of_prime_power,
    phi_of_equal_factors,
    zero_for_exponent_zero,
    odd_factor_forgotten,
    only_the_last_square,
    all_squares_multiplied,
)
"""In the order of the method."""


def name_of(mistake: Callable[[Work], Found]) -> str:
    return mistake.__name__.replace("_", "-")


ONLY_TOWERS = (tower_from_the_bottom,)
ONLY_ONE_EXPONENT = (exponent_sign_ignored, exponent_sign_moved)

NAMES = tuple(name_of(m) for m in MISTAKES if m not in ONLY_TOWERS)
"""What specs and packages call the slips with one exponent."""

TOWER_NAMES = tuple(name_of(m) for m in MISTAKES if m not in ONLY_ONE_EXPONENT)
"""Those with a tower."""


def slips_of(w: Work) -> Iterator[Slip]:
    """All slips that apply, in order."""
    for mistake in MISTAKES:
        made = mistake(w)
        if made is not None:
            yield slip(name_of(mistake), (made[0],), made[1])
