"""The second way for x^k ≡ a (mod m) with an exponent too large for a polynomial.

Small m: every residue is raised to the power. Large m: every claimed class is put in, and
the solutions are counted modulo each prime power of m - by trial where it is small, and
else, for a prime p that divides neither a nor k, as the group of units is cyclic:
gcd(k, p - 1) if a^((p-1)/gcd) is 1, else none, the same number modulo every power of p
(Hensel's lemma).

Smaller exponents are read and checked as polynomials.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import gcd, prod

from itembank.second_way import budget
from itembank.second_way.budget import Work
from itembank.second_way.congruence import Part, count, malformed
from itembank.second_way.kind import Kind
from itembank.second_way.primes import prime_powers
from itembank.second_way.reading import DEGREE, congruence
from itembank.second_way.verdict import Undecided, Verdict, agreed, disagreed, done

_TRIED = 100_000
"""The largest modulus all of whose residues are tried."""

_PUT_IN = 100_000
"""The most residues of claimed classes that are put in."""

_FORM = re.compile(r"[A-Za-z] ?\^ ?(?P<k>\d{1,2000})(?P<rest> ?[=≡].+)")


@dataclass(frozen=True)
class PowerOfUnknown:
    """x^k ≡ a (mod modulus), a least residue, k above what is read as a degree."""

    k: int
    a: int
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


def read(statement: str) -> PowerOfUnknown | None:
    """The question of "x^65537 = 5 mod 3233"; None for a smaller exponent, or another form."""
    match = _FORM.fullmatch(" ".join(statement.split()))
    if not match or int(match["k"]) <= DEGREE:
        return None
    constant = congruence(f"0 {match['rest'].strip()}")
    if len(constant.coefficients) > 1:
        return None
    m = constant.modulus
    return PowerOfUnknown(int(match["k"]), -sum(constant.coefficients) % m, m, constant.hints)


@lru_cache(maxsize=64)
def tried(k: int, a: int, m: int) -> tuple[int, ...] | None:
    """The residues whose power is a, increasing; None if m is too large to try all."""
    if m > _TRIED or m * k.bit_length() > budget.PRODUCTS:
        return None
    return tuple(x for x in range(m) if pow(x, k, m) == a % m)


def _counted(question: PowerOfUnknown, hints: tuple[int, ...] = ()) -> int:
    """How many residues solve it, or Undecided."""
    found = tried(question.k, question.a, question.modulus)
    if found is not None:
        return len(found)
    powers = prime_powers(question.modulus, question.hints + hints)
    work = Work("raising the residues modulo each prime power")
    for q in (p**e for p, e in powers):
        work.spend(q * question.k.bit_length() if q <= _TRIED else 0)
        work.power(q, q)
    return prod(_counted_modulo(question.k, question.a, p, e) for p, e in powers)


def _counted_modulo(k: int, a: int, p: int, e: int) -> int:
    found = tried(k, a % p**e, p**e)
    if found is not None:
        return len(found)
    if a % p == 0 or (e > 1 and k % p == 0):
        raise Undecided(f"the solutions modulo {p}^{e} are not counted")
    d = gcd(k, p - 1)
    return d if pow(a, (p - 1) // d, p) == 1 else 0


def _set_verdict(question: PowerOfUnknown, parts: Sequence[Part]) -> Verdict:
    """Whether the claimed classes are exactly the solutions."""
    parts = [(m, tuple(classes)) for m, classes in parts]
    method = done("put in, and counted modulo each prime power")
    if fault := malformed(question.modulus, parts):
        return disagreed(done("the claim itself"), fault)
    if sum(count(classes, m) for m, classes in parts) > _PUT_IN:
        raise Undecided("too many residues to put in")
    work = Work("putting in every residue of the answer")
    for m, classes in parts:
        for r, d in classes:
            for x in range(r, m, d):
                work.power(question.k, m)
                if pow(x, question.k, m) != question.a % m:
                    return disagreed(method, f"x ≡ {x} (mod {m}) does not solve it")
    n = prod(count(classes, m) for m, classes in parts)
    expected = _counted(question, tuple(m for m, _classes in parts))
    if n != expected:
        return disagreed(method, f"expected {expected} solutions, the answer holds {n}")
    return agreed(method)


def count_verdict(question: PowerOfUnknown, claim: int) -> Verdict:
    method = done("counted modulo each prime power")
    n = _counted(question)
    if claim == n:
        return agreed(method)
    return disagreed(method, f"expected {n} solutions, the answer says {claim}")


def _whether_any_verdict(question: PowerOfUnknown, claim: bool) -> Verdict:
    method = done("counted modulo each prime power")
    n = _counted(question)
    if claim == (n > 0):
        return agreed(method)
    return disagreed(method, f"expected {n} solutions, the answer says {claim}")


KIND = Kind(
    checks={
        "all solutions": _set_verdict,
        "how many": count_verdict,
        "whether any": _whether_any_verdict,
    },
    solutions=lambda question: tried(question.k, question.a, question.modulus),
)
