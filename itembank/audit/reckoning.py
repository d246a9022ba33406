"""What the audit reads lines with, and the arithmetic by trial that it compares them with."""

import re
from collections.abc import Iterable, Iterator

from itembank.audit.budget import TRIED
from itembank.audit.squeezed import Known, squeezed
from itembank.audit.unsupported import Unsupported
from itembank.values.worded import worded

Numbers = tuple[int, ...]
Line = tuple[str, tuple[str, ...]]
"""A name and what must stand in the places of its words, squeezed."""


# ------------------------------------------------------------ words and formulas

UNKNOWN = re.compile(r"\b(\d*)[a-z](?=[≡=])")
_PARAMETER = re.compile(r"(?<=\+)(\d+)[a-z]\b")


def read_line(text: str, known: Known, joint: str) -> list[Line]:
    """The names that a line may have, each with what stands in its places.

    Raises Unsupported for words that are not known.
    """
    found = squeezed(text)
    read = [
        (name, tuple(_formula(part, joint) for part in match.groups()))
        for name, words in known.items()
        if (match := words.fullmatch(found))
    ]
    if not read:
        raise Unsupported(worded("the line '{text}'", text=text[:60]))
    return read


def _formula(text: str, joint: str) -> str:
    """A squeezed formula, its unknown called x, a parameter t, the members of a list by commas.

    What is read as a word between two members is no unknown: "y" joins in Spanish, and y may
    be asked for.
    """
    listed = re.sub(rf"(?:, ?| |(?<=\)))(?:{joint})\b(?![≡=*^+]) ?", ",", text.strip())
    return _PARAMETER.sub(r"\1t", UNKNOWN.sub(r"\1x", listed))


def listed(numbers: Iterable[int]) -> str:
    return ",".join(map(str, numbers))


def product(factors: Iterable[object]) -> str:
    return "*".join(map(str, factors))


def modulo(left: object, right: object, m: int) -> str:
    return f"{left}≡{right}(mod {m})"


# ------------------------------------------------------------ arithmetic by trial


def prime_powers(n: int) -> list[tuple[int, int]]:
    """(p, k) for each p^k in n, p increasing."""
    found, p = [], 2
    while n > 1:
        p = n if p * p > n else p
        k = 0
        while n % p == 0:
            n, k = n // p, k + 1
        found += [(p, k)] if k else []
        p += 1
    return found


def phi(n: int) -> int:
    """How many of 1, ..., n are coprime to n, from its primes: each takes its multiples away."""
    for p, _k in prime_powers(n):
        n -= n // p
    return n


def divisors(n: int) -> Numbers:
    return tuple(d for d in range(1, n + 1) if n % d == 0)


def inverse(a: int, m: int) -> int:
    """The least b with ab = 1 (mod m), by trial."""
    found = next((b for b in range(m) if a * b % m == 1 % m), None)
    if found is None:
        raise Unsupported(worded("a way through an inverse of {a} modulo {m}", a=a, m=m))
    return found


def to_the_power(a: int, e: int, m: int) -> int:
    """a^e modulo m, a factor at a time, its powers over again once they return."""
    seen: dict[int, int] = {}
    powers: list[int] = []
    value = 1 % m
    while value not in seen and len(powers) <= e:
        seen[value] = len(powers)
        powers.append(value)
        value = value * a % m
    if e < len(powers):
        return powers[e]
    start = seen[value]
    return powers[start + (e - start) % (len(powers) - start)]


def divisions(n: int, d: int) -> list[tuple[int, int, int, int]]:
    """(dividend, quotient, divisor, remainder) of each row of Euclid's algorithm."""
    rows = []
    while d:
        rows.append((n, n // d, d, n % d))
        n, d = d, n % d
    return rows


def row(n: int, q: int, d: int, r: int) -> Line:
    return ("divide", (f"{n}={q}*{d}+{r}",)) if r else ("divide out", (f"{n}={q}*{d}",))


def raised(a: int, e: int) -> str:
    return f"{a}^{e}" if e > 1 else str(a)


def factored_line(m: int) -> Iterator[Line]:
    """The factorisation of a number that is no prime."""
    factors = prime_powers(m)
    if sum(k for _p, k in factors) > 1:
        yield "factor", (f"{m}={product(raised(p, k) for p, k in factors)}",)


def small(*numbers: int) -> None:
    if any(n > TRIED for n in numbers):
        raise Unsupported(worded("a way with numbers above {tried}", tried=TRIED))
