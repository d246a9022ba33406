"""The second way for phi(x) = n: the values of all numbers up to a bound, by a sieve.

x is phi(x) times p/(p - 1) for each prime p of x, and p - 1 divides phi(x) for each of them; the
product over all such primes is the bound.
"""

from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache

from itembank.second_way import in_words, listed
from itembank.second_way.kind import Kind
from itembank.second_way.verdict import Method, Undecided, done

_SIEVED = 400_000
"""The largest number whose value is worked out."""


@dataclass(frozen=True)
class Valued:
    """How many x have phi(x) = n, the largest of them, or all."""

    wanted: str
    n: int
    hints: tuple[int, ...] = field(default=(), compare=False)

    @property
    def modulus(self) -> int | None:
        """Of all numbers a bound that none reaches: they are listed as residues modulo it."""
        return _bound(self.n) + 1 if self.wanted == "which" else None

    @property
    def of_digits(self) -> bool:
        """Nothing is reduced by the bound."""
        return self.wanted == "which"


def read(statement: str) -> Valued | None:
    """The question of "number of solutions of phi(x) = 24"; None for another form."""
    for wanted in ("number of solutions of", "largest solution of", "which x have"):
        found = in_words.numbers(f"{wanted} phi(x) = #", statement)
        if found:
            in_words.refuse(found[0] > 0, "a number above 0", statement)
            return Valued(wanted.split()[0], found[0])
    return None


@lru_cache(maxsize=256)
def _bound(n: int) -> int:
    found = Fraction(n)
    for d in range(1, n + 1):
        if n % d == 0 and all((d + 1) % q for q in range(2, d + 1) if q * q <= d + 1):
            found *= Fraction(d + 1, d)
    return int(found)


@lru_cache(maxsize=256)
def _valued(n: int) -> tuple[int, ...]:
    last = _bound(n)
    if last > _SIEVED:
        raise Undecided(f"numbers up to {last} to try")
    values = list(range(last + 1))
    for p in range(2, len(values)):
        if values[p] == p:
            for x in range(p, len(values), p):
                values[x] -= values[x] // p
    return tuple(x for x, value in enumerate(values) if x and value == n)


def _answer(question: Valued) -> int | None:
    found = _valued(question.n)
    if question.wanted == "number":
        return len(found)
    return found[-1] if found else None


_METHOD = done("the values of all numbers up to a bound were worked out")


def _members(question: Valued) -> tuple[tuple[int, ...], Method]:
    if question.wanted != "which":
        raise Undecided("a set where a number is asked for")
    return _valued(question.n), _METHOD


def _solutions(question: Valued) -> tuple[int, ...] | None:
    return _valued(question.n) if question.wanted == "which" else None


KIND = Kind(
    checks={**listed.checks(_members), **in_words.number_kind(_answer, _METHOD).checks},
    solutions=_solutions,
)
