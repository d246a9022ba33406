"""What a reviewer can check by hand of an index, and of what indices solve: powers put in.

Each power is worked out modulo m; where the number that it should give is written otherwise (-3
for 14 modulo 17), that follows it.
"""

from collections.abc import Iterable, Iterator
from itertools import islice

from itembank.kinds.chains import congruent
from itembank.languages import Said, Told, lead, say, shown
from itembank.notation.building import dotted, number
from itembank.notation.tree import Math, Power

_SUBSTITUTED = 12
"""Solutions substituted one by one."""


def power_of_the_base(g: int, k: int, a: int, m: int) -> Iterator[Told]:
    """g^k modulo m, which should be a."""
    yield lead("Power.")
    yield say(
        "${power} ≡ {r} (mod {m})$.", power=_power(1, g, k), r=_residue(pow(g, k, m), a, m), m=m
    )


def substituted(a: int, powers: Iterable[tuple[int, int]], c: int, m: int) -> Iterator[Told]:
    """a * b^n modulo m, which should be c, for the first powers (b, n)."""
    rows = [_put_in(a, b, n, c, m) for b, n in islice(powers, _SUBSTITUTED)]
    if rows:
        yield lead("Substituted.")
        yield shown(*rows)


def _put_in(a: int, b: int, n: int, c: int, m: int) -> Said:
    found = _residue(a * pow(b, n, m) % m, c, m)
    return say("${left} ≡ {r} (mod {m})$", left=_power(a, b, n), r=found, m=m)


def _power(a: int, b: int, n: int) -> Math:
    """a · b^n, without a where it is 1."""
    alone = Power(number(b), number(n))
    return alone if a == 1 else dotted((a, alone))


def _residue(r: int, wanted: int, m: int) -> Math:
    """The least residue r, and the number wanted where that is another of its class."""
    if r != wanted and (r - wanted) % m == 0:
        return congruent(r, wanted)
    return number(r)
