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
from itembank.kinds.power.solve import EASILY_FACTORED, power_steps, value_of
from itembank.kinds.power.steps import Euler, Split, Square
from itembank.kinds.power.telling import binary, power_of, tower
from itembank.languages import Said, say
from itembank.maths.primes import Factors, Unfactored, factorisation, phi_of
from itembank.notation.building import factored_modulus, power

_MULTIPLIED = 12
"""The largest exponent with which a base would be multiplied."""

_Found = tuple[int, Said] | None
"""What a slip function returns: the wrong residue and the feedback."""


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


def _base_times_exponent(w: Work) -> _Found:
    if w.e is None or not 2 <= abs(w.e) <= _MULTIPLIED:
        return None
    return w.a * w.e % w.m, say(
        "If you multiplied ${a}$ by the exponent: ${power}$ is a product of factors ${a}$, not a "
        "sum of them.",
        a=w.a,
        power=power_of(w.a, w.exponents),
    )


def _tower_from_the_bottom(w: Work) -> _Found:
    if len(w.exponents) < 2:
        return None
    return w.with_exponent(prod(w.exponents)), say(
        "If you worked from the bottom, ${a}^{b}$ first: that multiplies the exponents. A tower is "
        "worked from the top: the exponent of ${a}$ is ${tower}$.",
        a=w.a,
        b=w.exponents[0],
        tower=tower(w.exponents),
    )


def _exponent_modulo_modulus(w: Work) -> _Found:
    if not w.at_least(w.m) or w.m < 3:
        return None
    r = w.exponent_modulo(w.m)
    wrong = w.with_exponent(r)
    if not w.coprime or not w.factors:
        return wrong, say(
            "If you reduced the exponent modulo {m} and took ${a}^{r}$: bases are reduced modulo "
            "{m}, exponents are not.",
            m=w.m,
            a=w.a,
            r=r,
        )
    return wrong, say(
        "If you reduced the exponent modulo {m} and took ${a}^{r}$: bases are reduced modulo {m}, "
        "exponents are not. They count modulo $φ({m})$.",
        m=w.m,
        a=w.a,
        r=r,
    )


def _prime_modulus_assumed(w: Work) -> _Found:
    n = w.m - 1
    if not w.factors or w.prime or n < 2 or not w.at_least(n) or not w.coprime:
        return None
    return w.with_exponent(w.exponent_modulo(n)), say(
        "If you reduced the exponent modulo {n}: that is Fermat's theorem, for a prime modulus. "
        "${m} = {product}$ is not prime: use $φ({m})$.",
        n=n,
        m=w.m,
        product=factored_modulus(w.factors),
    )


def _common_factor_ignored(w: Work) -> _Found:
    if w.coprime or not w.factors:
        return None
    n = phi_of(w.factors)
    if not w.at_least(n) or n < 2:
        return None
    r = w.exponent_modulo(n)
    return w.with_exponent(r), say(
        "If you reduced the exponent modulo $φ({m}) = {n}$ and took ${a}^{r}$: Euler's theorem "
        "needs a base coprime to the modulus, and $gcd({a}, {m}) = {d}$. Split the modulus first.",
        m=w.m,
        n=n,
        a=w.a,
        r=r,
        d=gcd(w.a, w.m),
    )


def _phi_of_prime_power(w: Work) -> _Found:
    p, k = next(((p, k) for p, k in w.factors if k > 1), (0, 0))
    n = prod(p**k - 1 for p, k in w.factors)
    if not p or not w.coprime or n < 2 or not w.at_least(n):
        return None
    return w.with_exponent(w.exponent_modulo(n)), say(
        "If you took ${p}^{k} - 1$ for $φ({p}^{k})$: of the numbers up to ${p}^{k}$ one in every "
        "{p} is a multiple of {p}, so $φ({p}^{k}) = {p}^{k} - {below}$.",
        p=p,
        k=k,
        below=power(p, k - 1),
    )


def _phi_of_equal_factors(w: Work) -> _Found:
    p, k = next(((p, k) for p, k in w.factors if k > 1), (0, 0))
    n = prod((p - 1) ** k for p, k in w.factors)
    if not p or not w.coprime or n < 2 or not w.at_least(n):
        return None
    return w.with_exponent(w.exponent_modulo(n)), say(
        "If you took $({p} - 1)^{k}$ for $φ({p}^{k})$: φ of a product is the product of the φ only "
        "for coprime factors, and equal factors {p} are not coprime.",
        p=p,
        k=k,
    )


def _zero_for_exponent_zero(w: Work) -> _Found:
    euler = next((s for s in w.steps if isinstance(s, Euler)), None)
    if euler is None or euler.m != w.m or w.exponent_modulo(euler.n):
        return None
    return 0, say(
        "The exponent is a multiple of {n}, so it may be replaced by 0. But a power with exponent "
        "0 is not 0: what is the empty product?",
        n=euler.n,
    )


def _odd_factor_forgotten(w: Work) -> _Found:
    s = w.squaring
    if s is None or s.m != w.m or s.e % 2 == 0:
        return None
    return pow(s.a, s.e - 1, w.m), say(
        "Check the product of the squares: {e} is odd, so one factor {a} belongs to it as well.",
        e=s.e,
        a=s.a,
    )


def _all_squares_multiplied(w: Work) -> _Found:
    s = w.squaring
    if s is None or s.m != w.m:
        return None
    wrong = pow(s.a, (1 << s.e.bit_length()) - 1, w.m)
    if len(s.bits) > 1:
        return wrong, say(
            "Check which rows of the table of squares are multiplied: only those whose exponents "
            "add up to {e}, that is ${e} = {sum}$.",
            e=s.e,
            sum=binary(s),
        )
    return wrong, say(
        "Check which rows of the table of squares are multiplied: the exponent {e} is a power of "
        "2, so its row alone is wanted.",
        e=s.e,
    )


def _only_the_last_square(w: Work) -> _Found:
    s = w.squaring
    if s is None or s.m != w.m:
        return None
    top = 1 << (s.e.bit_length() - 1)
    return pow(s.a, top, w.m), say(
        "If you stopped at ${a}^{top}$: the exponent is {e}, so the factor ${a}^{rest}$ is still "
        "missing.",
        a=s.a,
        top=top,
        e=s.e,
        rest=s.e - top,
    )


def _minus_lost(w: Work) -> _Found:
    if w.a >= 0 or w.e is None or w.e < 1:
        return None
    if w.e % 2:
        return pow(-w.a, w.e, w.m), say(
            "Check the sign: the base is negative, and the exponent {e} is odd.", e=w.e
        )
    return -pow(w.a, w.e, w.m) % w.m, say(
        "Check the sign: the exponent {e} is even, and an even number of minus signs leaves none.",
        e=w.e,
    )


def _exponent_sign_ignored(w: Work) -> _Found:
    if w.e is None or w.e >= 0:
        return None
    return w.with_exponent(-w.e), say(
        "Check the sign of the exponent: a negative exponent asks for a power of the inverse of "
        "${a}$ modulo {m}.",
        a=w.a,
        m=w.m,
    )


def _exponent_sign_moved(w: Work) -> _Found:
    if w.e is None or w.e >= 0:
        return None
    return -w.with_exponent(-w.e) % w.m, say(
        "Check what the sign of the exponent means: a negative exponent asks for the inverse, not "
        "for the opposite."
    )


_MISTAKES: tuple[Callable[[Work], _Found], ...] = (
    _base_times_exponent,
    _tower_from_the_bottom,
    _exponent_sign_ignored,
    _exponent_sign_moved,
    _minus_lost,
    _exponent_modulo_modulus,
    _prime_modulus_assumed,
    _common_factor_ignored,
    _phi_of_prime_power,
    _phi_of_equal_factors,
    _zero_for_exponent_zero,
    _odd_factor_forgotten,
    _only_the_last_square,
    _all_squares_multiplied,
)
"""In the order of the method."""


def _name_of(mistake: Callable[[Work], _Found]) -> str:
    return mistake.__name__.strip("_").replace("_", "-")


_ONLY_TOWERS = (_tower_from_the_bottom,)
_ONLY_ONE_EXPONENT = (_exponent_sign_ignored, _exponent_sign_moved)

NAMES = tuple(_name_of(m) for m in _MISTAKES if m not in _ONLY_TOWERS)
"""What specs and packages call the slips with one exponent."""

TOWER_NAMES = tuple(_name_of(m) for m in _MISTAKES if m not in _ONLY_ONE_EXPONENT)
"""Those with a tower."""


def slips_of(w: Work) -> Iterator[Slip]:
    """All slips that apply, in order."""
    for mistake in _MISTAKES:
        made = mistake(w)
        if made is not None:
            yield slip(_name_of(mistake), (made[0],), made[1])
