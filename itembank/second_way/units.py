"""What the second ways about units modulo m share: numbers in words, orders, phi.

Orders are found by multiplying until 1 comes; where that takes too long an order t is
proved by its certificate: a^t = 1, and a^(t/q) is not 1 for any prime q of t.
"""

import re
from functools import lru_cache
from math import gcd, prod

from itembank.second_way import budget
from itembank.second_way.budget import Work
from itembank.second_way.primes import prime_powers, primes_of
from itembank.second_way.reading import Reader, tokens
from itembank.second_way.verdict import Undecided
from itembank.values.errors import StatementError

_MULTIPLIED = 200_000
"""The most products that are made one after another."""

_COUNTED = 100_000
"""The largest modulus whose units are counted one by one."""


def integer(text: str, statement: str) -> int:
    """The integer that a piece of a statement writes, by the reader of the congruences."""
    reader = Reader(tokens(text), statement)
    found = reader.polynomial(constant=True)
    reader.expect("end", "the end of the number")
    return found[0] if found else 0


def modulus(text: str, statement: str) -> int:
    """A modulus, at least 1; a negative one means its absolute value."""
    m = abs(integer(text, statement))
    if m == 0:
        raise StatementError(f"statement '{statement[:60]}': expected a modulus other than 0")
    return m


def hints(text: str) -> tuple[int, ...]:
    """Numbers that stand in a text and may be factors of what it writes."""
    numbers = [int(n) for n in re.findall(r"\d+", text) if len(n) < 1000]
    brackets = [integer(inside, text) for inside in re.findall(r"\(([^()]+)\)", text)]
    return tuple(n for n in (*numbers, *brackets) if n > 1)


@lru_cache(maxsize=16)
def split(statement: str) -> tuple[str, str] | None:
    """What stands before and after `mod`; None without one."""
    text = " ".join(statement.split())
    match = re.fullmatch(r"(.*?),?\s*(\()?\s*\bmod(?:ulo)?\b\s*(.*)", text)
    if match is None or (match[2] and not match[3].endswith(")")):
        return None
    return match[1].strip(), match[3][:-1] if match[2] else match[3]


# ------------------------------------------------------------ orders and phi


def order_by_multiplying(a: int, m: int) -> int | None:
    """The order of a modulo m; 0 if no power is 1; None beyond _MULTIPLIED products.

    Products of long numbers count for several.
    """
    if gcd(a, m) > 1:
        return 0
    power, t, most = a % m, 1, _MULTIPLIED // budget.size(m)
    while power != 1 % m:
        if t == most:
            return None
        power, t = power * a % m, t + 1
    return t


def is_order(a: int, t: int, m: int, work: Work | None = None) -> bool:
    """Whether t is the order of a modulo m; `work` counts what several such questions take."""
    found = order_by_multiplying(a, m)
    work = work or Work(f"an order modulo {budget.shown(m)}")
    if found is not None:
        return t == found
    if not 0 < t < m:
        return False
    work.power(t, m)
    if pow(a, t, m) != 1:
        return False
    primes = primes_of(t)
    for q in primes:
        work.power(t // q, m)
    return all(pow(a, t // q, m) != 1 for q in primes)


@lru_cache(maxsize=256)
def units_counted(m: int, known: tuple[int, ...] = ()) -> int:
    """How many residues modulo m are coprime to m: counted, or from the primes sympy finds."""
    if m <= _COUNTED:
        return sum(gcd(a, m) == 1 for a in range(m))
    return prod(p ** (k - 1) * (p - 1) for p, k in prime_powers(m, known))


def order_of(a: int, m: int, known: tuple[int, ...] = ()) -> int:
    """The order of a modulo m, by multiplying or with sympy; Undecided if phi(m) is not factored.

    The primes of phi(m) are those of m and of p - 1 for its primes p.
    """
    found = order_by_multiplying(a, m)
    if found is not None:
        return found
    t, work = units_counted(m, known), Work(f"an order modulo {budget.shown(m)}")
    for q in unit_primes(m, known):
        work.power(t, m)
        while t % q == 0 and pow(a, t // q, m) == 1:
            t //= q
            work.power(t, m)
    if not is_order(a, t, m):
        raise Undecided(f"the order of {a} modulo {m} was not found")
    return t


def is_no_power(a: int, g: int, m: int, known: tuple[int, ...] = ()) -> bool:
    """Whether a is seen to be no power of g modulo m, a and g coprime to m.

    It is none if it is none modulo a divisor of m; the powers modulo small divisors p^j
    are followed. False decides nothing.
    """
    work = Work(f"following the powers modulo divisors of {budget.shown(m)}")
    for p, k in prime_powers(m, known):
        d = 1
        for _j in range(k):
            if d * p > _MULTIPLIED:
                break
            d *= p
        work.spend(d)
        if d > 1 and a % d not in _powers(g, d):
            return True
    return False


def _powers(g: int, m: int) -> set[int]:
    """All powers of g modulo m, followed until one comes back."""
    found: set[int] = set()
    value = 1 % m
    while value not in found:
        found.add(value)
        value = value * g % m
    return found


@lru_cache(maxsize=256)
def unit_primes(m: int, known: tuple[int, ...] = ()) -> frozenset[int]:
    """The primes that divide phi(m)."""
    found: set[int] = set()
    for p, k in prime_powers(m, known):
        found |= primes_of(p - 1) | ({p} if k > 1 else set())
    return frozenset(found)
