"""Student errors about primitive roots, each carried through to its answer.

One function a slip, named for the mistake. The catalogue is common practice of the trade.

Notation: n modulus, N = phi(n), units those coprime to n; a power means one modulo n.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from math import gcd, prod

from itembank.kinds.base import Slip, slip
from itembank.kinds.mistakes import SetFound, ValueFound, wrong_sets, wrong_values
from itembank.kinds.order.steps import Phi
from itembank.languages import each, say
from itembank.maths.groups import carmichael, least_primitive_root, order, primitive_roots
from itembank.maths.primes import is_prime, phi

_LARGEST = 400
"""Largest modulus for which slips that give sets, or scan the units, are computed."""


@dataclass(frozen=True)
class Work:
    """n with phi(n), and the least primitive root, None if there is none."""

    phi: Phi

    @property
    def n(self) -> int:
        return self.phi.m

    @property
    def whole(self) -> int:
        return self.phi.n

    @cached_property
    def g(self) -> int | None:
        return least_primitive_root(self.n)

    @cached_property
    def units(self) -> tuple[int, ...]:
        return tuple(a for a in range(1, self.n) if gcd(a, self.n) == 1)

    def failing(self, q: int) -> tuple[int, ...]:
        """The units whose power with exponent N/q is not 1."""
        return tuple(a for a in self.units if pow(a, self.whole // q, self.n) != 1)

    @property
    def primes(self) -> tuple[int, ...]:
        return tuple(q for q, _e in self.phi.n_factors)


# ------------------------------------------------------------ sets


def _least_only(w: Work) -> SetFound:
    if w.g is None:
        return None
    return (w.g,), say(
        "One primitive root gives others: its powers whose exponents are coprime to {whole} are "
        "primitive roots too.",
        whole=w.whole,
    )


def _first_prime_only(w: Work) -> SetFound:
    if len(w.primes) < 2 or w.g is None:
        return None
    q = w.primes[0]
    return w.failing(q), say(
        "If you tested only that the power with exponent {e} is not 1: each prime of {whole} needs "
        "a test, that is {primes}.",
        e=w.whole // q,
        whole=w.whole,
        primes=each(w.primes),
    )


def _last_prime_only(w: Work) -> SetFound:
    if len(w.primes) < 2 or w.g is None:
        return None
    q = w.primes[-1]
    return w.failing(q), say(
        "If you tested only that the power with exponent {e} is not 1: each prime of {whole} needs "
        "a test, that is {primes}.",
        e=w.whole // q,
        whole=w.whole,
        primes=each(w.primes),
    )


def _exponents_listed(w: Work) -> SetFound:
    if w.g is None:
        return None
    return (k for k in range(1, w.whole) if gcd(k, w.whole) == 1), say(
        "If you listed the exponents coprime to {whole}: the primitive roots are the powers of one "
        "primitive root **with** these exponents.",
        whole=w.whole,
    )


def _prime_exponents(w: Work) -> SetFound:
    g = w.g
    if g is None:
        return None
    return {pow(g, k, w.n) for k in range(2, w.whole) if is_prime(k)} | {g}, say(
        "If you took the powers of a primitive root with prime exponents: what counts is that the "
        "exponent has no factor in common with {whole}.",
        whole=w.whole,
    )


def _odd_exponents(w: Work) -> SetFound:
    g = w.g
    if g is None or w.whole % 2:
        return None
    return {pow(g, k, w.n) for k in range(1, w.whole, 2)}, say(
        "If you took the powers of a primitive root with odd exponents: the exponent must have no "
        "factor in common with {whole}, whatever prime it is.",
        whole=w.whole,
    )


def _all_units(w: Work) -> SetFound:
    return w.units, say(
        "If you listed all residues coprime to {n}: coprime is needed, but a primitive root must "
        "have **order** {whole}.",
        n=w.n,
        whole=w.whole,
    )


def _largest_order_taken(w: Work) -> SetFound:
    if w.g is not None:
        return None
    top = carmichael(w.n)
    return (a for a in w.units if order(a, w.n) == top), say(
        "These residues have the largest order that occurs modulo {n}. Compare that order with "
        "$φ({n}) = {whole}$.",
        n=w.n,
        whole=w.whole,
    )


def _only_modulo_primes(w: Work) -> SetFound:
    if w.g is None or is_prime(w.n):
        return None
    return (), say(
        "{n} is not prime, but primitive roots exist modulo 4, powers of odd primes and twice such "
        "powers too.",
        n=w.n,
    )


SETS: dict[str, Callable[[Work], SetFound]] = {
    "only-modulo-primes": _only_modulo_primes,
    "least-only": _least_only,
    "first-prime-only": _first_prime_only,
    "last-prime-only": _last_prime_only,
    "exponents-listed": _exponents_listed,
    "prime-exponents": _prime_exponents,
    "odd-exponents": _odd_exponents,
    "all-units": _all_units,
    "largest-order-taken": _largest_order_taken,
}
"""Wrong sets, in the order of the method."""


def of_the_set(phi: Phi) -> Iterator[Slip]:
    if not 2 < phi.m <= _LARGEST:
        return iter(())
    return wrong_sets(SETS, Work(phi))


# ------------------------------------------------------------ the least


def _always_two(w: Work) -> ValueFound:
    if w.n % 2 == 0:
        return None
    return 2, say(
        "2 is coprime to {n}, but test its order: is it $φ({n})$?",
        n=w.n,
    )


def _least_by_first_prime(w: Work) -> ValueFound:
    made = _first_prime_only(w)
    return made and (min(made[0]), made[1])


def _least_by_last_prime(w: Work) -> ValueFound:
    made = _last_prime_only(w)
    return made and (min(made[0]), made[1])


def _next_root(w: Work) -> ValueFound:
    roots = primitive_roots(w.n)
    if len(roots) < 2:
        return None
    return roots[1], say(
        "This is a primitive root, but not the least: test every smaller residue coprime to {n} "
        "too.",
        n=w.n,
    )


def _one_taken(w: Work) -> ValueFound:
    return 1, say("All powers of 1 are 1: its order is 1, not $φ({n})$.", n=w.n)


LEAST: dict[str, Callable[[Work], ValueFound]] = {
    "one-taken": _one_taken,
    "always-two": _always_two,
    "first-prime-only": _least_by_first_prime,
    "last-prime-only": _least_by_last_prime,
    "not-the-least": _next_root,
}
"""Wrong least primitive roots."""


def of_the_least(phi: Phi) -> Iterator[Slip]:
    if not 4 < phi.m <= _LARGEST:
        return iter(())
    w = Work(phi)
    return wrong_values(LEAST, w) if w.g is not None else iter(())


# ------------------------------------------------------------ how many


def _phi_once(w: Work) -> ValueFound:
    return w.whole, say(
        "$φ({n}) = {whole}$ is the number of **units**. The primitive roots are the units of order "
        "{whole}: apply φ once more.",
        n=w.n,
        whole=w.whole,
    )


def _existence_untested(w: Work) -> ValueFound:
    if w.g is not None:
        return None
    return phi(w.whole), say(
        "$φ(φ({n}))$ counts the primitive roots **if there is one**. Test first whether {n} is 1, "
        "2, 4, $p^k$ or $2p^k$.",
        n=w.n,
    )


def _counted_as_prime(w: Work) -> ValueFound:
    if w.whole == w.n - 1:
        return None
    return phi(w.n - 1), say(
        "$φ({n} - 1)$ is right for a prime, and {n} is not prime: take $φ(φ({n}))$.",
        n=w.n,
    )


def _non_squares_counted(w: Work) -> ValueFound:
    if w.g is None or w.whole % 2:
        return None
    return w.whole // 2, say(
        "Half of the units are not squares, and every primitive root is one of these; but not all "
        "of them are primitive roots."
    )


def _phi_of_equal_factors(w: Work) -> ValueFound:
    """phi(N) from the primes of N, each power q^e taken as (q - 1)^e."""
    q, e = next(((q, e) for q, e in w.phi.n_factors if e > 1), (0, 0))
    if not q:
        return None
    return prod((p - 1) ** k for p, k in w.phi.n_factors), say(
        "If you took $({q} - 1)^{e}$ for $φ({q}^{e})$: φ of a product is the product of the φ only "
        "for coprime factors.",
        q=q,
        e=e,
    )


COUNTS: dict[str, Callable[[Work], ValueFound]] = {
    "existence-untested": _existence_untested,
    "phi-once": _phi_once,
    "counted-as-prime": _counted_as_prime,
    "phi-of-equal-factors": _phi_of_equal_factors,
    "non-squares-counted": _non_squares_counted,
}
"""Wrong numbers of primitive roots."""


def of_the_number(phi: Phi) -> Iterator[Slip]:
    if phi.m < 3:
        return iter(())
    return wrong_values(COUNTS, Work(phi))


# ------------------------------------------------------------ whether there is one


EXISTENCE = ("only-modulo-primes", "existence-untested")
"""The names of the slips about existence."""


def of_the_existence(phi: Phi, exists: bool) -> Iterator[Slip]:
    """The error that leads to the other answer."""
    w = Work(phi)
    if exists and not is_prime(w.n):
        made = _only_modulo_primes(w)
        if made is not None:
            yield slip("only-modulo-primes", (0,), made[1])
    elif not exists:
        said = say(
            "There are $φ({n}) = {whole}$ units, but none of them need have the order {whole}. "
            "Test whether {n} is 1, 2, 4, $p^k$ or $2p^k$ with an odd prime $p$.",
            n=w.n,
            whole=w.whole,
        )
        yield slip("existence-untested", (1,), said)


# ------------------------------------------------------------ the test of one residue


def of_the_test(a: int, phi: Phi, holds: bool) -> Iterator[Slip]:
    """The one error that leads to the other answer, where there is one."""
    n, whole = phi.m, phi.n
    if holds or n < 5:
        return
    if gcd(a, n) > 1:
        said = say(
            "Only a residue coprime to {n} can be a primitive root; find $gcd({a}, {n})$.",
            a=a,
            n=n,
        )
        yield slip("coprime-untested", (1,), said)
        return
    if order(a, n) < carmichael(n):
        passing = [q for q, _e in phi.n_factors if pow(a, whole // q, n) != 1]
        if passing:
            said = say(
                "The power with exponent {e} is not 1, but that is one test of several: each prime "
                "of {whole} needs its own.",
                e=whole // passing[0],
                whole=whole,
            )
            yield slip("one-prime-tested", (1,), said)
            return
    said = say(
        "That the power with exponent {whole} is 1 holds for every unit (Euler). A primitive root "
        "has no **smaller** exponent with that property.",
        whole=whole,
    )
    yield slip("euler-taken-for-test", (1,), said)


TESTS = ("coprime-untested", "one-prime-tested", "euler-taken-for-test")
"""The names of the slips in a test."""
