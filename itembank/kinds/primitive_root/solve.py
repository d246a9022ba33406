"""Primitive roots: whether there are any, the least, all, how many, and the test of one.

Sources: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th
ed., section 2.8: Theorem 2.41 (which n have primitive roots), Theorem 2.36 (their
number phi(phi(p)); the argument holds for every n that has one).
"""

from functools import lru_cache
from math import gcd

from itembank.kinds.base import Solution, Step
from itembank.kinds.order.solve import powers_step
from itembank.kinds.order.steps import Phi
from itembank.kinds.primitive_root.steps import (
    CommonFactor,
    Count,
    Existence,
    Form,
    Outright,
    PowersOfRoot,
    Search,
    Test,
    Trial,
    UnitsCounted,
)
from itembank.languages import Said, say
from itembank.maths.groups import MOST_ROOTS
from itembank.maths.perfect_powers import whole_root
from itembank.maths.power_roots import least_root
from itembank.maths.primes import Factors, phi_of
from itembank.values.answer import Absent, ResidueSet, Truth, Value
from itembank.values.errors import StatementError
from itembank.values.worded import worded

_SMALL: dict[int, Form] = {1: "1", 2: "2", 4: "4"}
"""The moduli with primitive roots that have no odd prime."""

_TRIED = 10_000
"""Largest modulus for which a number whose power is another is looked for by trial."""

_AMONG = 100
"""Where one of so many numbers has the power with an odd exponent, it is not found by trial."""

_AT_SIGHT = 4
"""Up to this modulus the units are looked at, nothing is tested."""


def _form_of(n: int, factors: Factors) -> Form:
    """Which of the cases of the theorem n is."""
    if n in _SMALL:
        return _SMALL[n]
    odd = [(p, k) for p, k in factors if p > 2]
    if len(odd) != 1:
        return "4 | n" if not odd else "two primes"
    if n % 4 == 0:
        return "4 | n"
    power = odd[0][1] > 1
    if n % 2:
        return "p^k" if power else "p"
    return "2p^k" if power else "2p"


def existence(phi: Phi) -> Existence:
    return Existence(phi.m, phi.factors, _form_of(phi.m, phi.factors))


def whole_set(phi: Phi, statement: str) -> Solution[ResidueSet]:
    """All primitive roots; StatementError where they are too many to list."""
    n, exists = phi.m, existence(phi)
    if not exists.exists:
        return Solution(ResidueSet.of(n, ()), (exists,))
    if n <= _AT_SIGHT:
        roots = _roots_at_sight(n)
        return Solution(_classes(n, roots), (exists, Outright(n, roots)))
    expected = phi_of(phi.n_factors)
    if expected > MOST_ROOTS:
        raise StatementError(
            worded(
                "{statement}: {expected} primitive roots are too many to list (at most "
                "{most_roots}); ask for 'least primitive root mod ...' or 'number of primitive "
                "roots mod ...'",
                statement=statement,
                expected=expected,
                most_roots=MOST_ROOTS,
            )
        )
    search = _search_least(phi)
    powers = tuple((k, pow(search.least, k, n)) for k in range(1, phi.n + 1) if gcd(k, phi.n) == 1)
    step = PowersOfRoot(n, phi.n, search.least, powers)
    return Solution(_classes(n, [r for _k, r in powers]), (exists, phi, search, step))


def least(phi: Phi) -> Solution[Value | Absent]:
    n, exists = phi.m, existence(phi)
    if not exists.exists:
        return Solution(Absent(none_exist(n)), (exists,))
    if n <= _AT_SIGHT:
        roots = _roots_at_sight(n)
        return Solution(Value(roots[0]), (exists, Outright(n, roots)))
    search = _search_least(phi)
    return Solution(Value(search.least), (exists, phi, search))


def number(phi: Phi) -> Solution[Value]:
    n, exists = phi.m, existence(phi)
    if not exists.exists:
        return Solution(Value(0), (exists,))
    count = phi_of(phi.n_factors)
    units = UnitsCounted(**vars(phi))
    return Solution(Value(count), (exists, units, Count(n, phi.n, phi.n_factors, count)))


def test(a: int, phi: Phi) -> Solution[Truth]:
    """Whether a is a primitive root modulo n."""
    n = phi.m
    d = gcd(a, n)
    if d > 1:
        return Solution(Truth(False), (CommonFactor(a, n, d),))
    exists = existence(phi)
    if not exists.exists:
        return Solution(Truth(False), (exists,))
    if n <= _AT_SIGHT:
        roots = _roots_at_sight(n)
        return Solution(Truth(a % n in roots), (exists, Outright(n, roots)))
    primes = tuple(q for q, _e in phi.n_factors)
    trial = _tested(a % n, phi)
    exponents = sorted(phi.n // q for q, _value in trial.powers)
    powers = powers_step(a % n, n, exponents)
    steps: tuple[Step, ...] = (phi, Test(n, phi.n, primes, trial, powers))
    return Solution(Truth(trial.passed(n)), steps)


# ------------------------------------------------------------ pieces


def none_exist(n: int) -> Said:
    """Why there is no primitive root modulo n."""
    return say(
        "There is no primitive root modulo {n}: primitive roots exist only modulo 1, 2, 4, $p^k$ "
        "and $2p^k$ with an odd prime $p$.",
        n=n,
    )


def _roots_at_sight(n: int) -> tuple[int, ...]:
    return {1: (0,), 2: (1,), 3: (2,), 4: (3,)}[n]


def _classes(n: int, roots: tuple[int, ...] | list[int]) -> ResidueSet:
    return ResidueSet.of(n, [(r, n) for r in roots])


def _search_least(phi: Phi) -> Search:
    """The trials from 2 on; a power of a smaller number, which had failed, needs none."""
    trials: list[Trial] = []
    skipped: list[tuple[int, int, int]] = []
    for a in range(2, phi.m):
        if gcd(a, phi.m) > 1:
            continue
        root = _perfect_power(a)
        if root:
            skipped.append((a, *root))
            continue
        trials.append(_tested(a, phi))
        if trials[-1].passed(phi.m):
            break
    exponents = [phi.n // q for q, _e in phi.n_factors]
    powers = powers_step(trials[-1].a, phi.m, exponents)
    primes = tuple(q for q, _e in phi.n_factors)
    return Search(phi.m, phi.n, primes, tuple(trials), tuple(skipped), powers)


@lru_cache(maxsize=256)
def _perfect_power(a: int) -> tuple[int, int] | None:
    """(b, k) with a = b^k for the least prime k; None if there is none.  a >= 2.

    >>> _perfect_power(8), _perfect_power(16), _perfect_power(6)
    ((2, 3), (4, 2), None)
    """
    for k in range(2, a.bit_length()):
        if (b := whole_root(k, a)) is not None:
            return b, k
    return None


def _tested(a: int, phi: Phi) -> Trial:
    """a^(N/q) for the primes q of N in increasing order, up to the first power that is 1."""
    powers = []
    for q, _e in phi.n_factors:
        powers.append((q, pow(a, phi.n // q, phi.m)))
        if powers[-1][1] == 1 % phi.m:
            return Trial(a, tuple(powers), _base_of_power(a, q, phi))
    return Trial(a, tuple(powers), None)


def _base_of_power(a: int, q: int, phi: Phi) -> int | None:
    """The least b with b^q = a (mod n), of which there is one; None where n is too large to try."""
    n = phi.m
    if n > _TRIED:
        return None
    if phi.factors == ((n, 1),) and (q == 2 or _AMONG * q < n):
        return least_root(q, a, n)
    return next((b for b in range(2, n) if pow(b, q, n) == a), None)
