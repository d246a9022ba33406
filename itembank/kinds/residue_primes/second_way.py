"""The second way for reciprocity in reverse: of each class the first primes are taken, and the
squares modulo each of them are listed."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import gcd

from itembank.second_way import in_words
from itembank.second_way.kind import Kind
from itembank.second_way.verdict import Undecided, Verdict, agreed, disagreed, done

_TAKEN = 3
"""How many primes of a class are tried."""

_LARGEST = 400
"""The largest modulus whose classes are looked at."""


@dataclass(frozen=True)
class Primes:
    """The classes modulo `modulus` = 4|a| of the primes modulo which a is a quadratic residue."""

    a: int
    hints: tuple[int, ...] = field(default=(), compare=False)

    @property
    def modulus(self) -> int:
        return 4 * abs(self.a)


def read(statement: str) -> Primes | None:
    """The question of "primes modulo which 5 is a quadratic residue"; None for another form."""
    found = in_words.numbers("primes modulo which # is a quadratic residue", statement)
    if found is None:
        return None
    in_words.refuse(found[0] not in (0, 1), "a number other than 0 and 1", statement)
    return Primes(found[0])


@lru_cache(maxsize=64)
def _classes(question: Primes) -> tuple[int, ...]:
    m = question.modulus
    if m > _LARGEST:
        raise Undecided(f"more than {_LARGEST} classes")
    return tuple(r for r in range(m) if gcd(r, m) == 1 and _is_residue_there(question.a, r, m))


def _is_residue_there(a: int, r: int, m: int) -> bool:
    found: set[bool] = set()
    p, taken = r, 0
    while taken < _TAKEN:
        if p > 2 and all(p % d for d in range(2, p) if d * d <= p):
            found.add(a % p in {x * x % p for x in range(1, p)})
            taken += 1
        p += m
    if len(found) > 1:
        raise Undecided(f"primes of the class {r} modulo {m} differ")
    return found.pop()


def _set_verdict(
    question: Primes, claim: Sequence[tuple[int, Sequence[tuple[int, int]]]]
) -> Verdict:
    right, m = _classes(question), question.modulus
    if len(claim) == 1 and claim[0][0] == m:
        found = sorted(x for r, d in claim[0][1] for x in range(r, m, d))
        if tuple(found) == right:
            return agreed(_METHOD)
    return disagreed(_METHOD, f"expected {right}, the answer says {claim}")


def _largest_verdict(question: Primes, claim: int | None) -> Verdict:
    right = _classes(question)[-1]
    if claim == right:
        return agreed(_METHOD)
    return disagreed(_METHOD, f"expected {right} as the largest, the answer says {claim}")


_METHOD = done("the first primes of each class were taken, and the squares modulo each listed")

KIND = Kind(
    checks={"all solutions": _set_verdict, "the largest": _largest_verdict}, solutions=_classes
)
