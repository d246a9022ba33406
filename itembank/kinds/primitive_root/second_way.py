"""The second way for primitive roots modulo n: residues whose powers are all units.

For small n the powers of every residue are followed; for large n the order of one is
proved by its certificate, and that there is none by the exponent of the group (sympy).
"""

import re
from dataclasses import dataclass, field
from functools import lru_cache
from math import gcd, lcm
from typing import Literal

from itembank.second_way import budget, listed, units
from itembank.second_way.budget import Work
from itembank.second_way.kind import Kind
from itembank.second_way.primes import prime_powers
from itembank.second_way.verdict import Method, Undecided, Verdict, agreed, disagreed, done
from itembank.values.errors import StatementError

_FOLLOWED = 1_500
"""The largest modulus for which the powers of every residue are followed."""

_LISTED = 200_000
"""The largest modulus for which all primitive roots are listed by their certificates."""

_SEARCHED = 1_000
"""A primitive root is looked for among so many residues."""


@dataclass(frozen=True)
class Roots:
    """What is asked about the primitive roots modulo `modulus`; `number` where one is tested."""

    about: Literal["all", "least", "number", "any", "test"]
    modulus: int
    number: int = 0
    hints: tuple[int, ...] = field(default=(), compare=False)


_FORMS: dict[str, Literal["all", "least", "number", "any"]] = {
    r"(?:all |the )*primitive roots": "all",
    r"(?:the )?least primitive root": "least",
    r"(?:the )?number of primitive roots": "number",
    r"is there a primitive root": "any",
}


def read(statement: str) -> Roots | None:
    """The question of "primitive roots mod 17" and its like; None for another form."""
    parts = units.split(statement.rstrip("? "))
    if parts is None:
        return None
    words, text = parts
    for form, about in _FORMS.items():
        if re.fullmatch(form, words, re.I):
            return Roots(about, units.modulus(text, statement), 0, units.hints(text))
    if match := re.fullmatch(r"is (.+) a primitive root", words, re.I):
        m = units.modulus(text, statement)
        return Roots("test", m, units.integer(match[1], statement) % m, units.hints(text))
    if re.search(r"primitive root", words, re.I):
        raise StatementError(f"statement '{statement[:60]}': expected 'primitive roots mod 17'")
    return None


# ------------------------------------------------------------ facts


@lru_cache(maxsize=128)
def _followed(n: int) -> tuple[int, ...]:
    """The residues whose powers are as many as the units, each followed until 1 comes back."""
    whole = sum(gcd(a, n) == 1 for a in range(n))
    return tuple(a for a in range(n) if units.order_by_multiplying(a, n) == whole)


def _is_root(a: int, n: int, hints: tuple[int, ...]) -> bool:
    """Whether a is a primitive root, by its certificate."""
    return gcd(a, n) == 1 and units.is_order(a, units.units_counted(n, hints), n)


def _any_root(n: int, hints: tuple[int, ...]) -> int | None:
    """The least primitive root below _SEARCHED; None if the exponent of the group forbids one."""
    from sympy import reduced_totient

    # sympy is given one prime power at a time: of n itself it would look for the primes anew
    exponent = lcm(*(int(reduced_totient(p**k)) for p, k in prime_powers(n, hints)))
    whole = units.units_counted(n, hints)
    if exponent < whole:
        return None
    work = Work(f"looking for a primitive root modulo {budget.shown(n)}")
    for a in range(1, min(n, _SEARCHED)):
        if gcd(a, n) == 1 and units.is_order(a, whole, n, work):
            return a
    raise Undecided(f"no primitive root modulo {n} below {_SEARCHED}")


@lru_cache(maxsize=128)
def _all_roots(question: Roots) -> tuple[tuple[int, ...], Method]:
    n = question.modulus
    if n <= _FOLLOWED:
        method = done("the powers of all {n} residues were followed", n=n)
        return _followed(n), method
    method = done("the order of every unit was tested by its certificate")
    if _any_root(n, question.hints) is None:
        return (), method
    if n > _LISTED:
        raise Undecided(f"the primitive roots modulo {n} are too many to test")
    return tuple(a for a in range(1, n) if _passes(a, n, question.hints)), method


def _passes(a: int, n: int, hints: tuple[int, ...]) -> bool:
    whole = units.units_counted(n, hints)
    return gcd(a, n) == 1 and all(pow(a, whole // q, n) != 1 for q in units.unit_primes(n, hints))


# ------------------------------------------------------------ verdicts


def _value_verdict(question: Roots, claim: int | None) -> Verdict:
    """The least primitive root (None: there is none), or how many there are."""
    if question.about not in ("least", "number"):
        raise Undecided("a set where a value is claimed")
    return (
        _least_verdict(question, claim)
        if question.about == "least"
        else _count_verdict(question, claim)
    )


def _least_verdict(question: Roots, claim: int | None) -> Verdict:
    n = question.modulus
    if n <= _FOLLOWED:
        found, method = _all_roots(question)
        expected = min(found, default=None)
    else:
        expected = _any_root(n, question.hints)
        method = done("every smaller residue was tested too")
    if claim == expected:
        return agreed(method)
    return disagreed(method, f"expected {expected}, the answer says {claim}")


def _count_verdict(question: Roots, claim: int | None) -> Verdict:
    n = question.modulus
    if n <= _FOLLOWED:
        found, method = _all_roots(question)
        expected = len(found)
    else:
        method = done("a primitive root was shown, and the exponents coprime to φ counted")
        root = _any_root(n, question.hints)
        whole = units.units_counted(n, question.hints)
        known = tuple(units.unit_primes(n, question.hints))
        expected = 0 if root is None else units.units_counted(whole, known)
    if claim == expected:
        return agreed(method)
    return disagreed(method, f"expected {expected}, the answer says {claim}")


def _whether_any_verdict(question: Roots, claim: bool) -> Verdict:
    """Whether there is a primitive root, or whether the number tested is one."""
    n = question.modulus
    if question.about == "test":
        method = done("the powers of {a} were followed", a=question.number)
        found = _is_root(question.number, n, question.hints)
    elif n <= _FOLLOWED:
        roots, method = _all_roots(question)
        found = bool(roots)
    else:
        method = done("a primitive root was shown, or excluded by the exponent of the group")
        found = _any_root(n, question.hints) is not None
    if claim == found:
        return agreed(method)
    return disagreed(method, f"expected {found}, the answer says {claim}")


def _solutions(question: Roots) -> tuple[int, ...] | None:
    """All primitive roots where the set is asked for."""
    if question.about != "all" or question.modulus > _FOLLOWED:
        return None
    return _followed(question.modulus)


KIND = Kind(
    checks={
        **listed.checks(_all_roots),
        "the value": _value_verdict,
        "whether any": _whether_any_verdict,
    },
    solutions=_solutions,
)
