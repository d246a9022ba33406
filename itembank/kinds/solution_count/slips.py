"""Student errors in counting the solutions of a congruence, each with the number it gives.

One function a slip, named for the mistake: from the true work to a wrong number and the
feedback, or None where the mistake cannot be made. The catalogue is common practice of the
trade.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from math import gcd, prod

from itembank.kinds.base import Slip, Solution, Step
from itembank.kinds.linear.kind import LinearCongruence
from itembank.kinds.mistakes import ValueFound, wrong_values
from itembank.kinds.one_unknown import OneUnknown
from itembank.kinds.power_root.kind import PowerRoot
from itembank.kinds.solution_count.solve import degree_of, factors_of, local_count
from itembank.kinds.solution_count.steps import (
    CountDivided,
    CountLinear,
    CountOdd,
    CountUnits,
    CountZero,
    LocalCount,
)
from itembank.kinds.wrong_solutions import by_name, in_unknown
from itembank.languages import say
from itembank.maths.primes import Factors
from itembank.values.answer import Value


@dataclass(frozen=True)
class _CountWork:
    """The true work: the congruence, the steps, and the number.

    `locals` go on beyond a prime power that counted 0, where the working stops.
    """

    congruence: OneUnknown
    steps: tuple[Step, ...]
    key: int

    @cached_property
    def factors(self) -> Factors:
        return factors_of(self.congruence)

    @cached_property
    def locals(self) -> tuple[LocalCount, ...]:
        if isinstance(self.congruence, LinearCongruence):
            return ()
        return tuple(local_count(self.congruence, p, e) for p, e in self.factors)

    @property
    def counts(self) -> tuple[int, ...]:
        return tuple(local.count for local in self.locals)

    @property
    def linear(self) -> CountLinear | None:
        step = self.steps[0]
        return step if isinstance(step, CountLinear) and step.a else None

    def with_count(self, changed: LocalCount, n: int) -> int:
        """The product with another number for one prime power."""
        return prod(n if local is changed else local.count for local in self.locals)


def _divisor_untested(w: _CountWork) -> ValueFound:
    step = w.linear
    if step is None or step.count:
        return None
    return step.d, say(
        "Test whether the greatest common divisor {d} divides {b} before counting.",
        d=step.d,
        b=step.b,
    )


def _one_solution_only(w: _CountWork) -> ValueFound:
    step = w.linear
    if step is None or step.count < 2:
        return None
    return 1, say(
        "There is one solution modulo ${m}/gcd({a}, {m})$. How many residues modulo {m} is that?",
        a=step.a,
        m=step.m,
    )


def _criterion_untested(w: _CountWork) -> ValueFound:
    """gcd(k, phi) solutions assumed, whether a is a power or not."""
    failing = next((s for s in w.locals if isinstance(s, CountUnits) and not s.count), None)
    if failing is None or w.key:
        return None
    n = prod(s.d if isinstance(s, CountUnits) else s.count for s in w.locals)
    if not n:
        return None
    return n, say(
        "If you counted $gcd({k}, {phi})$ solutions modulo {q}: test first whether there are any, "
        "with the power ${a}^{n}$.",
        q=failing.q,
        k=failing.k,
        phi=failing.phi,
        a=failing.a,
        n=failing.phi // failing.d,
    )


def _zero_counted_once(w: _CountWork) -> ValueFound:
    step = next((s for s in w.locals if isinstance(s, CountZero) and s.count > 1), None)
    if step is None:
        return None
    return w.with_count(step, 1), say(
        "Check the count modulo {q}: $x$ need not be divisible by {q}; it is enough that $x^{k}$ "
        "is.",
        q=step.q,
        k=step.k,
    )


def _divided_counted_once(w: _CountWork) -> ValueFound:
    step = next((s for s in w.locals if isinstance(s, CountDivided) and s.count), None)
    if step is None or step.inner is None:
        return None
    return w.with_count(step, step.inner.count), say(
        "After dividing by {pv} the modulus is {rest}: each solution there is several residues "
        "modulo {q}.",
        pv=step.p**step.v,
        rest=step.p ** (step.e - step.v),
        q=step.q,
    )


def _two_treated_as_odd(w: _CountWork) -> ValueFound:
    """Two roots modulo 2^e for an even exponent, as modulo an odd prime power."""
    step = next((s for s in w.locals if isinstance(s, CountOdd) and s.count > 2), None)
    if step is None:
        return None
    return w.with_count(step, 2), say(
        "Check the count modulo {q}: modulo $2^e$ with $e ≥ 3$ an even exponent gives more than "
        "two roots, or none.",
        q=step.q,
    )


def _counted_modulo_the_primes(w: _CountWork) -> ValueFound:
    """The product of the numbers modulo the primes, not their powers."""
    congruence = w.congruence
    if isinstance(congruence, LinearCongruence):
        return None
    n = prod(local_count(congruence, p, 1).count for p, _e in w.factors)
    p, e = next(((p, e) for p, e in w.factors if e > 1), (0, 0))
    if not p:
        return None
    return n, say(
        "If you counted modulo the primes: modulo {q} there can be more solutions than modulo {p}, "
        "or fewer, where roots are singular.",
        q=p**e,
        p=p,
    )


def _as_for_a_prime_modulus(w: _CountWork) -> ValueFound:
    congruence = w.congruence
    if not isinstance(congruence, PowerRoot) or len(w.factors) < 2 or not w.key:
        return None
    m, k = congruence.modulus, congruence.exponent
    if m % 2 == 0:
        return None
    return gcd(k, m - 1), say(
        "$gcd({k}, {m} - 1)$ counts roots modulo a prime, and {m} is composite: count modulo each "
        "of its prime powers and multiply.",
        k=k,
        m=m,
    )


def _degree_as_bound(w: _CountWork) -> ValueFound:
    n = degree_of(w.congruence)
    if n < 2 or w.key <= n:
        return None
    return n, say(
        "A polynomial of degree {n} has at most {n} roots modulo a **prime**. {m} is not prime, "
        "and there can be more.",
        n=n,
        m=w.congruence.modulus,
    )


def _unsolvable_factor_ignored(w: _CountWork) -> ValueFound:
    empty = [s for s in w.locals if not s.count]
    if len(empty) != 1 or len(w.locals) < 2:
        return None
    n = prod(s.count for s in w.locals if s.count)
    return n, say(
        "Count modulo {q} again: the product of the numbers has a factor for it too.",
        q=empty[0].q,
    )


def _factor_dropped(w: _CountWork) -> ValueFound:
    if len(w.locals) < 2 or not w.key:
        return None
    dropped = max(w.locals, key=lambda s: s.count)
    if dropped.count < 2:
        return None
    return w.key // dropped.count, say(
        "Check that every factor of the modulus is counted: modulo {q} there is more than one "
        "choice.",
        q=dropped.q,
    )


def _counts_added(w: _CountWork) -> ValueFound:
    if len(w.locals) < 2 or not w.key:
        return None
    return sum(w.counts), say(
        "If you added the numbers of solutions modulo the prime powers: each solution modulo the "
        "one goes with each modulo the others, so they are multiplied."
    )


_MISTAKES = by_name(
    _divisor_untested,
    _one_solution_only,
    _criterion_untested,
    _zero_counted_once,
    _divided_counted_once,
    _two_treated_as_odd,
    _counted_modulo_the_primes,
    _as_for_a_prime_modulus,
    _degree_as_bound,
    _unsolvable_factor_ignored,
    _factor_dropped,
    _counts_added,
)
"""In the order of the method."""

NAMES = tuple(_MISTAKES)
"""What specs and packages call them."""


def slips_of(congruence: OneUnknown, solution: Solution[Value]) -> Iterator[Slip]:
    """The slips that can be made here, in the order of the method."""
    work = _CountWork(congruence, solution.steps, solution.answer.value)
    return in_unknown(wrong_values(_MISTAKES, work), congruence.letter)
