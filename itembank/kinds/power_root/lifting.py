"""From the roots modulo a prime to those modulo its powers, and where p divides the right side.

Notation as in `steps`.
"""

from itembank.kinds.base import Step
from itembank.kinds.power_root.lifting_steps import (
    Divide,
    Lift,
    Multiply,
    Odd,
    OddPower,
    SamePower,
    Zero,
)
from itembank.kinds.power_root.solve import Classes, solve_prime_power
from itembank.kinds.power_root.steps import SeenRoot
from itembank.maths.perfect_powers import root_at_sight
from itembank.maths.power_roots import lifted_by, power_lifts
from itembank.maths.primes import valuation


def solve_without_method(k: int, a: int, p: int, e: int, sight: bool) -> tuple[list[Step], Classes]:
    """As `solve_prime_power` for an a that p divides, and modulo 2."""
    if a == 0:
        least = -(-e // k)
        return [Zero(k, a, p, e, least)], ((0, p**least),)
    if a % p:
        return [Odd(k, a, p, e)], ((1, 2),)
    return _solve_divided(k, a, p, e, valuation(a, p), sight)


def _solve_divided(
    k: int, a: int, p: int, e: int, v: int, sight: bool
) -> tuple[list[Step], Classes]:
    """p^v divides a exactly, 0 < v < e."""
    if v % k:
        return [Divide(k, a, p, e, v, None, None)], ()
    w, b = v // k, a // p**v
    inner, found = solve_prime_power(k, b, p, e - v, sight)
    steps: list[Step] = [Divide(k, a, p, e, v, w, b), *inner]
    if not found:
        return steps, ()
    classes = tuple((p**w * r, p**w * d) for r, d in found)
    return [*steps, Multiply(k, a, p, e, w, found, classes)], classes


def solve_two_power(k: int, a: int, e: int, sight: bool) -> tuple[list[Step], Classes]:
    """a odd, k even, e >= 2."""
    s = valuation(k, 2)
    deep = min(e, s + 2)
    holds = a % 2**deep == 1
    steps: list[Step] = [OddPower(k, a, 2, e, s, deep, holds)]
    if not holds:
        return steps, ()
    if e == deep:
        return steps, ((1, 2),)
    d = 2 ** (e - s)
    seen = root_at_sight(k, a, 2**e) if sight and k == 2 else None
    if seen is not None:
        classes = tuple(sorted({(seen % d, d), (-seen % d, d)}))
        return [*steps, SeenRoot(k, a, 2, e, seen, None)], classes
    chain = tuple(power_lifts(k, a, 2, e, 1, 2))
    r = lifted_by(list(chain), 1, 2)
    classes = tuple(sorted({(r, d), (-r % d, d)}))
    return [*steps, Lift(k, a, 2, e, s, 2, ((1, chain, r),), True, classes)], classes


def lifted(
    steps: list[Step], roots: tuple[int, ...], k: int, a: int, p: int, e: int
) -> tuple[list[Step], Classes]:
    """From the roots modulo an odd p to the classes modulo p^e, e >= 2."""
    s = valuation(k, p)
    if s:
        deep = min(e, s + 1)
        powers = tuple((r, pow(r, k, p**deep)) for r in roots)
        roots = tuple(r for r, power in powers if power == a % p**deep)
        steps = [*steps, SamePower(k, a, p, e, s, deep, powers, roots)]
        if deep == e or not roots:
            return steps, tuple((r, p) for r in roots)
    mirrored = k % 2 == 0
    chosen = [r for r in roots if not mirrored or 2 * r < p]
    d = p ** (e - s)
    chains = []
    for r in chosen:
        chain = tuple(power_lifts(k, a, p, e, r, 1))
        chains.append((r, chain, lifted_by(list(chain), r, p)))
    found = {last for _r, _chain, last in chains}
    if mirrored:
        found |= {-r % d for r in found}
    classes = tuple(sorted((r, d) for r in found))
    return [*steps, Lift(k, a, p, e, s, 1, tuple(chains), mirrored, classes)], classes
