"""The second way for pseudoprimes: divided by everything, multiplied factor by factor; of a
Carmichael number every base is tried."""

from dataclasses import dataclass, field
from functools import lru_cache
from math import gcd

from itembank.second_way import in_words, listed
from itembank.second_way.kind import Kind
from itembank.second_way.verdict import Method, Undecided, done

_MULTIPLIED = 500_000
"""The largest number whose power is multiplied out factor by factor."""

_TRIED = 200_000
"""The largest number whose bases are all tried."""


@dataclass(frozen=True)
class Test:
    """Whether `number` is a "pseudoprime" or a "strong pseudoprime" to `base`, or "carmichael".

    "bases": to which bases from 2 to number - 2 it is a pseudoprime.
    """

    kind: str
    number: int
    base: int = 0
    hints: tuple[int, ...] = field(default=(), compare=False)

    @property
    def modulus(self) -> int:
        return self.number


def read(statement: str) -> Test | None:
    """The question of "is 341 a pseudoprime to the base 2"; None for another form."""
    for kind in ("strong pseudoprime", "pseudoprime"):
        if found := in_words.numbers(f"is # a {kind} to the base #", statement):
            n, a = found
            in_words.refuse(n > 2 and n % 2 == 1 and 1 < a < n, "an odd number", statement)
            return Test(kind, n, a)
    if found := in_words.numbers("bases to which # is a pseudoprime", statement):
        in_words.refuse(found[0] > 2 and found[0] % 2 == 1, "an odd number", statement)
        return Test("bases", found[0])
    if found := in_words.numbers("is # a carmichael number", statement):
        in_words.refuse(found[0] > 2, "a number above 2", statement)
        return Test("carmichael", found[0])
    return None


def _holds(test: Test) -> bool:
    n, a = test.number, test.base
    if test.kind == "carmichael":
        if n > _TRIED:
            raise Undecided(f"more than {_TRIED} bases to try")
        return _composite(n) and all(pow(b, n - 1, n) == 1 for b in range(1, n) if gcd(b, n) == 1)
    if n > _MULTIPLIED:
        raise Undecided(f"more than {_MULTIPLIED} factors")
    odd = n - 1
    while odd % 2 == 0:
        odd //= 2
    wanted = {odd << i for i in range((n - 1).bit_length())}
    power, seen = 1, {}
    for exponent in range(1, n):
        power = power * a % n
        if exponent in wanted or exponent == n - 1:
            seen[exponent] = power
    if test.kind == "pseudoprime":
        return _composite(n) and seen[n - 1] == 1
    before = [value for exponent, value in seen.items() if exponent < n - 1]
    return _composite(n) and (seen[odd] == 1 or n - 1 in before)


def _composite(n: int) -> bool:
    d = 2
    while d * d <= n:
        if n % d == 0:
            return True
        d += 1
    return False


_LISTED = 3_000
"""The largest number of which the bases are listed, each multiplied out."""


@lru_cache(maxsize=64)
def _bases(n: int) -> tuple[int, ...]:
    """The bases to which n is a pseudoprime, but for 1 and -1."""
    if n > _LISTED:
        raise Undecided(f"more than {_LISTED} bases to multiply out")
    if not _composite(n):
        return ()
    found = []
    for a in range(2, n - 1):
        power = 1
        for _factor in range(n - 1):
            power = power * a % n
        if power == 1:
            found.append(a)
    return tuple(found)


_METHOD = done("the powers were multiplied out, the bases tried")


def _members(test: Test) -> tuple[tuple[int, ...], Method]:
    if test.kind != "bases":
        raise Undecided("a set where a truth is asked for")
    return _bases(test.number), _METHOD


def _solutions(test: Test) -> tuple[int, ...] | None:
    return _bases(test.number) if test.kind == "bases" else None


KIND = Kind(
    checks={**listed.checks(_members), **in_words.truth_kind(_holds, _METHOD).checks},
    solutions=_solutions,
)
