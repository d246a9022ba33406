"""Student errors in finding phi(n) and lambda(n), each carried through to its value.

One function a slip, named for the mistake: it takes n with its factorisation and returns
the wrong value with feedback, or None where the mistake cannot be made. The catalogue is
common practice of the trade.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import lcm, prod

from itembank.kinds.base import Slip
from itembank.kinds.mistakes import ValueFound, wrong_values
from itembank.kinds.totient.solve import lambda_of_prime_power, phi_of_prime_power
from itembank.languages import say
from itembank.maths.primes import Factors, phi_of
from itembank.notation.building import power


@dataclass(frozen=True)
class Work:
    """n >= 3 and its prime powers."""

    n: int
    factors: Factors

    @property
    def is_prime(self) -> bool:
        return self.factors == ((self.n, 1),)

    @property
    def powers(self) -> tuple[tuple[int, int], ...]:
        """The prime powers with an exponent above 1."""
        return tuple((p, k) for p, k in self.factors if k > 1)

    @property
    def phi(self) -> int:
        return phi_of(self.factors)


def slips_of(
    n: int, factors: Factors, mistakes: dict[str, Callable[[Work], ValueFound]]
) -> Iterator[Slip]:
    """The slips of a table that can be made here, in the order of the method."""
    if n < 3:
        return iter(())
    return wrong_values(mistakes, Work(n, factors))


# ------------------------------------------------------------ phi


def _taken_for_prime(w: Work) -> ValueFound:
    """n - 1 for a composite n."""
    if w.is_prime:
        return None
    return w.n - 1, say(
        "${n} - 1$ counts every number below {n}. That is right for a prime; {n} is not prime: "
        "numbers with a factor in common with it have to go.",
        n=w.n,
    )


def _prime_power_minus_one(w: Work) -> ValueFound:
    """p^k - 1 for each prime power p^k."""
    if not w.powers:
        return None
    p, k = w.powers[0]
    return prod(p**k - 1 for p, k in w.factors), say(
        "If you took ${q} - 1$ for ${q}$: not only ${q}$ itself but every multiple of {p} has the "
        "factor {p} in common with it.",
        q=power(p, k),
        p=p,
    )


def _multiplied_equal_factors(w: Work) -> ValueFound:
    """phi(p^k) taken as phi(p)^k: the rule for products used for equal factors."""
    if not w.powers:
        return None
    p, k = w.powers[0]
    return prod((p - 1) ** k for p, k in w.factors), say(
        "If you multiplied $φ({p})$ with itself for ${q}$: $φ$ of a product is the product of the "
        "values only for factors that are coprime.",
        q=power(p, k),
        p=p,
    )


def _exponents_dropped(w: Work) -> ValueFound:
    """Each prime used once: the product of the p - 1."""
    if not w.powers:
        return None
    p, k = w.powers[0]
    return prod(p - 1 for p, _k in w.factors), say(
        "Check the exponents: $φ({q})$ is not $φ({p})$; the factor ${below}$ belongs to it.",
        q=power(p, k),
        p=p,
        below=power(p, k - 1),
    )


def _factor_not_lowered(w: Work) -> ValueFound:
    """The factor p^k kept beside p - 1."""
    if not w.powers:
        return None
    p, k = w.powers[0]
    return prod((p**k if k > 1 else 1) * (p - 1) for p, k in w.factors), say(
        "If you multiplied ${q}$ by ${p} - 1$: the exponent goes down by one when $p - 1$ is split "
        "off.",
        q=power(p, k),
        p=p,
    )


def _values_added(w: Work) -> ValueFound:
    """The values of the prime powers added."""
    if len(w.factors) < 2:
        return None
    return sum(phi_of_prime_power(p, k) for p, k in w.factors), say(
        "If you added the values of the prime powers: every residue coprime to one of them goes "
        "with every residue coprime to the other, so the values are multiplied."
    )


def _others_counted(w: Work) -> ValueFound:
    """The numbers that are not coprime to n."""
    if w.is_prime:
        return None
    return w.n - w.phi, say(
        "If you counted the numbers from 1 to {n} that **have** a factor in common with {n}: the "
        "others are wanted.",
        n=w.n,
    )


def _left_out_a_prime(w: Work) -> ValueFound:
    """The multiples of the largest prime not removed."""
    if len(w.factors) < 2:
        return None
    p = w.factors[-1][0]
    return w.phi * p // (p - 1), say(
        "Check every prime factor of {n}: the multiples of {p} have to be removed too.",
        p=p,
        n=w.n,
    )


PHI: dict[str, Callable[[Work], ValueFound]] = {
    "taken-for-prime": _taken_for_prime,
    "prime-power-minus-one": _prime_power_minus_one,
    "equal-factors-multiplied": _multiplied_equal_factors,
    "exponents-dropped": _exponents_dropped,
    "factor-not-lowered": _factor_not_lowered,
    "prime-left-out": _left_out_a_prime,
    "values-added": _values_added,
    "others-counted": _others_counted,
}
"""In the order of the method."""

# ------------------------------------------------------------ lambda


def _phi_for_lambda(w: Work) -> ValueFound:
    """The values multiplied: phi(n)."""
    if len(w.factors) < 2:
        return None
    return w.phi, say(
        "That is $φ({n})$, a product. An exponent that works modulo each prime power is a multiple "
        "of each value; a smaller number than their product may be that.",
        n=w.n,
    )


def _two_as_odd_prime(w: Work) -> ValueFound:
    """lambda(2^k) taken as 2^(k - 1)."""
    twos = [k for p, k in w.factors if p == 2 and k > 2]
    if not twos:
        return None
    values = [phi_of_prime_power(p, k) for p, k in w.factors]
    return lcm(*values), say(
        "If you took $φ(2^{k})$ for $2^{k}$: modulo 8 the square of every odd number is 1 already, "
        "so powers of 2 from 8 on have a smaller value.",
        k=twos[0],
    )


def _values_multiplied(w: Work) -> ValueFound:
    """The right values multiplied: no phi(n) where a power of 2 has a value of its own."""
    if len(w.factors) < 2 or w.n % 8:
        return None
    return prod(lambda_of_prime_power(p, k) for p, k in w.factors), say(
        "If you multiplied the values of the prime powers: look for their least common multiple."
    )


def _largest_value(w: Work) -> ValueFound:
    """The largest of the values."""
    if len(w.factors) < 2:
        return None
    return max(lambda_of_prime_power(p, k) for p, k in w.factors), say(
        "If you took the largest of the values of the prime powers: the exponent has to be a "
        "multiple of every one of them."
    )


def _lambda_prime_power_minus_one(w: Work) -> ValueFound:
    """p^k - 1 for each odd prime power."""
    if all(p == 2 or k == 1 for p, k in w.factors):
        return None
    p, k = next((p, k) for p, k in w.powers if p > 2)
    values = [lambda_of_prime_power(2, k) if p == 2 else p**k - 1 for p, k in w.factors]
    return lcm(*values), say(
        "If you took ${q} - 1$ for ${q}$: it is the number of residues coprime to {p} that counts.",
        q=power(p, k),
        p=p,
    )


def _lambda_taken_for_prime(w: Work) -> ValueFound:
    if w.is_prime:
        return None
    return w.n - 1, say(
        "${n} - 1$ is the exponent of Fermat's theorem for a prime; {n} is not prime.",
        n=w.n,
    )


def _lambda_exponents_dropped(w: Work) -> ValueFound:
    """Each prime used once."""
    if not w.powers:
        return None
    p, k = w.powers[0]
    return lcm(*(p - 1 for p, _k in w.factors)), say(
        "Check the exponents: ${q}$ has another value than {p}.",
        q=power(p, k),
        p=p,
    )


LAMBDA: dict[str, Callable[[Work], ValueFound]] = {
    "taken-for-prime": _lambda_taken_for_prime,
    "prime-power-minus-one": _lambda_prime_power_minus_one,
    "exponents-dropped": _lambda_exponents_dropped,
    "two-as-odd-prime": _two_as_odd_prime,
    "phi-for-lambda": _phi_for_lambda,
    "values-multiplied": _values_multiplied,
    "largest-value": _largest_value,
}
"""In the order of the method."""
