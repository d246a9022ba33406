"""All roots of x^k = a modulo one odd prime, by the methods taught.  Notation as in `steps`."""

from math import gcd

from itembank.kinds.base import Step
from itembank.kinds.power_root.prime_steps import (
    CorrectRoot,
    Criterion,
    Indices,
    ListPowers,
    LowerExponent,
    OtherRoots,
    RootByRounds,
    RootFiveModEight,
    RootThreeModFour,
)
from itembank.kinds.power_root.solve import TooManyRoots, exponent_inverse
from itembank.kinds.power_root.steps import SeenRoot
from itembank.maths.groups import least_primitive_root
from itembank.maths.perfect_powers import root_at_sight
from itembank.maths.power_roots import (
    corrected_root,
    criterion,
    root_of_unity,
    tonelli_shanks,
)
from itembank.values.worded import worded

_LISTED = 13
"""Up to this prime all k-th powers are listed."""

_INDEXED = 100
"""Up to this prime roots of degree above 2 are found by a table of indices."""

_MOST_ROOTS = 10_000
"""The most roots modulo one prime that are listed."""


def roots_modulo_prime(
    k: int, a: int, p: int, sight: bool = True
) -> tuple[list[Step], tuple[int, ...]]:
    """The steps modulo an odd p for 0 < a < p, and the roots, increasing."""
    d = gcd(k, p - 1)
    r = (
        root_at_sight(k, a, p)
        if sight and (d <= 2 or (p > _INDEXED and d <= _MOST_ROOTS))
        else None
    )
    if r is not None:
        return _from_sight(k, a, p, d, r)
    if d == 1 and p > 3:
        step = exponent_inverse(k, a, p, ((p, 1),), p - 1)
        return [step], (step.root,)
    if p <= _LISTED:
        listing = _listed_powers(k, a, p)
        return [listing], listing.roots
    if d > _MOST_ROOTS:
        if criterion(k, a, p) == 1:
            raise TooManyRoots(
                worded(
                    "modulo {p} there are {d} solutions, more than the {most_roots} that are "
                    "listed",
                    p=p,
                    d=d,
                    most_roots=_MOST_ROOTS,
                )
            )
        return [Criterion(k, a, p, 1, d, (p - 1) // d, criterion(k, a, p))], ()
    if k > 2 and p <= _INDEXED:
        table = _by_indices(k, a, p)
        return [table], tuple(sorted(pow(table.g, i, p) for i in table.found))
    return _by_criterion(k, a, p, d, sight)


def _from_sight(k: int, a: int, p: int, d: int, r: int) -> tuple[list[Step], tuple[int, ...]]:
    """The root r that was seen, and from it all d."""
    seen = SeenRoot(k, a, p, 1, r, d)
    if d <= 2:
        return [seen], tuple(sorted({r % p, -r % p} if d == 2 else {r % p}))
    others = _other_roots(d, a, p, r % p)
    return [seen, others], others.roots


def _other_roots(k: int, a: int, p: int, root: int, told: int = 0) -> OtherRoots:
    """All k roots from one, k a divisor of p - 1; `told` as in the step."""
    h, z = (p - 1, p - 1) if k == 2 else root_of_unity(k, p)
    roots, x = [], root
    for _ in range(k):
        roots.append(x)
        x = x * z % p
    return OtherRoots(k, a, p, 1, h, z, root, tuple(sorted(roots)), told)


def _listed_powers(k: int, a: int, p: int) -> ListPowers:
    half = k % 2 == 0 and p > 3
    last = (p - 1) // 2 if half else p - 1
    powers = tuple((x, pow(x, k, p)) for x in range(1, last + 1))
    found = {x for x, power in powers if power == a}
    if half:
        found |= {p - x for x in found}
    return ListPowers(k, a, p, 1, powers, tuple(sorted(found)))


def _by_indices(k: int, a: int, p: int) -> Indices:
    g = least_primitive_root(p)
    assert g is not None
    powers = [1]
    for _ in range(p - 2):
        powers.append(powers[-1] * g % p)
    index = powers.index(a)
    found = tuple(i for i in range(p - 1) if k * i % (p - 1) == index)
    return Indices(k, a, p, 1, gcd(k, p - 1), g, tuple(powers), index, found)


def _by_criterion(
    k: int, a: int, p: int, d: int, sight: bool
) -> tuple[list[Step], tuple[int, ...]]:
    """The criterion first; then one root, and from it all d."""
    value = criterion(k, a, p)
    steps: list[Step] = [Criterion(k, a, p, 1, d, (p - 1) // d, value)]
    if value != 1:
        return steps, ()
    if d < k:
        u = pow(k // d, -1, (p - 1) // d)
        b = pow(a, u, p)
        steps.append(LowerExponent(k, a, p, 1, d, u, b))
        k, a = d, b
        r = root_at_sight(k, a, p) if sight else None
        if r is not None:
            found, roots = _from_sight(k, a, p, d, r)
            return [*steps, *found], roots
    told = (p - 1) // d if len(steps) == 1 else 0
    one, root = _square_root(a, p, told) if k == 2 else _corrected(k, a, p, told)
    told = one.work.q if isinstance(one, CorrectRoot) and one.work.w != 1 else 0
    others = _other_roots(k, a, p, root, told)
    return [*steps, one, others], others.roots


def _square_root(a: int, p: int, told: int) -> tuple[Step, int]:
    """The step that finds a square root of the square a, and the root; `told` as in the step."""
    if p % 4 == 3:
        root = pow(a, (p + 1) // 4, p)
        return RootThreeModFour(2, a, p, 1, root, told), root
    if p % 8 == 5:
        quarter, first = pow(a, (p - 1) // 4, p), pow(a, (p + 3) // 8, p)
        i = None if quarter == 1 else pow(2, (p - 1) // 4, p)
        root = first if i is None else first * i % p
        return RootFiveModEight(2, a, p, 1, quarter, first, i, root, told), root
    work = tonelli_shanks(a, p)
    return RootByRounds(2, a, p, 1, work, told), work.root


def _corrected(k: int, a: int, p: int, told: int) -> tuple[Step, int]:
    work = corrected_root(k, a, p)
    return CorrectRoot(k, a, p, 1, work, told), work.root
