"""The second way for a power modulo m: factors multiplied one after another.

An exponent too large for that, or a tower, is followed round the cycle in which the
powers of a run modulo m, or modulo a large m given to Python's own modular power.
"""

import re
from dataclasses import dataclass, field
from math import gcd

from itembank.second_way import units
from itembank.second_way.kind import Kind
from itembank.second_way.reading import tokens
from itembank.second_way.verdict import Method, Undecided, Verdict, agreed, disagreed, done

_MULTIPLIED = 100_000
"""The largest exponent whose power is multiplied out, and the longest cycle that is followed."""

_EXACT = 1 << 14
"""Exponents with at most this many binary digits are computed."""

_DEEPEST = 12


@dataclass(frozen=True)
class PowerOf:
    """base^(e1^(e2^...)) modulo `modulus`."""

    base: int
    exponents: tuple[int, ...]
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


def read(statement: str) -> PowerOf | None:
    """The question of "7^222 mod 1000" or "2^(3^4) mod 7"; None for another form."""
    parts = units.split(statement)
    if parts is None or re.search(r"[=≡]", parts[0]):
        return None
    tower = _tower_of(parts[0], statement)
    if tower is None or len(tower) < 2:
        return None
    m = units.modulus(parts[1], statement)
    base, *exponents = tower
    return PowerOf(base % m, tuple(exponents), m, units.hints(parts[1]))


def _tower_of(text: str, statement: str, depth: int = 0) -> list[int] | None:
    """Base and exponents from the bottom up; None for what is no number or power of numbers."""
    text = _raised(text.strip().replace("**", "^"))
    while text.startswith("(") and _closing(text, 0) == len(text) - 1:
        text = text[1:-1].strip()
    if depth > _DEEPEST or not text:
        return None
    end = _closing(text, 0) + 1 if text.startswith("(") else len(text.partition("^")[0])
    base, rest = text[:end].strip(), text[end:].strip()
    if rest and not rest.startswith("^"):
        return None
    if re.search(r"[A-Za-z!]", base):
        return None
    number = units.integer(base.strip("() ") if base.startswith("(") else base, statement)
    if not rest:
        return [number]
    above = _tower_of(rest[1:], statement, depth + 1)
    return None if above is None else [number, *above]


def _raised(text: str) -> str:
    """Raised digits as an exponent after ^: 7² is 7^2."""
    found = [t.text for t in tokens(text) if t.kind == "raised"]
    for digits in found:
        plain = digits.translate(str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789"))
        text = text.replace(digits, f"^{plain}", 1)
    return text.replace("⁻^", "^-")


def _closing(text: str, at: int) -> int:
    """The place of the bracket that closes the one at `at`; -1 if none does."""
    depth = 0
    for i in range(at, len(text)):
        depth += (text[i] == "(") - (text[i] == ")")
        if depth == 0:
            return i
    return -1


# ------------------------------------------------------------ values


def _exact(exponents: tuple[int, ...]) -> int | None:
    """The value of a tower of exponents; None if it has more than _EXACT binary digits."""
    first, *rest = exponents
    if not rest:
        return first
    above = _exact(tuple(rest))
    if first in (0, 1):
        return 1 if above == 0 else first
    if above is None or above < 0 or above * abs(first).bit_length() > _EXACT:
        return None
    return int(first**above)


def _residue(base: int, exponents: tuple[int, ...], m: int) -> tuple[int, Method]:
    """base^(...) modulo m for an exponent of at least 0, and how it was found."""
    e = _exact(exponents)
    if e is not None and 0 <= e <= _MULTIPLIED:
        value = 1 % m
        for _factor in range(e):
            value = value * base % m
        return value, done("the power was multiplied out, factor by factor")
    if m <= _MULTIPLIED:
        return _along_the_cycle(base, exponents, e, m)
    if e is not None:
        return pow(base, e, m), done("the power was computed by the built-in modular power")
    whole = units.units_counted(m)
    above, _how = _residue(exponents[0] % whole, exponents[1:], whole)
    # a^e = a^(e mod phi + phi) for every e that is at least as large as the powers of primes in m
    reduced = done("the exponent was reduced modulo φ, a multiple of φ added")
    return pow(base, above + whole, m), reduced


def _along_the_cycle(
    base: int, exponents: tuple[int, ...], e: int | None, m: int
) -> tuple[int, Method]:
    """The powers of the base run into a cycle; the exponent's place in it is a smaller question."""
    seen: dict[int, int] = {}
    powers: list[int] = []
    value = 1 % m
    while value not in seen:
        seen[value] = len(powers)
        powers.append(value)
        value = value * base % m
    start, length = seen[value], len(powers) - seen[value]
    method = done(
        "the powers were followed until they repeat, every {length} exponents", length=length
    )
    if e is not None:
        place = e if e < start else start + (e - start) % length
        return powers[place], method
    above, _how = _residue(exponents[0] % length, exponents[1:], length)
    return powers[start + (above - start) % length], method


# ------------------------------------------------------------ verdicts


def _value_verdict(question: PowerOf, claim: int | None) -> Verdict:
    a, m = question.base, question.modulus
    e = _exact(question.exponents)
    if e is not None and e < 0:
        return _negative_verdict(question, -e, claim)
    if any(n < 0 for n in question.exponents):
        raise Undecided("a tower with a negative exponent")
    found, method = _residue(a, question.exponents, m)
    if claim is not None and (claim - found) % m == 0:
        return agreed(method)
    return disagreed(method, f"expected {found}, the answer says {claim}")


def _negative_verdict(question: PowerOf, e: int, claim: int | None) -> Verdict:
    """a^(-e): the number whose product with a^e is 1."""
    a, m = question.base, question.modulus
    positive, _how = _residue(a, (e,), m)
    method = done("the answer was multiplied by the power with the positive exponent")
    if claim is None:
        found = gcd(a, m) > 1 and e > 0
        return agreed(method) if found else disagreed(method, "expected a power, it exists")
    left = claim * positive % m
    if left == 1 % m:
        return agreed(method)
    return disagreed(method, f"expected the product 1, got {left} modulo {m}")


KIND = Kind(checks={"the value": _value_verdict}, solutions=lambda question: None)
